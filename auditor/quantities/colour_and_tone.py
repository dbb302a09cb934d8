"""Entries of the registry: colour, tone and focus."""

from auditor.quantities.registry import QuantityEntry, SetRule, ToleranceRule
from auditor.reasons import Reason
from auditor.values import ValueKind

ENTRIES = (
    QuantityEntry(
        name="colour_temperature",
        title="Colour temperature",
        unit="mired",
        decimals=0,
        higher="warmer",
        lower="cooler",
        planned_as=(ValueKind.MIRED,),
        tolerance=ToleranceRule(
            25.0,
            500.0,
            "The weakest correction filter in common use, an eighth, shifts by 20 to 26 mired; "
            "side by side about 5 mired are just noticeable, between pictures more (both from "
            "memory).",
        ),
        set_rule=SetRule(
            noticeable=15,
            least_spread=5,
            reason="Three steps of about 5 mired, each just noticeable (from memory).",
        ),
        reasons=(Reason.NO_NEUTRAL,),
    ),
    QuantityEntry(
        name="tint",
        title="Tint",
        unit="Duv",
        decimals=3,
        higher="greener",
        lower="pinker",
        set_rule=SetRule(
            noticeable=0.006,
            least_spread=0.003,
            reason="Smaller shifts to green or pink are ordinary (common practice, no source).",
        ),
        reason_of="colour_temperature",
    ),
    QuantityEntry(
        name="exposure",
        title="Exposure",
        unit="EV",
        decimals=1,
        higher="lighter",
        lower="darker",
        set_rule=SetRule(
            noticeable=1 / 3,
            least_spread=0.1,
            reason="The step of exposure controls (common practice, no source).",
        ),
    ),
    QuantityEntry(
        name="contrast",
        title="Contrast",
        unit="L*",
        decimals=0,
        higher="more contrast",
        lower="less contrast",
        set_rule=SetRule(
            noticeable=0.6,
            least_spread=0.1,
            reason="In whole frames a dark kettle or a fall-off of light changes contrast by a "
            "third either way (measured by tests/benchmarks/check_series_colours.py).",
            unit="octaves",
        ),
    ),
    QuantityEntry(
        name="saturation",
        title="Saturation",
        unit="C*",
        decimals=0,
        higher="more saturated",
        lower="less saturated",
        # Downwards. Upwards a wooden board under the food alone raises it by a third, see
        # `auditor.series.colour.saturation`.
        set_rule=SetRule(
            noticeable=0.42,
            least_spread=0.08,
            reason="In whole frames the content alone hardly ever lowers saturation by a quarter "
            "(measured by tests/benchmarks/check_series_colours.py).",
            unit="octaves",
        ),
    ),
    QuantityEntry(
        name="palette",
        title="Palette",
        unit="CIEDE2000",
        decimals=0,
        planned_as=(ValueKind.COLOURS,),
        tolerance=ToleranceRule(
            12.0,
            100.0,
            "About 1 is just noticeable side by side; up to about 12 food and props in changing "
            "light still have the name of the planned colour (common practice, no source).",
        ),
        # `auditor.series.colour.palettes` defines the weight of a foreign colour.
        set_rule=SetRule(
            noticeable=0.5,
            least_spread=0.05,
            reason="A garnish on 2 % of the frame in a colour of its own (measured by "
            "tests/benchmarks/check_series.py).",
            unit="share times CIEDE2000",
            lower_is_fault=False,
        ),
    ),
    QuantityEntry(
        name="background",
        title="Background",
        unit="CIEDE2000",
        decimals=0,
        planned_as=(ValueKind.COLOURS,),
        tolerance=ToleranceRule(
            10.0,
            100.0,
            "A backdrop is one material: its shading over the frame is about 10, another backdrop "
            "usually more (common practice, no source).",
        ),
        reasons=(Reason.ONLY_SURFACE, Reason.ELEMENTS_FILL_FRAME),
    ),
    QuantityEntry(
        name="surface",
        title="Surface",
        unit="CIEDE2000",
        decimals=0,
        planned_as=(ValueKind.COLOURS,),
        tolerance=ToleranceRule(10.0, 100.0, "As for the background (common practice, no source)."),
        reasons=(Reason.ONLY_BACKGROUND, Reason.ELEMENTS_FILL_FRAME),
    ),
    QuantityEntry(
        name="subject_sharpness",
        title="Subject’s sharpness",
        unit="",
        decimals=2,
        higher="sharper",
        lower="softer",
        set_rule=SetRule(
            noticeable=0.5,
            least_spread=0.05,
            reason="Half of the scale from 0 to 1: sharpness varies with the texture of the food "
            "(common practice, no source).",
            higher_is_fault=False,
        ),
        reason_of="focus",
    ),
    QuantityEntry(
        name="focus",
        title="Focus",
        unit="",
        decimals=2,
        reasons=(Reason.NO_SUBJECT, Reason.TOO_SMALL, Reason.NO_TEXTURE),
    ),
    QuantityEntry(
        name="echo",
        title="Echo",
        unit="fraction of frame",
        decimals=0,
        reasons=(Reason.TOO_SMALL,),
        reason_of="subject",
    ),
    QuantityEntry(
        name="subject_tone",
        title="Subject’s tone",
        unit="L*",
        decimals=0,
        reasons=(Reason.TOO_SMALL,),
        reason_of="subject",
    ),
)
