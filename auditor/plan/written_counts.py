"""Readers of numbers of things and pictures, of names alone, and of yes and no."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from auditor.accepted import Accepted
from auditor.plan.written_things import read_element
from auditor.plan.written_values import read_text, wrong
from auditor.plan.wrong_words import nearest, quoted
from auditor.vocabulary.how_many import EXAMPLES, MOST_COUNTED, from_to, how_many
from auditor.vocabulary.plain_words import plain_words


def count_reader(least: int, things: str) -> Callable[[Any], Accepted]:
    """Make a reader of a number, or of words for a number or a range, of which `least` is asked.

    Parameters
    ----------
    least : int
        The smallest number that makes sense.
    things : str
        What is counted, for the message.
    """
    right = f"must be a number of {things} from {least} to {MOST_COUNTED}, as in 3 or "
    right += quoted(EXAMPLES)

    def read(value: object) -> Accepted:
        accepted = how_many(value) if isinstance(value, str) else _whole(value)
        if accepted is None or accepted.spans[0][1] < least:
            raise wrong(value, right)
        return accepted

    return read


def _whole(value: object) -> Accepted | None:
    if isinstance(value, bool) or not isinstance(value, int):
        return None
    return from_to(value, value) if 0 <= value <= MOST_COUNTED else None


def read_yes_or_no(value: object) -> bool:
    """Read ``true`` or ``false``."""
    if not isinstance(value, bool):
        raise wrong(value, "must be true or false, without quotes")
    return value


def read_rule_for_neighbours(value: object) -> str:
    """Read what two pictures that follow each other must not share."""
    words = plain_words(value) if isinstance(value, str) else ""
    if words not in NEIGHBOURS:
        suggestion = nearest(words, NEIGHBOURS)
        meant = f'did you mean "{suggestion}"? Known is ' if suggestion else "must be "
        raise wrong(value, meant + quoted(NEIGHBOURS))
    return words


NEIGHBOURS = ("different angles",)


def names_as_list(value: object) -> object:
    """A single name or table as a list of one; `named_thing` reads the items."""
    if isinstance(value, dict):
        return [value]
    return [read_text(value)] if isinstance(value, str) else value


def named_thing(value: object) -> object:
    """A name, with a place or alone, as the table that it stands for; any table as it is."""
    if isinstance(value, str):
        return read_element(read_text(value))
    if not isinstance(value, dict):
        raise wrong(value, 'must be a name as in "fork", or { name = "napkin", at = "lower left" }')
    return value
