"""Headings and sentences of the page that are the same in every report.

Where there are braces, a name or a number is put in.
"""

from __future__ import annotations

PAGE_TEXTS: dict[str, str] = {
    "skip": "Skip to the pictures’ audit",
    "parts": "Parts of this page",
    "glance": "At a glance",
    "contact": "Contact sheet",
    "set": "The set",
    "shots": "Planned shots",
    "pictures": "Picture by picture",
    "refused": "Could not be measured",
    "page_title": "{}: audit",
    "planned": "Planned",
    "measured": "Measured",
    "off_by": "Off by",
    "verdict": "Verdict",
    "item": "Item",
    "quantity": "Quantity",
    "value": "Value",
    "how_sure": "How sure",
    "shot": "Shot",
    "note": "Note",
    "caution": "Caution",
    "key_measured": "measured",
    "key_planned": "planned",
    "more": "{} more",
    "and_more": "and {} more",
    "more_outliers": " leave the set in {}",
    "picture_named": "The picture {}",
    "marks_on": "Marks on {}",
    "picture_against_plan": "{} against its plan",
    "of_picture": " of {}",
    "from_picture": ", from {}",
    "manual": "How to read this",
    "attention": "What needs your attention",
    "nothing": "Nothing stands out.",
    "against_plan": "Against the plan",
    "no_picture": "no picture",
    "marks": "Marks",
    "advice": "What would help",
    "before": "As it is",
    "after": "Corrected",
    "before_correction": "{} as it is",
    "after_correction": "{} corrected",
    "crop_drawn": "The crop drawn over the picture",
    "all_measurements": "All measurements",
    "settings": "Camera settings",
    "rules": "Rules for the set",
    "rule_counted": "Pictures that count: ",
    "rule_pairs": "Pairs: ",
    "rule_unknown": "Not known of: ",
    "groups": "Groups",
    "alike": "Nearly the same",
    "crops": "The same picture, cropped",
    "board": "The palettes of all pictures side by side in the order of the set, dark to light",
    "greys": "The mean lightness of all pictures side by side as greys",
    "board_caption": (
        "Palettes of all pictures in the order of the set, each from dark to light; beneath, the "
        "mean lightness of each as a grey."
    ),
    "chart_key": (
        "Each dot is a picture. The line is the median of the set, or of its largest group, where "
        "it has one, the grey band its spread; a ringed dot with its number leaves the set."
    ),
    "purpose": (
        "Measurements serve the photographer’s judgement. They replace neither a client’s brief "
        "nor a calibrated display."
    ),
    "reading": (
        "The first picture of each pair is the finished picture; the second is the same in greys "
        "with what was measured (solid) and what was planned (dashed) drawn on it. The pale area "
        "or the large dashed circle is where the subject may be: its planned place with what is "
        "allowed around it. A name stands at what was taken to be that thing. The small dial is "
        "the table seen from above, the camera at the bottom; the arrow shows the direction in "
        "which the light falls. “Undecided” is a verdict too: the picture shows too little to "
        "decide, and the reason stands beside it. What is off its plan on purpose keeps its "
        "verdict, with the plan’s reason, and is not counted as missed. A probability given with a "
        "value is the chance that the error is no larger than the amount given there."
    ),
    "other_formats": "The same audit for other programs",
    "for_spreadsheets": "the measurements for a spreadsheet",
}


def made_by(version: str, created: str) -> str:
    """Say which version made the page, and when."""
    return f"Made by auditor {version}, {created}."
