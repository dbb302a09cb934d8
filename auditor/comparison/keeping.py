"""Which of several pictures of one shot keeps its plan best."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.comparison.item import ComparedItem, Verdict

_Kept = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Rank:
    """The place of a picture among those of its shot.

    Attributes
    ----------
    place : int
        From 1, the best; pictures that keep the plan equally well have the same.
    n_pictures : int
        Of the shot, at least 2.
    is_shared : bool
        Whether another picture has the same place.
    """

    place: int
    n_pictures: int
    is_shared: bool = False


def ranks(
    files_of: Mapping[str, Sequence[str]], items: Mapping[str, Sequence[ComparedItem]]
) -> dict[str, Rank]:
    """Rank the pictures of each shot that has several.

    The fewest missed items are best, then the fewest that are close, then the most that are met:
    what could not be decided counts for nothing. Finer differences are within what can be measured.

    Parameters
    ----------
    files_of : mapping of str to sequence of str
        Files of each shot.
    items : mapping of str to sequence of ComparedItem
        Of each measured picture.
    """
    places: dict[str, Rank] = {}
    for files in files_of.values():
        kept = {file: _kept(items[file]) for file in files if items.get(file)}
        if len(kept) > 1:
            ordered = sorted(kept.values())
            for file, own in kept.items():
                first, after = bisect_left(ordered, own), bisect_right(ordered, own)
                places[file] = Rank(first + 1, len(kept), after - first > 1)
    return places


def _kept(items: Sequence[ComparedItem]) -> _Kept:
    """The smaller, the better the plan is kept; what is off on purpose does not count."""
    verdicts = [item.verdict for item in items if not item.on_purpose]
    return (
        verdicts.count(Verdict.MISSED),
        verdicts.count(Verdict.CLOSE),
        -verdicts.count(Verdict.MET),
    )
