"""How far a picture may be from its plan in each quantity; a plan may set its own tolerances."""

from auditor.quantities.registry import ToleranceRule

TOLERANCES: dict[str, ToleranceRule] = {
    "subject": ToleranceRule(
        0.08,
        1.0,
        "A point of the thirds lies 1/6 = 0.167 of the diagonal from the centre, in every "
        "format; within half of that a subject is nearer to its planned point than to the "
        "middle (geometry).",
    ),
    "subject_size": ToleranceRule(
        0.06,
        1.0,
        "About a third of the 0.2 of the frame that a main dish usually takes, that is a sixth "
        "of its width: a step nearer or further away (common practice, no source).",
    ),
    "supporting": ToleranceRule(
        0.10,
        1.0,
        "Half the distance of two neighbouring points of the thirds across a 4:5 frame "
        "(0.104): beyond it the element stands at another point (geometry).",
    ),
    "technique": ToleranceRule(
        0.05,
        1.0,
        "The points of the thirds and those of the golden ratio lie 0.049 apart: with a larger "
        "error the planned one cannot be distinguished from the other (geometry).",
    ),
    "camera_elevation": ToleranceRule(
        10.0,
        90.0,
        "Planned angles differ by 15 degrees or more (0, 15, 30, 45, 60, 75, 90); a plate's "
        "rim grows from 0.71 to 0.82 of a circle between 45 and 55 (common practice, no "
        "source).",
    ),
    "light": ToleranceRule(
        1.25,
        6.0,
        "Directions in words are 1.5 hours (45 degrees) apart: within 1.25 the planned word "
        "can still be distinguished from its neighbours (geometry).",
    ),
    "diagonal": ToleranceRule(
        10.0,
        90.0,
        "Between the diagonals of a 4:5 and a 2:3 frame lie 5 degrees, between those of 4:5 "
        "and square 6; twice that is another line (geometry).",
    ),
    "negative_space": ToleranceRule(
        0.10,
        1.0,
        "A tenth of the frame is room for one line of text more or less; a smaller difference "
        "is hardly seen (common practice, no source).",
    ),
    "aspect_ratio": ToleranceRule(
        0.02,
        1.0,
        "4:5 and 3:4 lie 0.05 apart, so less than half of it; a crop by hand is within 0.01 "
        "(arithmetic; common practice, no source).",
    ),
    "colour_temperature": ToleranceRule(
        25.0,
        500.0,
        "The weakest correction filter in common use, an eighth, shifts by 20 to 26 mired; "
        "side by side about 5 mired are just noticeable, between pictures more (both from "
        "memory).",
    ),
    "palette": ToleranceRule(
        12.0,
        100.0,
        "About 1 is just noticeable side by side; up to about 12 food and props in changing "
        "light still have the name of the planned colour (common practice, no source).",
    ),
    "background": ToleranceRule(
        10.0,
        100.0,
        "A backdrop is one material: its shading over the frame is about 10, another backdrop "
        "usually more (common practice, no source).",
    ),
    "surface": ToleranceRule(10.0, 100.0, "As for the background (common practice, no source)."),
}
