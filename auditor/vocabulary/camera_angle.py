"""Names of camera angles, and the elevations above the table that they mean.

====================  ==========  ===========================================  ============
camera in words       elevation   also                                         zone
====================  ==========  ===========================================  ============
straight on           0 degrees   eye level, table level, level (with the      0 to 15
                                  table)
low                   22.5        low angle                                    15 to 30
three-quarter         45          three-quarter view, 45                       30 to 60
high                  70          high angle                                   60 to 80
overhead              90          flat lay, top down, bird's eye (view)        80 to 90
====================  ==========  ===========================================  ============

Straight on, three-quarter and overhead are the camera angles that food photographers name; "low"
and "high" describe what lies between them and mean the middle of their zones. A zone includes its
upper end (common practice, no source).
"""

from __future__ import annotations

from auditor.vocabulary.plain_words import plain_words

ELEVATION_WORDS = ("overhead", "high", "three-quarter", "low", "straight on")
# Upper ends of the zones in degrees, with the words for a measured angle.
CAMERA_WORDS = (
    (15.0, "level with the table"),
    (30.0, "low"),
    (60.0, "three-quarter"),
    (80.0, "high"),
    (90.0, "overhead"),
)

_LEVEL_DEG, _LOW_DEG, _THREE_QUARTER_DEG, _HIGH_DEG, _OVERHEAD_DEG = 0.0, 22.5, 45.0, 70.0, 90.0
_ELEVATION_DEG = {
    "overhead": _OVERHEAD_DEG,
    "flat lay": _OVERHEAD_DEG,
    "top down": _OVERHEAD_DEG,
    "birds eye": _OVERHEAD_DEG,
    "birds eye view": _OVERHEAD_DEG,
    "high": _HIGH_DEG,
    "high angle": _HIGH_DEG,
    "three quarter": _THREE_QUARTER_DEG,
    "three quarter view": _THREE_QUARTER_DEG,
    "45": _THREE_QUARTER_DEG,
    "low": _LOW_DEG,
    "low angle": _LOW_DEG,
    "straight on": _LEVEL_DEG,
    "eye level": _LEVEL_DEG,
    "table level": _LEVEL_DEG,
    "level": _LEVEL_DEG,
    "level with the table": _LEVEL_DEG,
}


def elevation_deg_of_words(text: str) -> float | None:
    """Turn the words for a camera angle into degrees above the table; None where unknown."""
    return _ELEVATION_DEG.get(plain_words(text))


def camera_words(elevation_deg: float) -> str:
    """Name a camera angle in words: ``"three-quarter"``."""
    return next((words for end, words in CAMERA_WORDS if elevation_deg <= end), "overhead")
