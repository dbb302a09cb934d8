"""The rules about each picture: one check by the key of its rule."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from auditor.delivery.examining import Examined
from auditor.delivery.file_facts import FileFacts
from auditor.delivery.halos import SPREAD
from auditor.delivery.judged import Outcome, Why, undecided, within
from auditor.delivery.metadata import Metadata
from auditor.delivery.rules import Asked
from auditor.measurements.measured_photograph import MeasuredPhotograph

_ENDINGS = {
    "JPEG": (".jpg", ".jpeg", ".jpe", ".jfif", ".jif", ".mpo"),
    "PNG": (".png",),
    "TIFF": (".tif", ".tiff"),
    "WebP": (".webp",),
    "AVIF": (".avif",),
    "HEIC": (".heic", ".heif", ".hif"),
}
# The portable file name character set, and no hyphen in front (IEEE Std 1003.1, 3.265 and 4.7).
_SAFE = re.compile(r"[A-Za-z0-9._][A-Za-z0-9._-]*")
_PIXEL = 1  # each side of a crop is rounded to a whole one


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything known of one picture.

    Attributes
    ----------
    file : str
    examined : Examined
    picture : MeasuredPhotograph or None
        None if it could not be measured.
    """

    file: str
    examined: Examined
    picture: MeasuredPhotograph | None

    @property
    def name(self) -> PurePosixPath:
        """Its name without the folder."""
        return PurePosixPath(PurePosixPath(self.file).name)

    @property
    def facts(self) -> FileFacts:
        """What is known without its pixels."""
        return self.examined.facts


_Check = Callable[[Asked, Seen], Outcome]
_Size = Callable[[int, int], float]


def _holds(kept: bool, found: str | None = None, why: Why | None = None) -> Outcome:
    return Outcome("met", found) if kept else Outcome("missed", found, why)


def _size(measure: _Size) -> _Check:
    def check(asked: Asked, seen: Seen) -> Outcome:
        size = _size_of(seen)
        if size is None:
            return undecided(Why.UNREADABLE)
        return within(asked.accepted, float(measure(*size)))

    return check


def _size_of(seen: Seen) -> tuple[int, int] | None:
    if seen.picture is not None:
        return seen.picture.width, seen.picture.height
    return seen.facts.size_px


def _ratio(asked: Asked, seen: Seen) -> Outcome:
    """Whether some rounding of both sides to whole pixels has the ratio."""
    size = _size_of(seen)
    if size is None or min(size) <= _PIXEL:
        return undecided(Why.UNREADABLE)
    width, height = size
    least, most = (width - 0.5) / (height + 0.5), (width + 0.5) / (height - 0.5)
    spans = () if asked.accepted is None else asked.accepted.spans
    kept = any(most >= first and least <= last for first, last in spans)
    return Outcome("met" if kept else "missed", width / height)


def _bytes(asked: Asked, seen: Seen) -> Outcome:
    n_bytes = seen.facts.n_bytes
    if n_bytes is None:
        return undecided(Why.UNREADABLE)
    return within(asked.accepted, float(n_bytes))


def _type(asked: Asked, seen: Seen) -> Outcome:
    kind = seen.facts.kind
    if kind is None:
        return (
            undecided(Why.UNREADABLE)
            if seen.facts.n_bytes is None
            else Outcome("missed", None, Why.NOT_A_PICTURE)
        )
    if kind not in asked.texts:
        return Outcome("missed", kind)
    ends_right = seen.name.suffix.lower() in _ENDINGS.get(kind, ())
    return _holds(ends_right, kind, Why.WRONG_ENDING)


def _profile(asked: Asked, seen: Seen) -> Outcome:
    facts = seen.facts
    if facts.size_px is None:
        return undecided(Why.UNREADABLE)
    if facts.has_unreadable_profile:
        return undecided(Why.UNKNOWN_PROFILE)
    found = facts.profile or facts.stated
    if found is None:
        return Outcome("missed", None, Why.NO_PROFILE)
    letters = _letters(found)
    return _holds(any(letters.startswith(_letters(name)) for name in asked.texts), found)


def _letters(text: str) -> str:
    return "".join(letter for letter in text.casefold() if letter.isalnum())


def _embedded(_: Asked, seen: Seen) -> Outcome:
    if seen.facts.size_px is None:
        return undecided(Why.UNREADABLE)
    if seen.facts.has_unreadable_profile:
        return undecided(Why.UNKNOWN_PROFILE)
    return _holds(seen.facts.profile is not None, seen.facts.profile, Why.MISSING)


def _colours(asked: Asked, seen: Seen) -> Outcome:
    if seen.facts.colours is None:
        unread = seen.facts.size_px is None
        return undecided(Why.UNREADABLE if unread else Why.UNKNOWN_COLOURS)
    return _holds(seen.facts.colours in asked.texts, seen.facts.colours)


def _bits(asked: Asked, seen: Seen) -> Outcome:
    if seen.facts.bits is None:
        return undecided(Why.UNREADABLE if seen.facts.size_px is None else Why.UNKNOWN_BITS)
    return within(asked.accepted, float(seen.facts.bits))


def _names(asked: Asked, seen: Seen) -> Outcome:
    return _holds(asked.pattern is None or asked.pattern.fits(seen.name.stem))


