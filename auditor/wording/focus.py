"""Sentences about focus: what is seen, its cause, and what to do."""

from __future__ import annotations

from auditor.record.picture_record import (
    FocusRecord,
)

SEEN = {
    "shallow focus": "The subject is sharp and much of the rest is soft: shallow depth of field, "
    "the focus where it belongs.",
    "deep focus": "The subject is sharp and so is most of the rest: deep depth of field.",
    "missed focus": "The subject is soft and something else is sharp: the focus was missed.",
    "motion blur": "Soft in one direction: the subject or the camera moved.",
    "soft all over": "Nothing in the frame is sharp: it is out of focus, or enlarged.",
}
"""What is seen, by its cause."""

REMEDIES = {
    "missed focus": "Choose another frame, or shoot again with the focus point on the subject: "
    "sharpening does not bring it back.",
    "motion blur": "Choose another frame, or shoot again from a tripod, with a remote release or a "
    "shorter exposure.",
    "soft all over": "Export it again from the original at full size; if that is soft, too, shoot "
    "again.",
}
"""What to do, where something has to be done."""

UNDECIDED = {
    True: "The subject is about as sharp as anything else in the frame.",
    False: "The subject looks softer than other parts, and the cause is not clear. Look at it at "
    "100% before it goes out.",
}
"""Sentences for where no cause is likely enough, by whether the subject is in focus."""


def focus_sentence(focus: FocusRecord) -> str:
    """Say the cause and what to do; empty where nothing could be measured."""
    if focus.subject_in_focus is None:
        return ""
    if not focus.cause:
        return UNDECIDED[focus.subject_in_focus]
    return f"{SEEN[focus.cause]} {REMEDIES.get(focus.cause, '')}".rstrip()
