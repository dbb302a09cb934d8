"""Headings and sentences of the page that are the same in every report.

Where there are braces, a name or a number is put in.
"""

from __future__ import annotations

PAGE_TEXTS: dict[str, str] = {
    "skip": "Skip to the audit",
    "parts": "Parts of this page",
    "glance": "At a glance",
    "contact": "Contact sheet",
    "set": "The set",
    "portfolio": "Variety and repetition",
    "variety": "Variety",
    "repetition": "What repeats",
    "no_repetition": "No picture repeats another one in angle, layout and colours.",
    "shared": "What they share",
    "only_one": "What only one has",
    "weakest": "Technical faults",
    "no_weakest": "No picture has a technical fault that was measured with confidence.",
    "order": "Order",
    "unknown_class": "could not be told",
    "class_key": (
        "Each bar is a class, with the number of its pictures and then the pictures’ own numbers; "
        "what could not be told is counted last."
    ),
    "shots": "Planned shots",
    "pictures": "Picture by picture",
    "one_picture": "The picture",
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
    "attention": "What to do",
    "nothing": "Nothing stands out.",
    "against_plan": "Against the plan",
    "no_picture": "no picture",
    "shot_missing": "missing",
    "show_more": "Show {} more",
    "one_a_page": "One picture a page when printed",
    "marks": "Marks",
    "advice": "What would help",
    "before": "As it is",
    "after": "Corrected",
    "before_correction": "{} as it is",
    "after_correction": "{} corrected",
    "crop_drawn": "The crop drawn over the picture",
    "all_measurements": "All measurements",
    "reading_figures": "The figures behind this",
    "settings": "Camera settings",
    "rules": "Rules for the set",
    "rule_counted": "Pictures that count: ",
    "rule_pairs": "Pairs: ",
    "rule_unknown": "Not known of: ",
    "delivery": "Hand-over",
    "delivery_met": "met",
    "delivery_missed": "missed",
    "delivery_undecided": "not checkable",
    "delivery_kept": "{} met",
    "all_pictures": "all pictures",
    "groups": "Groups",
    "alike": "Nearly the same",
    "crops": "The same picture, cropped",
    "board": "The palettes of all pictures side by side in the order of the set, dark to light",
    "greys": "The mean lightness of all pictures side by side as greys",
    "side_by_side": "The pictures side by side",
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
        "with what was measured drawn on it. The small dial is the table seen from above, the "
        "camera at the bottom; the arrow shows the direction in which the light falls. A "
        "probability given with a value is the chance that the error is no larger than the amount "
        "given there."
    ),
    "reading_plan": (
        "What was measured is drawn solid, what was planned dashed. The pale area or the large "
        "dashed circle is where the subject may be: its planned place with what is allowed around "
        "it. A name stands at what was taken to be that thing. “Undecided” is a verdict too: the "
        "picture shows too little to decide, and the reason stands beside it. What is off its "
        "plan on purpose keeps its verdict, with the plan’s reason, and is not counted as missed."
    ),
    "other_formats": "The same audit for other programs",
    "for_spreadsheets": "the measurements and the verdicts for a spreadsheet",
}


def made_by(version: str, created: str) -> str:
    """Say which version made the page, and when."""
    return f"Made by auditor {version}, {created}."
