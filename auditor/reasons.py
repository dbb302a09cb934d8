"""The registry of reasons why a quantity has no value and why a picture was refused.

A record stores the code of a reason. The page and the README show why a value is missing; for a
refused picture the README explains the code, and the record has a message about the one file.
"""

from enum import StrEnum


class Reason(StrEnum):
    """Why a quantity has no value."""

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
    ONLY_FALL_OFF = "only_fall_off"
    LIGHT_CUES_DISAGREE = "light_cues_disagree"
    NO_NEUTRAL = "no_neutral"
    ELEMENTS_FILL_FRAME = "elements_fill_frame"
    ONLY_SURFACE = "only_surface"
    ONLY_BACKGROUND = "only_background"
    NO_MAIN_COLOUR = "no_main_colour"
    TOO_SMALL = "too_small"
    NO_TEXTURE = "no_texture"


EXPLANATIONS: dict[Reason, str] = {
    Reason.NO_SUBJECT: "Nothing in the frame stands out clearly enough to be the subject.",
    Reason.COMPETING_SUBJECTS: "Several things stand out equally, so the subject is unclear.",
    Reason.NO_DIAGONAL: "No slanted line is strong enough to lead the eye.",
    Reason.NO_LEADING_LINES: "No lines and no row of things clearly lead to the subject.",
    Reason.NO_SYMMETRY_TO_SEE: "The picture is too empty to compare its two halves.",
    Reason.FEW_ELEMENTS: "Fewer than three things were found, too few for a triangle.",
    Reason.NO_INNER_FRAME: "Nothing was found that clearly frames the subject.",
    Reason.NO_ROUND_RIM: (
        "No rim of a plate, bowl or cup and no edges of a board or a square dish were found to "
        "measure the angle from."
    ),
    Reason.RIMS_DISAGREE: "The rims imply different camera angles.",
    Reason.NO_LEVEL_LINE: (
        "Nothing shows reliably what is level: no long edge, no rim seen at an angle."
    ),
    Reason.FLAT_LIGHT: "The light is too even, or from too high, to show a side.",
    Reason.ONLY_FALL_OFF: (
        "Only the fall-off of brightness over the frame shows a side; shadows and shading do not"
        " confirm it, and a gradient looks the same."
    ),
    Reason.LIGHT_CUES_DISAGREE: "Shadows and shading point to different light directions.",
    Reason.NO_NEUTRAL: (
        "Nothing close to neutral (white, grey or black) was found to judge colour by."
    ),
    Reason.ELEMENTS_FILL_FRAME: (
        "The food fills the frame; too little around it is left to measure."
    ),
    Reason.ONLY_SURFACE: "From this angle the frame shows only the surface, no background.",
    Reason.ONLY_BACKGROUND: "The frame shows no surface separate from the background.",
    Reason.NO_MAIN_COLOUR: "No colour covers most of it.",
    Reason.TOO_SMALL: "The picture has too few pixels for this measurement.",
    Reason.NO_TEXTURE: "The subject is too smooth to judge sharpness by.",
}


class RefusalReason(StrEnum):
    """Why a picture was refused and has no measurements at all."""

    EMPTY_FILE = "empty_file"
    NOT_A_FILE = "not_a_file"
    NOT_A_PICTURE = "not_a_picture"
    TRUNCATED = "truncated"
    NO_PIXELS = "no_pixels"
    NO_PERMISSION = "no_permission"
    VANISHED = "vanished"
    DISK_FAULT = "disk_fault"
    TOO_FEW_PIXELS = "too_few_pixels"
    MEASURING_FAILED = "measuring_failed"
    PROCESS_KILLED = "process_killed"
    TOO_SLOW = "too_slow"
    UNSUPPORTED = "unsupported"
    TOO_LARGE = "too_large"
    DAMAGED = "damaged"


REFUSALS: dict[RefusalReason, str] = {
    RefusalReason.EMPTY_FILE: "The file is empty.",
    RefusalReason.NOT_A_FILE: "It is a pipe, a socket, a device or a folder, or a link to one.",
    RefusalReason.NOT_A_PICTURE: "The file is not a picture, although its name suggests one.",
    RefusalReason.TRUNCATED: "The file ends before the picture does.",
    RefusalReason.NO_PIXELS: "The file describes a picture that is 0 pixels wide or high.",
    RefusalReason.NO_PERMISSION: "You do not have permission to read the file.",
    RefusalReason.VANISHED: "The file was in the folder at the start and is gone now.",
    RefusalReason.DISK_FAULT: "The disk or the network failed while the file was read.",
    RefusalReason.TOO_FEW_PIXELS: "The picture is too small or too narrow to measure.",
    RefusalReason.MEASURING_FAILED: (
        "Reading or measuring the picture failed because of a fault in auditor."
    ),
    RefusalReason.PROCESS_KILLED: (
        "The process that measured the picture was killed, and killed again when it measured this"
        " picture alone."
    ),
    RefusalReason.TOO_SLOW: "Reading and measuring the picture took longer than two minutes.",
    RefusalReason.UNSUPPORTED: "Pictures of this kind cannot be read here.",
    RefusalReason.TOO_LARGE: "The picture has more pixels than can be decoded safely.",
    RefusalReason.DAMAGED: "The picture's data is damaged.",
}
