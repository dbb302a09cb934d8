"""What is remembered of a shoot: how often each intent was met, and to which side it was off.

No picture, no name of a file and no place on the disk is among it: a picture is a fingerprint that
says nothing but whether it is the same one.
"""

from __future__ import annotations

import hashlib
import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePath, PureWindowsPath

from auditor.geometry import Box, Point, diagonal_px
from auditor.quantities import PLANNED
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord
from auditor.values import Clock, Place
from auditor.vocabulary.zones import nearest_in

FINGERPRINT_LETTERS = 16  # 64 bits: in a million pictures, two coincide once in 30 million times
HOURS, HALF_ROUND = 12.0, 6.0
# Quantities whose differences have a direction, with the names of their axes.
AXES: dict[str, tuple[str, ...]] = {
    "subject": ("across", "down"),
    "subject_size": ("larger",),
    "negative_space": ("emptier",),
    "camera_elevation": ("higher",),
    "light": ("front",),
    "colour_temperature": ("warmer",),
}


@dataclass(frozen=True, slots=True)
class Deviation:
    """How far the decided items of one shoot were off to one side, on average.

    Attributes
    ----------
    axis : str
        Where a positive value lies: to the right ("across") or lower ("down") in the frame, as
        fractions of its diagonal; a larger subject, an emptier frame, as fractions of the frame; a
        higher camera in degrees; light from nearer to the front in hours; warmer in mired.
    n : int
        Number of items, at least 1.
    mean : float
        Measured minus planned; 0 for what is within a planned range.
    spread : float or None
        Standard deviation of the items; None of a single one.
    """

    axis: str
    n: int
    mean: float
    spread: float | None


@dataclass(frozen=True, slots=True)
class KeptIntent:
    """The verdicts on one planned quantity over a shoot, without what is off on purpose."""

    quantity: str
    met: int
    close: int
    missed: int
    undecided: int
    deviations: tuple[Deviation, ...] = ()

    @property
    def n_decided(self) -> int:
        """Items with a verdict that says something."""
        return self.met + self.close + self.missed


@dataclass(frozen=True, slots=True)
class Shoot:
    """A shoot as it is remembered.

    Attributes
    ----------
    title : str
        Of the plan, else the name of the folder.
    day : str
        ISO date: of the median picture that says when it was taken, else of the audit.
    is_day_taken : bool
        Whether that is the day when the pictures were taken.
    n_pictures : int
    intents : tuple of KeptIntent
        In the order of the registry; empty without a plan.
    """

    title: str
    day: str
    is_day_taken: bool
    n_pictures: int
    intents: tuple[KeptIntent, ...]

    def intent(self, quantity: str) -> KeptIntent | None:
        """What is remembered of one quantity."""
        return next((one for one in self.intents if one.quantity == quantity), None)


