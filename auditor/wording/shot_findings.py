"""Sentences of findings about which picture belongs to which shot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from auditor.record.finding_record import FindingRecord
from auditor.wording.matches import no_shot_sentence


def missing_shot_sentence(finding: FindingRecord) -> str:
    """Say that a shot has no picture, or which shot has the picture that it names."""
    if finding.other_shots:
        taken = finding.other_shots[0]
        return (
            f"“{finding.shot}” has no picture of its own: what its patterns name was compared with "
            f"“{taken}”, which names it too and comes first in the plan."
        )
    return f"No picture was found for “{finding.shot}”."


def unplanned_sentence(finding: FindingRecord, assumed_of: Mapping[str, Sequence[str]]) -> str:
    """Say that a picture is of no shot, with the likeliest if it was matched by what it shows.

    Parameters
    ----------
    finding : FindingRecord
    assumed_of : mapping of str to sequence of str
        By the name of a shot, all pictures that were taken for it.
    """
    if finding.other_shots and isinstance(finding.value, float):
        likeliest = finding.other_shots[0]
        files = (*assumed_of.get(likeliest, ()), finding.files[0])
        return no_shot_sentence(likeliest, finding.value, files)
    return "No shot of the plan names this picture."


def fits_other_sentence(finding: FindingRecord) -> str:
    """Say that a picture fits another shot clearly better than its own."""
    return (
        f"By its name it is “{finding.shot}”, but it fits “{finding.other_shots[0]}” clearly "
        "better."
    )


def claimed_twice_sentence(finding: FindingRecord) -> str:
    """Say which shots name a picture."""
    return (
        f"Several shots name this picture: {', '.join(finding.other_shots)}. It was compared with "
        "the first."
    )
