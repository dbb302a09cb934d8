"""The registry of reasons why a quantity has no value and why a picture was refused.

A record names a reason by its code; the page and the manual show its explanation.
"""

from enum import StrEnum


class Reason(StrEnum):
    """Why a quantity could not be told."""

    NO_SUBJECT = "no_subject"
    COMPETING_SUBJECTS = "competing_subjects"
    NO_DIAGONAL = "no_diagonal"
    NO_LEADING_LINES = "no_leading_lines"
    NO_SYMMETRY_TO_SEE = "no_symmetry_to_see"
    FEW_ELEMENTS = "few_elements"
    NO_INNER_FRAME = "no_inner_frame"
    NO_ROUND_RIM = "no_round_rim"
    RIMS_DISAGREE = "rims_disagree"
    NO_LEVEL_LINE = "no_level_line"
    FLAT_LIGHT = "flat_light"
    LIGHT_CUES_DISAGREE = "light_cues_disagree"
    NO_NEUTRAL = "no_neutral"
    ELEMENTS_FILL_FRAME = "elements_fill_frame"
    ONLY_SURFACE = "only_surface"
    ONLY_BACKGROUND = "only_background"
    TOO_SMALL = "too_small"
    NO_TEXTURE = "no_texture"


EXPLANATIONS: dict[Reason, str] = {
    Reason.NO_SUBJECT: "Nothing in the frame stands out clearly enough to be its subject.",
    Reason.COMPETING_SUBJECTS: "Several things stand out equally; which is the subject is open.",
    Reason.NO_DIAGONAL: "No slanted line is strong enough to lead the eye.",
    Reason.NO_LEADING_LINES: "No lines and no row of things lead surely to the subject.",
    Reason.NO_SYMMETRY_TO_SEE: "The picture is too empty to have two halves to compare.",
    Reason.FEW_ELEMENTS: "Fewer than three things were found; they form no triangle.",
    Reason.NO_INNER_FRAME: "Nothing was found that surely closes the picture in.",
    Reason.NO_ROUND_RIM: (
        "No rim of a plate, bowl or cup and no board was found to read the angle from."
    ),
    Reason.RIMS_DISAGREE: "The rims found speak of different camera angles.",
    Reason.NO_LEVEL_LINE: "Nothing surely tells what is level: no long edge, no rim seen aslant.",
    Reason.FLAT_LIGHT: "The light is too even to say where it comes from.",
    Reason.LIGHT_CUES_DISAGREE: "Shadows and shading speak of different light directions.",
    Reason.NO_NEUTRAL: "Nothing near neutral (white, grey or black) was found to judge colour by.",
    Reason.ELEMENTS_FILL_FRAME: "The food fills the frame; too little ground is left to measure.",
    Reason.ONLY_SURFACE: "Seen from this angle the frame shows the surface only, no background.",
    Reason.ONLY_BACKGROUND: "The frame shows no surface apart from the background.",
    Reason.TOO_SMALL: "The picture has too few pixels for this measurement.",
    Reason.NO_TEXTURE: "The subject is too smooth to judge sharpness by.",
}


class RefusalReason(StrEnum):
    """Why a picture could not be measured at all."""

    EMPTY_FILE = "empty_file"
    NOT_A_PICTURE = "not_a_picture"
    TRUNCATED = "truncated"
    NO_PIXELS = "no_pixels"
    NO_PERMISSION = "no_permission"
    VANISHED = "vanished"
    DISK_FAULT = "disk_fault"
    TOO_FEW_PIXELS = "too_few_pixels"
    MEASURING_FAILED = "measuring_failed"
    UNSUPPORTED = "unsupported"
    TOO_LARGE = "too_large"
    DAMAGED = "damaged"


REFUSALS: dict[RefusalReason, str] = {
    RefusalReason.EMPTY_FILE: "The file is empty.",
    RefusalReason.NOT_A_PICTURE: "The file's contents are not a picture, whatever its name says.",
    RefusalReason.TRUNCATED: "The file ends before the picture does.",
    RefusalReason.NO_PIXELS: "The file says that the picture is 0 pixels wide or high.",
    RefusalReason.NO_PERMISSION: "The file may not be read by this user.",
    RefusalReason.VANISHED: "The file was there when the folder was read, and no longer is.",
    RefusalReason.DISK_FAULT: "The disk or the network did not give the file.",
    RefusalReason.TOO_FEW_PIXELS: "The picture is too small, or too narrow a strip, to measure.",
    RefusalReason.MEASURING_FAILED: "The picture was read, but measuring it failed: a fault of"
    " auditor.",
    RefusalReason.UNSUPPORTED: "The picture is of a kind that cannot be read here.",
    RefusalReason.TOO_LARGE: "The picture has more pixels than can be decoded safely.",
    RefusalReason.DAMAGED: "The picture's data are damaged.",
}
