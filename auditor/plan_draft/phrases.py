"""Every sentence that a draft holds as a comment, or that is said about it."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.geometry import Box
from auditor.sketch.drawn import SURE
from auditor.vocabulary.counts import count
from auditor.vocabulary.places import place_words
from auditor.wording.texts import listed

SURE_ALONE = "Only what is sure in {} is stated. Rename the things; leave out what is not meant."
CHECK_BY_EYE = "Check it by eye: numbers are as drawn, and a guess says so."


def heading_of_pictures(names: Sequence[str]) -> tuple[str, ...]:
    """The head of a draft that was made from finished pictures."""
    if len(names) == 1:
        return f'A draft from the finished picture "{names[0]}".', SURE_ALONE.format("it")
    return f"A draft from {len(names)} finished pictures.", SURE_ALONE.format("them")


def heading_of_sketches(names: Sequence[str], n_frames: int) -> tuple[str, ...]:
    """The head of a draft that was made from drawn pages."""
    what = f'the sketch "{names[0]}"' if len(names) == 1 else f"{len(names)} sketches"
    frames = count(n_frames, "frame")
    return f"A draft from {what}: {frames}, in reading order.", CHECK_BY_EYE


def heading_of_both(n_pages: int, n_pictures: int) -> tuple[str, ...]:
    """The head of a draft from drawn pages and finished pictures."""
    pages, pictures = count(n_pages, "sketch", "sketches"), count(n_pictures, "finished picture")
    return f"A draft from {pages} and {pictures}.", CHECK_BY_EYE


def shown_in(files: Sequence[str]) -> str:
    """Where what was understood of drawn pages can be seen."""
    return f"{', '.join(files)} {'shows' if len(files) == 1 else 'show'} what was understood."


def entry_comment(comment: str, confidence: float) -> str:
    """A comment, with how sure it is where it is a guess."""
    return "; ".join(part for part in (comment, guess(confidence)) if part)


def guess(confidence: float) -> str:
    """How sure a guess is; empty for what is sure."""
    return "" if confidence >= SURE else f"a guess: {confidence * 100:.0f} % sure"


def about_degrees(deg: float) -> str:
    """Beside a camera angle in words."""
    return f"about {deg:.0f} degrees"


def drawn_as(ratio: float) -> str:
    """Beside a usual aspect ratio that a drawn frame only comes near to."""
    return f"drawn as {ratio:.2f}"


def notes_not_read(notes: Sequence[Box]) -> str:
    """Where handwriting stands in a frame; empty for none."""
    places = list(dict.fromkeys(f"the {place_words(*note.centre)}" for note in notes))
    return f"handwriting at {listed(places)}, not read" if places else ""