def _name_length(asked: Asked, seen: Seen) -> Outcome:
    return within(asked.accepted, float(len(str(seen.name))))


def _said(asked: Asked, said: Callable[[Metadata], bool], seen: Seen) -> Outcome:
    """Whether something is in the metadata, where that is wanted or not."""
    metadata = seen.facts.metadata
    if metadata is None:
        return undecided(Why.METADATA_UNREADABLE)
    if said(metadata):
        return _holds(bool(asked.wanted), why=Why.PRESENT)
    if not asked.wanted and metadata.is_broken:
        return undecided(Why.BROKEN_METADATA)
    return _holds(not asked.wanted, why=Why.MISSING)


def _presence(said: Callable[[Metadata], bool]) -> _Check:
    return lambda asked, seen: _said(asked, said, seen)


def _stated(said: Callable[[Metadata], tuple[str, ...]]) -> _Check:
    """Whether there is a name, or that name in each standard that has one."""

    def check(asked: Asked, seen: Seen) -> Outcome:
        present = _said(asked, lambda metadata: bool(said(metadata)), seen)
        if present.verdict != "met" or not asked.texts or seen.facts.metadata is None:
            return present
        wanted = {" ".join(text.split()) for text in asked.texts}
        found = {" ".join(text.split()) for text in said(seen.facts.metadata)}
        return _holds(found <= wanted, why=Why.OTHER)

    return check


def _serials(asked: Asked, seen: Seen) -> Outcome:
    found = _said(asked, lambda metadata: metadata.has_serial_number, seen)
    metadata = seen.facts.metadata
    if found.verdict == "met" and metadata is not None and metadata.has_maker_note:
        return undecided(Why.MAKER_NOTE)
    return found


def _keywords(asked: Asked, seen: Seen) -> Outcome:
    if asked.accepted is None:
        return _said(asked, lambda metadata: metadata.n_keywords > 0, seen)
    if seen.facts.metadata is None:
        return undecided(Why.METADATA_UNREADABLE)
    return within(asked.accepted, float(seen.facts.metadata.n_keywords))


def _measured(value: Callable[[MeasuredPhotograph], float | None], why: Why) -> _Check:
    def check(asked: Asked, seen: Seen) -> Outcome:
        if seen.picture is None:
            return undecided(Why.REFUSED)
        found = value(seen.picture)
        return undecided(why) if found is None else within(asked.accepted, found)

    return check


def _subject_share(share: Callable[[Examined], float | None]) -> _Check:
    def check(asked: Asked, seen: Seen) -> Outcome:
        if seen.picture is None or not seen.examined.has_pixels:
            return undecided(Why.REFUSED)
        found = share(seen.examined)
        return undecided(Why.NO_SUBJECT) if found is None else within(asked.accepted, found)

    return check


def _halos(asked: Asked, seen: Seen) -> Outcome:
    if not seen.examined.has_pixels:
        return undecided(Why.REFUSED)
    halos = seen.examined.halos
    if halos is None:
        return undecided(Why.FEW_EDGES)
    return within(asked.accepted, halos, SPREAD)


def _absent(there: Callable[[MeasuredPhotograph], bool]) -> _Check:
    def check(_: Asked, seen: Seen) -> Outcome:
        if seen.picture is None:
            return undecided(Why.REFUSED)
        return _holds(not there(seen.picture), why=Why.PRESENT)

    return check


def _sharpness(picture: MeasuredPhotograph) -> float | None:
    return None if picture.focus.value is None else picture.focus.value.subject_sharpness


CHECKS: Mapping[str, _Check] = {
    "location": _presence(lambda metadata: metadata.has_location),
    "serial_numbers": _serials,
    "creator": _stated(lambda metadata: metadata.creators),
    "copyright": _stated(lambda metadata: metadata.copyrights),
    "caption": _presence(lambda metadata: metadata.has_caption),
    "keywords": _keywords,
    "writing": _absent(lambda picture: bool(picture.writing)),
    "border": _absent(lambda picture: picture.border is not None),
    "clipped_highlights": _measured(lambda p: p.tone.clipped_highlights, Why.REFUSED),
    "clipped_shadows": _measured(lambda p: p.tone.clipped_shadows, Why.REFUSED),
    "subject_highlights": _subject_share(lambda examined: examined.subject_highlights),
    "subject_shadows": _subject_share(lambda examined: examined.subject_shadows),
    "subject_sharpness": _measured(_sharpness, Why.NO_FOCUS),
    "halos": _halos,
    "long_side": _size(max),
    "short_side": _size(min),
    "width": _size(lambda width, _: width),
    "height": _size(lambda _, height: height),
    "megapixels": _size(lambda width, height: width * height / 1e6),
    "ratio": _ratio,
    "type": _type,
    "bytes": _bytes,
    "profile": _profile,
    "embedded_profile": _embedded,
    "colours": _colours,
    "bits": _bits,
    "names": _names,
    "spaces_in_names": lambda _, seen: _holds(not re.search(r"\s", str(seen.name))),
    "safe_names": lambda _, seen: _holds(_SAFE.fullmatch(str(seen.name)) is not None),
    "lower_case_names": lambda _, seen: _holds(str(seen.name) == str(seen.name).lower()),
    "name_length": _name_length,
}
# Rules for which the pixels must be decoded once more.
OF_PIXELS = frozenset({"subject_highlights", "subject_shadows", "halos"})
