"""Counts with their nouns."""

from __future__ import annotations


def count(n: int, one: str, many: str | None = None) -> str:
    """Write a count with its noun: ``"1 picture"``, ``"2 pictures"``.

    Parameters
    ----------
    n : int
    one : str
        The noun for one.
    many : str or None
        The noun for any other number; None adds an "s".
    """
    return f"{n} {one if n == 1 else many or one + 's'}"
