"""How far a picture may be from its plan before a photographer would say that it is not the plan.

Every default has its unit, its reason and its source; `[tolerance]` in a plan replaces them.
"""

from __future__ import annotations

from dataclasses import dataclass

from auditor.plan.shot_plan import Tolerances


@dataclass(frozen=True, slots=True)
class ToleranceRule:
    """One tolerance: its default and what a plan may write instead.

    Attributes
    ----------
    default : float
        In `unit`.
    most : float
        The largest that a plan may write; with more, every picture would do.
    unit : str
        As in `ComparedItem.unit`.
    reason : str
        Why the default is as it is, with its source.
    """

    default: float
    most: float
    unit: str
    reason: str


TOLERANCE_RULES: dict[str, ToleranceRule] = {
    "subject": ToleranceRule(
        0.08,
        1.0,
        "fraction of diagonal",
        "A point of the thirds lies 1/6 = 0.167 of the diagonal from the centre, in every format; "
        "within half of that a subject is nearer to its planned point than to the middle "
        "(geometry).",
    ),
    "subject_size": ToleranceRule(
        0.06,
        1.0,
        "fraction of frame",
        "About a third of the 0.2 of the frame that a main dish usually takes, that is a sixth of "
        "its width: a step nearer or further away (common practice, no source).",
    ),
    "supporting": ToleranceRule(
        0.10,
        1.0,
        "fraction of diagonal",
        "Half the distance of two neighbouring points of the thirds across a 4:5 frame (0.104): "
        "beyond it the element stands at another point (geometry).",
    ),
    "technique": ToleranceRule(
        0.05,
        1.0,
        "fraction of diagonal",
        "The points of the thirds and those of the golden ratio lie 0.049 apart: who plans one "
        "and places less exactly than this cannot be said to have used it (geometry).",
    ),
    "camera_elevation": ToleranceRule(
        10.0,
        90.0,
        "deg",
        "Planned angles differ by 15 degrees or more (0, 15, 30, 45, 60, 75, 90); a plate's rim "
        "grows from 0.71 to 0.82 of a circle between 45 and 55 (common practice, no source).",
    ),
    "light": ToleranceRule(
        1.25,
        6.0,
        "h",
        "Directions in words are 1.5 hours (45 degrees) apart: within 1.25 the planned word is "
        "still told from its neighbours (geometry).",
    ),
    "diagonal": ToleranceRule(
        10.0,
        90.0,
        "deg",
        "Between the diagonals of a 4:5 and a 2:3 frame lie 5 degrees, between those of 4:5 and "
        "square 6; twice that is another line (geometry).",
    ),
    "negative_space": ToleranceRule(
        0.10,
        1.0,
        "fraction of frame",
        "A tenth of the frame is room for one line of text more or less; less is hardly seen "
        "(common practice, no source).",
    ),
    "colour_temperature": ToleranceRule(
        25.0,
        500.0,
        "mired",
        "The weakest correction filter in common use, an eighth, shifts by 20 to 26 mired; side "
        "by side about 5 mired are just noticed, from picture to picture more (both from memory).",
    ),
    "palette": ToleranceRule(
        12.0,
        100.0,
        "CIEDE2000",
        "About 1 is just noticeable side by side; up to about 12 food and props in changing light "
        "still go by the name of the planned colour (common practice, no source).",
    ),
    "background": ToleranceRule(
        10.0,
        100.0,
        "CIEDE2000",
        "A backdrop is one material: its shading over the frame is about 10, another backdrop "
        "usually more (common practice, no source).",
    ),
    "surface": ToleranceRule(
        10.0,
        100.0,
        "CIEDE2000",
        "As for the background.",
    ),
    "aspect_ratio": ToleranceRule(
        0.02,
        1.0,
        "ratio",
        "4:5 and 3:4 lie 0.05 apart, so less than half of it; a crop by hand is within 0.01 "
        "(arithmetic; common practice, no source).",
    ),
}

DEFAULT_TOLERANCES = Tolerances(**{name: rule.default for name, rule in TOLERANCE_RULES.items()})
