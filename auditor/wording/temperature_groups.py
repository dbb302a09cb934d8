"""Groups of pictures that are warmer or cooler than most of the set, in words."""

from __future__ import annotations

from auditor.wording.temperature import shift_back_words, warmer_words


def rest_words(n_most: int, *, is_only_rest: bool) -> str:
    """What a group is held against: all other pictures, or the largest group of them.

    Parameters
    ----------
    n_most : int
        Pictures of the largest group.
    is_only_rest : bool
        Whether there are two groups only.
    """
    if n_most == 1:
        return "the other" if is_only_rest else "another"
    return f"the other {n_most}" if is_only_rest else f"the largest group of {n_most}"


def group_difference_words(mired: float, rest: str, n_pictures: int) -> str:
    """Say how much warmer a group is, and what makes it join the rest.

    Parameters
    ----------
    mired : float
        How much warmer (positive) or cooler it is.
    rest : str
        As `rest_words` gives it.
    n_pictures : int
        Of the group.
    """
    back = shift_back_words(-mired, "it" if n_pictures == 1 else "them")
    return f"{warmer_words(mired, f'than {rest}')}; to join, {back}"
