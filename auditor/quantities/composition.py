"""Entries of the registry: places in the frame, camera angle, light, lines and empty space."""

from auditor.quantities.registry import QuantityEntry, SetRule, ToleranceRule
from auditor.reasons import Reason
from auditor.values import ValueKind

_SIZES_VARY = "Sizes vary from frame to frame on purpose (common practice, no source)."
_ANGLES_VARY = "Angles vary from frame to frame on purpose (common practice, no source)."

ENTRIES = (
    QuantityEntry(
        name="subject",
        title="Subject’s place",
        unit="fraction of diagonal",
        decimals=2,
        planned_as=(ValueKind.PLACE,),
        tolerance=ToleranceRule(
            0.08,
            1.0,
            "A point of the thirds lies 1/6 = 0.167 of the diagonal from the centre, in every "
            "format; within half of that a subject is nearer to its planned point than to the "
            "middle (geometry).",
        ),
        reasons=(Reason.NO_SUBJECT, Reason.COMPETING_SUBJECTS),
    ),
    QuantityEntry(
        name="subject_size",
        title="Subject’s size",
        unit="fraction of frame",
        decimals=0,
        higher="larger",
        lower="smaller",
        planned_as=(ValueKind.FRACTION,),
        tolerance=ToleranceRule(
            0.06,
            1.0,
            "About a third of the 0.2 of the frame that a main dish usually takes, that is a sixth "
            "of its width: a step nearer or further away (common practice, no source).",
        ),
        set_rule=SetRule(
            noticeable=0.15, least_spread=0.04, reason=_SIZES_VARY, varied_on_purpose=True
        ),
        reason_of="subject",
    ),
    QuantityEntry(
        name="supporting",
        title="Supporting elements",
        unit="fraction of diagonal",
        decimals=2,
        planned_as=(ValueKind.PLACE,),
        tolerance=ToleranceRule(
            0.10,
            1.0,
            "Half the distance of two neighbouring points of the thirds across a 4:5 frame "
            "(0.104): beyond it the element stands at another point (geometry).",
        ),
    ),
    QuantityEntry(
        name="technique",
        title="Technique",
        unit="fraction of diagonal",
        decimals=2,
        planned_as=(ValueKind.WORDS,),
        tolerance=ToleranceRule(
            0.05,
            1.0,
            "The points of the thirds and those of the golden ratio lie 0.049 apart: with a larger "
            "error the planned one cannot be distinguished from the other (geometry).",
        ),
        reasons=(Reason.NO_SYMMETRY_TO_SEE, Reason.FEW_ELEMENTS, Reason.NO_INNER_FRAME),
        reason_of="subject",
    ),
    QuantityEntry(
        name="camera_elevation",
        title="Camera angle",
        unit="deg",
        decimals=0,
        higher="higher",
        lower="lower",
        planned_as=(ValueKind.ANGLE,),
        tolerance=ToleranceRule(
            10.0,
            90.0,
            "Planned angles differ by 15 degrees or more (0, 15, 30, 45, 60, 75, 90); a plate's "
            "rim grows from 0.71 to 0.82 of a circle between 45 and 55 (common practice, no "
            "source).",
        ),
        set_rule=SetRule(
            noticeable=15, least_spread=4, reason=_ANGLES_VARY, varied_on_purpose=True
        ),
        reasons=(Reason.NO_ROUND_RIM, Reason.RIMS_DISAGREE),
    ),
    QuantityEntry(
        name="light",
        title="Light",
        unit="h",
        decimals=0,
        planned_as=(ValueKind.CLOCK,),
        tolerance=ToleranceRule(
            1.25,
            6.0,
            "Directions in words are 1.5 hours (45 degrees) apart: within 1.25 the planned word "
            "can still be distinguished from its neighbours (geometry).",
        ),
        set_rule=SetRule(
            noticeable=2,
            least_spread=0.5,
            reason=_ANGLES_VARY,
            circular=True,
            varied_on_purpose=True,
        ),
        reasons=(
            Reason.NO_SUBJECT,
            Reason.ELEMENTS_FILL_FRAME,
            Reason.FLAT_LIGHT,
            Reason.LIGHT_CUES_DISAGREE,
        ),
    ),
    QuantityEntry(
        name="diagonal",
        title="Diagonal",
        unit="deg",
        decimals=0,
        planned_as=(ValueKind.WORDS, ValueKind.ANGLE),
        tolerance=ToleranceRule(
            10.0,
            90.0,
            "Between the diagonals of a 4:5 and a 2:3 frame lie 5 degrees, between those of 4:5 "
            "and square 6; twice that is another line (geometry).",
        ),
        reasons=(Reason.NO_DIAGONAL,),
    ),
    QuantityEntry(
        name="negative_space",
        title="Empty space",
        unit="fraction of frame",
        decimals=0,
        higher="emptier",
        lower="fuller",
        planned_as=(ValueKind.FRACTION,),
        tolerance=ToleranceRule(
            0.10,
            1.0,
            "A tenth of the frame is room for one line of text more or less; a smaller difference "
            "is hardly seen (common practice, no source).",
        ),
        set_rule=SetRule(noticeable=0.2, least_spread=0.05, reason=_SIZES_VARY),
        reasons=(Reason.TOO_SMALL,),
    ),
    QuantityEntry(
        name="negative_space_side",
        title="Side of empty space",
        unit="",
        decimals=0,
        planned_as=(ValueKind.WORDS,),
        reason_of="negative_space",
    ),
    QuantityEntry(
        name="aspect_ratio",
        title="Aspect ratio",
        unit="ratio",
        decimals=2,
        higher="wider",
        lower="taller",
        planned_as=(ValueKind.RATIO,),
        tolerance=ToleranceRule(
            0.02,
            1.0,
            "4:5 and 3:4 lie 0.05 apart, so less than half of it; a crop by hand is within 0.01 "
            "(arithmetic; common practice, no source).",
        ),
    ),
    QuantityEntry(
        name="roll",
        title="Level",
        unit="deg",
        decimals=1,
        higher="tilted anticlockwise",
        lower="tilted clockwise",
        set_rule=SetRule(
            noticeable=1,
            least_spread=0.4,
            reason="Beside a level picture a tilt of 1 degree is seen (common practice, "
            "no source).",
        ),
        reasons=(Reason.NO_LEVEL_LINE,),
    ),
    QuantityEntry(
        name="leading_lines",
        title="Leading lines",
        unit="fraction of diagonal",
        decimals=2,
        reasons=(Reason.NO_SUBJECT, Reason.NO_LEADING_LINES),
    ),
)