def shoot_of(record: AuditRecord) -> Shoot:
    """What an audit says of a shoot."""
    measured = [one for one in record.images if isinstance(one, MeasuredPictureRecord)]
    taken = sorted(day for one in measured if (day := _day(one.camera.taken)))
    return Shoot(
        title=record.title or _last_part(record.folder),
        day=taken[len(taken) // 2] if taken else _day(record.created),
        is_day_taken=bool(taken),
        n_pictures=len(measured),
        intents=kept_intents(measured),
    )


def fingerprints(record: AuditRecord) -> frozenset[str]:
    """A fingerprint of each measured picture, from which nothing can be told of the picture."""
    return frozenset(
        _hashed("picture", one.sha256)
        for one in record.images
        if isinstance(one, MeasuredPictureRecord)
    )


def place_of(record: AuditRecord, folder: Path) -> str:
    """A fingerprint of the folder together with the planned shots; the same for edited pictures.

    Many photographers give every shoot the same folder for its final pictures: only with the same
    plan is it the same shoot. Empty without a plan.
    """
    if not record.shots:
        return ""
    names = "\n".join(shot.name for shot in record.shots)
    return _hashed("place", str(folder.resolve()), record.title or "", names)


def kept_intents(pictures: Iterable[MeasuredPictureRecord]) -> tuple[KeptIntent, ...]:
    """Count the verdicts on each planned quantity, and take the means of its differences."""
    verdicts: dict[str, Counter[str]] = defaultdict(Counter)
    off: dict[tuple[str, str], list[float]] = defaultdict(list)
    for picture in pictures:
        for item in picture.plan.items if picture.plan is not None else ():
            if item.on_purpose:
                continue
            verdicts[item.quantity][item.verdict] += 1
            if item.verdict != "undecided":
                for axis, value in differences(item, picture.width, picture.height):
                    off[item.quantity, axis].append(value)
    return tuple(
        _kept(quantity, verdicts[quantity], off) for quantity in PLANNED if quantity in verdicts
    )


def _kept(
    quantity: str, verdicts: Counter[str], off: Mapping[tuple[str, str], Sequence[float]]
) -> KeptIntent:
    deviations = tuple(
        _deviation(axis, values)
        for axis in AXES.get(quantity, ())
        if (values := off.get((quantity, axis)))
    )
    return KeptIntent(
        quantity,
        met=verdicts["met"],
        close=verdicts["close"],
        missed=verdicts["missed"],
        undecided=verdicts["undecided"],
        deviations=deviations,
    )


def differences(item: ItemRecord, width: int, height: int) -> Iterator[tuple[str, float]]:
    """The signed differences of one item, by axis; none where there is no direction."""
    axes = AXES.get(item.quantity)
    if axes is None or item.difference is None:
        return
    read = _READ.get(item.quantity)
    values = (item.difference,) if read is None else read(item, width, height)
    yield from zip(axes, values, strict=False)


def _place(item: ItemRecord, width: int, height: int) -> tuple[float, ...]:
    """From the nearest planned position to the subject, in fractions of the diagonal."""
    wanted, found = item.planned_value, item.measured_value
    if not isinstance(wanted, Place) or not isinstance(found, Place):
        return ()
    at: Point = wanted.at
    if item.zone is not None and item.zone.boxes:
        at = nearest_in([Box(*box) for box in item.zone.boxes], found.at, width, height)
    diagonal = diagonal_px(width, height)
    return (
        (found.at.x - at.x) * width / diagonal,
        (found.at.y - at.y) * height / diagonal,
    )


def _front(item: ItemRecord, _width: int, _height: int) -> tuple[float, ...]:
    """How many hours nearer to the front the light comes from than the nearest planned one."""
    found = item.measured_value
    if not isinstance(found, Clock) or item.difference is None:
        return ()
    return (_from_back(found.hours) - _from_back(found.hours - item.difference),)


def _from_back(hours: float) -> float:
    """Hours from 12, behind the subject, on either side: 0 is back light, 6 front light."""
    return HALF_ROUND - abs(hours % HOURS - HALF_ROUND)


_Read = Callable[[ItemRecord, int, int], tuple[float, ...]]
_READ: Mapping[str, _Read] = {"subject": _place, "light": _front}


def _deviation(axis: str, values: Sequence[float]) -> Deviation:
    n, mean = len(values), math.fsum(values) / len(values)
    squares = math.fsum((value - mean) ** 2 for value in values)
    return Deviation(axis, n, mean, math.sqrt(squares / (n - 1)) if n > 1 else None)


def _day(time: str | None) -> str:
    try:
        return datetime.fromisoformat(time or "").date().isoformat()
    except ValueError:
        return ""


def _last_part(folder: str) -> str:
    return PureWindowsPath(folder).name if "\\" in folder else PurePath(folder).name


def _hashed(*parts: str) -> str:
    text = "\0".join(("auditor", *parts)).encode("utf-8", "surrogatepass")
    return hashlib.sha256(text).hexdigest()[:FINGERPRINT_LETTERS]
