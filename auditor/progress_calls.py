"""How a long step tells how far it is, without knowing who asks."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[int, int, str], None]
"""Called with how many pictures are done, of how many, and what was just done."""


def silent(*_: object) -> None:
    """Nobody asked what is done."""


Step = Callable[[str, str], Progress]
"""Gives the progress of a step, by what is done ("Comparing pictures") and was ("Compared")."""


def no_step(_doing: str, _done: str) -> Progress:
    """Nobody asked how far a step is."""
    return silent


def part_of(progress: Progress, n_pictures: int, start: float, end: float) -> Progress:
    """Progress of one part of a step.

    Parameters
    ----------
    progress : callable
        Of the whole step; called only when the number of pictures has risen.
    n_pictures : int
        Of the whole step.
    start, end : float
        Shares of the whole, in [0, 1], at which the part begins and ends.
    """
    told = round(n_pictures * start)

    def tell(n_done: int, total: int, name: str) -> None:
        nonlocal told
        n_of_whole = round(n_pictures * (start + (end - start) * n_done / max(1, total)))
        if n_of_whole > told:
            told = n_of_whole
            progress(n_of_whole, n_pictures, name)

    return tell
