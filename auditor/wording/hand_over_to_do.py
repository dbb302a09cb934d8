"""What to do about a broken rule of a hand-over, in one short sentence."""

from __future__ import annotations

from auditor.record.finding_record import FindingRecord

NONE_ASKED = "none"
NO_FILES = "files"  # a channel without a picture
IN_METADATA = {
    "location": "the location",
    "serial_numbers": "the serial numbers and the owner’s name",
    "creator": "the creator",
    "copyright": "the copyright",
    "caption": "the caption",
    "keywords": "the keywords",
}
RENAMED = frozenset(
    {
        "names",
        "first_number",
        "name_length",
        "number_gaps",
        "number_doubles",
        "spaces_in_names",
        "safe_names",
        "lower_case_names",
    }
)
DEVELOPED = frozenset(
    {"clipped_highlights", "clipped_shadows", "subject_highlights", "subject_shadows"}
)
COUNTED = frozenset(
    {
        "pictures",
        "files",
        "portrait",
        "landscape",
        "square",
        "overhead",
        "high",
        "three_quarter",
        "low",
        "straight_on",
    }
)
OTHERS = {
    "writing": "Hand {it} over without the writing.",
    "border": "Hand {it} over without the border.",
    "halos": "Export {it} again with less sharpening.",
    "subject_sharpness": "Export {it} again with more sharpening, or choose a sharper picture.",
    "same_picture_twice": "Hand each picture over once.",
    "crops_of_one_picture": "Hand over one crop of each picture.",
    "one_look": "Bring {it} back to the look of the others.",
}


def hand_over_to_do(finding: FindingRecord) -> str:
    """What to do about a rule that one picture or several break."""
    rule, one = finding.rule or "", len(finding.files) == 1
    it = "it" if one else "them"
    if rule in OTHERS:
        return OTHERS[rule].format(it=it)
    if rule in IN_METADATA:
        what, file = IN_METADATA[rule], "file" if one else "files"
        if rule == "serial_numbers" or finding.expected == NONE_ASKED:
            return f"Remove {what} from the {file}."
        return f"Write {what} into the metadata of the {file}."
    if rule in RENAMED:
        return f"Rename {it}."
    if rule in DEVELOPED:
        return f"Develop {it} again, so that less is clipped."
    if rule in COUNTED:
        return (
            "Add the missing pictures." if rule == NO_FILES else "Add pictures or leave some out."
        )
    return f"Export {it} again."
