"""Every sentence that a draft holds as a comment, or that is said about it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from auditor.geometry import Box
from auditor.sketch.drawn import DrawnFrame, Guess
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.counts import count
from auditor.vocabulary.light import light_words
from auditor.vocabulary.places import place_words
from auditor.wording.texts import listed

# From this confidence on a value that was read from a drawing carries no remark (our choice).
SURE = 0.8
SURE_ALONE = "Only what is sure in {} is stated. Rename the things; leave out what is not meant."
SUBJECT, NOT_READ, EMPTY = "subject", "not read", "empty"  # in the picture of what was understood
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


def caption_lines(frame: DrawnFrame, name: str) -> list[str]:
    """What stands below a frame in the picture of what was understood."""
    lines = [name]
    if frame.technique is not None:
        lines.append(_sure(frame.technique.value, frame.technique))
    if frame.camera_elevation_deg is not None:
        camera = frame.camera_elevation_deg
        words = f"camera {camera_words(camera.value)}, {about_degrees(camera.value)}"
        lines.append(_sure(words, camera))
    if frame.light_clock is not None:
        lines.append(_sure(light_words(frame.light_clock.value), frame.light_clock))
    if frame.empty_fraction is not None:
        share = f"{frame.empty_fraction.value * 100:.0f} % empty"
        lines.append(_sure(share, frame.empty_fraction))
    if frame.empty_side is not None:
        lines.append(_sure(f"empty space: {frame.empty_side.value}", frame.empty_side))
    return lines


def _sure(words: str, one: Guess[Any]) -> str:
    return entry_comment(words, one.confidence)


def drawn_as(ratio: float) -> str:
    """Beside a usual aspect ratio that a drawn frame only comes near to."""
    return f"drawn as {ratio:.2f}"


def notes_not_read(notes: Sequence[Box]) -> str:
    """Where handwriting stands in a frame; empty for none."""
    places = list(dict.fromkeys(f"the {place_words(*note.centre)}" for note in notes))
    return f"handwriting at {listed(places)}, not read" if places else ""
