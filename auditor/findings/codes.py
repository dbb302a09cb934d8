"""The registry of findings: what may need attention, and in which order.

A record names a finding by its code; `auditor.wording.findings` makes its sentence.
"""

from __future__ import annotations

from enum import StrEnum


class FindingCode(StrEnum):
    """What a finding is, the gravest first.

    First what cannot be undone after a hand-over, then what has to be shot again, then what can be
    mended (common practice, no source).
    """

    LOCATION = "location"
    DELIVERY = "delivery"
    WRITING = "writing"
    UNREADABLE_FOLDER = "unreadable_folder"
    REFUSED = "refused"
    INCOMPLETE = "incomplete"
    MISSING_SHOT = "missing_shot"
    SET_RULE = "set_rule"
    MISSED_FOCUS = "missed_focus"
    MOTION_BLUR = "motion_blur"
    OFTEN_MISSED = "often_missed"
    MISSED = "missed"
    SET_OUTLIER = "set_outlier"
    TEMPERATURE_GROUP = "temperature_group"
    BORDER = "border"
    UNPLANNED = "unplanned"
    DOUBTFUL_MATCH = "doubtful_match"
    FITS_OTHER_SHOT = "fits_other_shot"
    CLAIMED_TWICE = "claimed_twice"
    SAME_FILE = "same_file"
    NEARLY_THE_SAME = "nearly_the_same"
    CROPPED = "cropped"
    REPEATED = "repeated"


MEANINGS: dict[FindingCode, str] = {
    FindingCode.LOCATION: "The file says where it was taken.",
    FindingCode.DELIVERY: "A rule of the hand-over is broken.",
    FindingCode.WRITING: "The picture carries a caption, a signature or a watermark.",
    FindingCode.UNREADABLE_FOLDER: "A folder of pictures could not be read.",
    FindingCode.REFUSED: "A picture could not be measured.",
    FindingCode.INCOMPLETE: "A part of the picture is one flat grey: its data seem to be missing.",
    FindingCode.MISSING_SHOT: "A planned shot has no picture.",
    FindingCode.SET_RULE: "The set breaks a rule that the plan has for it.",
    FindingCode.MISSED_FOCUS: "The subject is soft and something else is sharp.",
    FindingCode.MOTION_BLUR: "The subject is blurred in one direction.",
    FindingCode.OFTEN_MISSED: "Four or more pictures miss their plan in the same quantity.",
    FindingCode.MISSED: "A picture misses its plan in one item.",
    FindingCode.SET_OUTLIER: "A picture leaves the set in one quantity.",
    FindingCode.TEMPERATURE_GROUP: "Several pictures are warmer or cooler than most.",
    FindingCode.BORDER: "Some pictures of the set have a border and some have none.",
    FindingCode.UNPLANNED: "The picture belongs to no shot of the plan.",
    FindingCode.DOUBTFUL_MATCH: "It is not certain which shot the picture is of.",
    FindingCode.FITS_OTHER_SHOT: "A picture fits another shot clearly better than its own.",
    FindingCode.CLAIMED_TWICE: "Several shots of the plan name the picture.",
    FindingCode.SAME_FILE: "The same file occurs more than once.",
    FindingCode.NEARLY_THE_SAME: "Pictures can hardly be distinguished from each other.",
    FindingCode.CROPPED: "Pictures are the same picture, cropped differently.",
    FindingCode.REPEATED: "Pictures that are no one set repeat each other.",
}

# `--strict` ends with 1 for these: something misses its plan, breaks the set or a hand-over rule.
BREAKING = frozenset(
    {
        FindingCode.DELIVERY,
        FindingCode.MISSING_SHOT,
        FindingCode.SET_RULE,
        FindingCode.OFTEN_MISSED,
        FindingCode.MISSED,
        FindingCode.SET_OUTLIER,
    }
)

# Shown beside the picture too: these are about its file, not about what is in the picture.
ABOUT_FILES = frozenset(
    {
        FindingCode.LOCATION,
        FindingCode.INCOMPLETE,
        FindingCode.UNPLANNED,
        FindingCode.FITS_OTHER_SHOT,
        FindingCode.CLAIMED_TWICE,
    }
)


def is_breaking(code: FindingCode) -> bool:
    """Whether a finding means that something misses its plan, breaks the set or a rule."""
    return code in BREAKING
