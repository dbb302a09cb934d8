"""An order in which pictures that repeat each other do not follow each other.

Only pictures that stand beside one that they repeat are moved, each to the nearest place where it
repeats neither neighbour. If none does, the present order is kept, and nothing is suggested.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence, Set
from dataclasses import dataclass

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.portfolio.dimensions import CLASS_OF, trusted
from auditor.series.portfolio.repetition import AlikePair
from auditor.vocabulary.portfolio_terms import Dimension

# In which a picture may differ from both its new neighbours: these are seen from across a room.
SEEN_FIRST = (Dimension.CAMERA_ANGLE, Dimension.GROUND_COLOUR, Dimension.SUBJECT_COLOUR)
MOST_MOVED = 12  # a longer list is no suggestion any more (our choice)


@dataclass(frozen=True, slots=True)
class Move:
    """A picture that moves.

    Attributes
    ----------
    file : str
    repeats : str
        The picture before it, which it repeats.
    after : str or None
        Where it goes; None to the beginning.
    before : str or None
        What follows there; None at the end.
    differs_in : tuple of Dimension
        In which it differs from both its new neighbours.
    """

    file: str
    repeats: str
    after: str | None
    before: str | None
    differs_in: tuple[Dimension, ...]


@dataclass(frozen=True, slots=True)
class Opening:
    """The picture to begin with: the largest subject that is surely in focus."""

    file: str
    subject_share: float


@dataclass(frozen=True, slots=True)
class SuggestedOrder:
    """The suggestion.

    Attributes
    ----------
    beside : tuple of (str, str)
        Neighbours in the present order that repeat each other.
    opening : Opening or None
        Only where something moves, and another picture stands first.
    moves : tuple of Move
    order : tuple of str
        All files after it; empty where nothing is suggested.
    """

    beside: tuple[tuple[str, str], ...]
    opening: Opening | None = None
    moves: tuple[Move, ...] = ()
    order: tuple[str, ...] = ()


def suggest_order(
    measured: Sequence[MeasuredPhotograph], pairs: Sequence[AlikePair]
) -> SuggestedOrder:
    """Suggest an order, from the present one.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
        In the present order.
    pairs : sequence of AlikePair
        Places are those in `measured`.
    """
    alike = frozenset((pair.first, pair.second) for pair in pairs)
    order = list(range(len(measured)))
    beside = [(a, b) for a, b in itertools.pairwise(order) if (a, b) in alike]
    named = tuple((measured[a].file, measured[b].file) for a, b in beside)
    if not beside or len(beside) > MOST_MOVED:
        return SuggestedOrder(named)
    opening = _opening(measured)
    first = order[0]
    if opening is not None and opening != first:
        order.remove(opening)
        order.insert(0, opening)
    moves = []
    for _, moved in beside:
        before = order.index(moved)
        neighbour = order[before - 1] if before else None
        if neighbour is None or not _are_alike(neighbour, moved, alike):
            continue
        place = _nearest_place(moved, order, alike)
        if place is None:
            continue
        order.remove(moved)
        order.insert(place, moved)
        moves.append((moved, neighbour))
    if not moves:
        return SuggestedOrder(named)
    subject = None if opening in (None, first) else measured[order[0]].subject.value
    return SuggestedOrder(
        named,
        None if subject is None else Opening(measured[order[0]].file, subject.area_fraction),
        tuple(_move(moved, neighbour, order, measured) for moved, neighbour in moves),
        tuple(measured[place].file for place in order),
    )


def _are_alike(one: int, other: int, alike: Set[tuple[int, int]]) -> bool:
    return (min(one, other), max(one, other)) in alike


def _opening(measured: Sequence[MeasuredPhotograph]) -> int | None:
    """The picture with the largest subject that is surely in focus."""
    found = []
    for place, picture in enumerate(measured):
        subject, focus = trusted(picture.subject), trusted(picture.focus)
        if subject is not None and focus is not None and focus.subject_in_focus:
            found.append((-subject.area_fraction, picture.file, place))
    return min(found)[2] if found else None


def _nearest_place(moved: int, order: Sequence[int], alike: Set[tuple[int, int]]) -> int | None:
    """The place nearest to where a picture stands at which it repeats neither neighbour.

    The neighbours that it leaves must not repeat each other, and the first picture stays.
    """
    here = order.index(moved)
    rest = [place for place in order if place != moved]
    if 0 < here < len(rest) and _are_alike(rest[here - 1], rest[here], alike):
        return None
    free = [
        place
        for place in range(1, len(rest) + 1)
        if not _are_alike(rest[place - 1], moved, alike)
        and (place == len(rest) or not _are_alike(rest[place], moved, alike))
    ]
    return min(free, key=lambda place: (abs(place - here), -place)) if free else None


def _move(
    moved: int, neighbour: int, order: Sequence[int], measured: Sequence[MeasuredPhotograph]
) -> Move:
    place = order.index(moved)
    after = order[place - 1] if place else None
    before = order[place + 1] if place + 1 < len(order) else None
    others = [measured[one] for one in (after, before) if one is not None]
    return Move(
        measured[moved].file,
        measured[neighbour].file,
        None if after is None else measured[after].file,
        None if before is None else measured[before].file,
        tuple(d for d in SEEN_FIRST if _differs(measured[moved], others, d)),
    )


def _differs(
    picture: MeasuredPhotograph, others: Sequence[MeasuredPhotograph], dimension: Dimension
) -> bool:
    own = CLASS_OF[dimension](picture)
    theirs = [CLASS_OF[dimension](other) for other in others]
    return own is not None and all(name not in (None, own) for name in theirs)
