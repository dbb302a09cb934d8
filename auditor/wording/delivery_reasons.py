"""Why a rule of a hand-over could not be checked."""

from __future__ import annotations

NOT_CHECKABLE = {
    "refused": "a picture could not be measured",
    "unreadable": "the file could not be read",
    "metadata_unreadable": "the metadata could not be read",
    "broken_metadata": "a part of the metadata is damaged and could not be read",
    "maker_note": (
        "the file has notes of the camera’s maker, which may hold a serial number in a form of "
        "their own; export it without them"
    ),
    "no_subject": "no subject was found",
    "no_focus": "the sharpness of the subject could not be measured",
    "few_edges": "there are too few sharp edges to see halos beside",
    "near_limit": "too near to the limit to decide",
    "open_pictures": "of some pictures the measurements do not say",
    "few_pictures": "there are too few pictures to say which of them leaves the set",
    "no_numbers": "no name with a number was found",
    "no_pictures": "there are no pictures that it is about",
    "unknown_bits": "the file does not say how deep its colours are",
    "unknown_colours": "the kind of its colours is unknown",
    "unknown_profile": "the embedded colour profile could not be read",
}
