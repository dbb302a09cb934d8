"""What a draft states about one finished picture: only what is sure, in words where they hold.

For each quantity there are several ways to write it, the plainest first. The first that the picture
meets, compared as an audit compares it, is taken; where it meets none, or its measurement is not
sure enough, the draft says nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import near_techniques
from auditor.plan_draft import rounding
from auditor.plan_draft.colours import ground_entries, palette_entry
from auditor.plan_draft.draft import Entry
from auditor.plan_draft.phrases import about_degrees
from auditor.plan_draft.proof import SeenPicture
from auditor.plan_draft.supporting import supporting_entry
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.diagonals import slope_word
from auditor.vocabulary.places import place_words
from auditor.vocabulary.ratios import is_possible_ratio
from auditor.vocabulary.temperatures import TEMPERATURES

# The camera angle as people plan it, for the words of a measured one.
_PLANNED_CAMERA = {"level with the table": "straight on"}


def entries_of(picture: SeenPicture) -> tuple[Entry, ...]:
    """What is sure about a picture, in the order in which a plan is usually written."""
    each = (entry_of(key, picture) for key in _OPTIONS)
    return tuple(entry for entry in each if entry is not None)


def entry_of(key: str, picture: SeenPicture) -> Entry | None:
    """What is sure about one quantity; None for nothing."""
    return next((one for one in _OPTIONS[key](picture) if picture.meets(one)), None)


def _technique(picture: SeenPicture) -> Iterator[Entry]:
    measured = picture.measured
    if picture.is_sure(measured.subject):
        yield from (Entry("technique", name) for name in near_techniques(measured.technique_fit))


def _subject(picture: SeenPicture) -> Iterator[Entry]:
    subject = picture.measured.subject
    if subject.value is None or not picture.is_sure(subject):
        return
    at = rounding.place(subject.value.centroid)
    words = place_words(*subject.value.centroid)
    size = rounding.share(subject.value.area_fraction)
    yield Entry("subject", {"at": at, "size": size}, words)
    yield Entry("subject", {"at": at}, words)
    yield Entry("subject", {"size": size})


def _camera_elevation(picture: SeenPicture) -> Iterator[Entry]:
    found = picture.measured.camera_elevation
    if found.value is None or not picture.is_sure(found):
        return
    words = camera_words(found.value.deg)
    deg = rounding.elevation(found.value.deg)
    yield Entry("camera_elevation", _PLANNED_CAMERA.get(words, words), about_degrees(deg))
    yield Entry("camera_elevation", deg)


def _light(picture: SeenPicture) -> Iterator[Entry]:
    found = picture.measured.light
    if found.value is not None and picture.is_sure(found):
        yield Entry("light", {"from": rounding.light_word(found.value.clock)})
        yield Entry("light", {"clock": rounding.clock(found.value.clock)})


def _negative_space(picture: SeenPicture) -> Iterator[Entry]:
    found = picture.measured.negative_space
    if found.value is None or not picture.is_sure(found):
        return
    if found.value.side == "none":
        yield Entry("negative_space", {"side": "none"})
        return
    fraction = rounding.share(found.value.fraction)
    yield Entry("negative_space", {"fraction": fraction, "side": found.value.side})
    yield Entry("negative_space", {"fraction": fraction})
    yield Entry("negative_space", {"side": found.value.side})


def _diagonal(picture: SeenPicture) -> Iterator[Entry]:
    found = picture.measured.diagonal
    if found.value is not None and picture.is_sure(found):
        yield Entry("diagonal", slope_word(found.value.angle_deg))


def _colour_temperature(picture: SeenPicture) -> Iterator[Entry]:
    found = picture.temperature
    if found.value is not None and picture.is_sure(found):
        yield temperature_entry(found.value)


def temperature_entry(mired: float) -> Entry:
    """A colour temperature in kelvin, with the word for it as the comment."""
    words = min(TEMPERATURES, key=lambda one: abs(one.nominal_mired - mired)).words
    return Entry("colour_temperature", {"kelvin": rounding.kelvin(1e6 / mired)}, words)


def _background(picture: SeenPicture) -> Iterator[Entry]:
    if picture.is_sure(picture.measured.background):
        yield from ground_entries("background", picture.measured.background)


def _surface(picture: SeenPicture) -> Iterator[Entry]:
    if picture.is_sure(picture.measured.surface):
        yield from ground_entries("surface", picture.measured.surface)


def _palette(picture: SeenPicture) -> Iterator[Entry]:
    yield from palette_entry(picture.measured.palette)


def _aspect_ratio(picture: SeenPicture) -> Iterator[Entry]:
    ratio = _ratio(picture.measured)
    if not is_possible_ratio(ratio):
        return
    usual = rounding.usual_ratio(ratio)
    if usual is not None:
        yield Entry("aspect_ratio", usual)
    yield Entry("aspect_ratio", round(ratio, 2))


def _ratio(measured: MeasuredPhotograph) -> float:
    return measured.width / measured.height


_OPTIONS: dict[str, Callable[[SeenPicture], Iterator[Entry]]] = {
    "technique": _technique,
    "subject": _subject,
    "supporting": supporting_entry,
    "camera_elevation": _camera_elevation,
    "light": _light,
    "negative_space": _negative_space,
    "diagonal": _diagonal,
    "colour_temperature": _colour_temperature,
    "palette": _palette,
    "background": _background,
    "surface": _surface,
    "aspect_ratio": _aspect_ratio,
}

KEYS = tuple(_OPTIONS)  # in the order of the file
