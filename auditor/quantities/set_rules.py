"""From when on a picture stands out from the set in each quantity.

How a quantity is read from a picture is in `auditor.series`.
"""

from auditor.quantities.registry import SetRule

# With fewer pictures no rule says which of them is the exception (common practice, no source),
# unless it is known what sets usually spread by: then three are enough.
LEAST_PICTURES_FOR_OUTLIERS = 5
LEAST_PICTURES_WITH_USUAL_SPREAD = 3

# A hero is the picture in which the subject is large beside the other pictures: by so many times
# the share of the frame that it has in the median picture of the set. 1.5 times the share is 1.2
# times as wide and high, a step nearer that is seen in a row of pictures (our choice, no source).
HERO_TIMES = 1.5

# Usual spreads, where known: of 32 sets of 3 to 6 photographs of one table, by phone (27, ECUSTFD)
# and by food bloggers (5, of a public-domain recipe collection), half are below 0.12 EV over what
# their pictures share, and below 7 mired. That of tint is the smallest that is assumed (no source).

_SIZES_VARY = "Sizes vary from frame to frame on purpose (common practice, no source)."
_ANGLES_VARY = "Angles vary from frame to frame on purpose (common practice, no source)."

SET_RULES: dict[str, SetRule] = {
    "subject_size": SetRule(
        noticeable=0.15,
        least_spread=0.04,
        reason=_SIZES_VARY,
        varied_as="Several sizes",
        read_from=("subject", "area_fraction"),
    ),
    "camera_elevation": SetRule(
        noticeable=15,
        least_spread=4,
        reason=_ANGLES_VARY,
        varied_as="Several angles",
        read_from=("camera_elevation", "deg"),
        must_exceed_tolerance=True,
    ),
    "light": SetRule(
        noticeable=2,
        least_spread=0.5,
        reason=_ANGLES_VARY,
        circular=True,
        varied_as="Several directions of light",
        read_from=("light", "clock"),
        must_exceed_tolerance=True,
    ),
    "negative_space": SetRule(
        noticeable=0.2,
        least_spread=0.05,
        reason=_SIZES_VARY,
        read_from=("negative_space", "fraction"),
        must_exceed_tolerance=True,
    ),
    "roll": SetRule(
        noticeable=1,
        least_spread=0.4,
        reason="Beside a level picture a tilt of 1 degree is seen (common practice, no source).",
        read_from=("roll", "deg"),
        must_exceed_tolerance=True,
    ),
    "colour_temperature": SetRule(
        noticeable=15,
        least_spread=5,
        usual_spread=7,
        reason="Three steps of about 5 mired, each just noticeable (from memory).",
    ),
    "tint": SetRule(
        noticeable=0.006,
        least_spread=0.003,
        usual_spread=0.003,
        reason="Smaller shifts to green or pink are ordinary (common practice, no source).",
        read_from=("colour_temperature", "duv"),
    ),
    "exposure": SetRule(
        noticeable=1 / 3,
        least_spread=0.1,
        usual_spread=0.15,
        reason="The step of exposure controls (common practice, no source).",
    ),
    "contrast": SetRule(
        noticeable=0.6,
        least_spread=0.1,
        reason="In whole frames a dark kettle or a fall-off of light changes contrast by a "
        "third either way (measured by tests/benchmarks/check_series_colours.py).",
        unit="octaves",
    ),
    "saturation": SetRule(
        noticeable=0.42,
        least_spread=0.08,
        reason="In whole frames the content alone hardly ever lowers saturation by a quarter "
        "(measured by tests/benchmarks/check_series_colours.py).",
        unit="octaves",
    ),
    "palette": SetRule(
        noticeable=0.5,
        least_spread=0.05,
        reason="A garnish on 2 % of the frame in a colour of its own (measured by "
        "tests/benchmarks/check_series.py).",
        unit="share times CIEDE2000",
        lower_is_fault=False,
    ),
    "subject_sharpness": SetRule(
        noticeable=0.5,
        least_spread=0.05,
        reason="Half of the scale from 0 to 1: sharpness varies with the texture of the food "
        "(common practice, no source).",
        higher_is_fault=False,
        read_from=("focus", "subject_sharpness"),
    ),
}
