"""Names of quantities and verdicts as people read them; titles stand in the registry."""

from __future__ import annotations

import re

from auditor.quantities import QUANTITIES
from auditor.vocabulary.how_many import leading_number
from auditor.wording.texts import capital

# One word a verdict, in the record, in the tables and on the page; each has a shape beside it.
VERDICT_MEANINGS = {
    "met": "as planned, within the tolerance",
    "close": "up to 1.5 times the tolerance",
    "missed": "farther off than that",
    "undecided": "the measurement is not sure enough, or there is none",
}

# An element that the plan does not name is called by its number.
_UNNAMED = re.compile(r"element \d+")


def title(quantity: str, element: str | None = None) -> str:
    """Name a quantity; a supporting element, or what must not be there, by its own name."""
    if quantity == "without" and element is not None:
        return f"Without {element}"
    return capital(element) if element is not None else QUANTITIES[quantity].title


def in_sentence(quantity: str, element: str | None = None) -> str:
    """Name a quantity inside a sentence."""
    if element is not None and quantity == "count" and leading_number(element):
        return element
    if element is not None:
        return _with_article(element)
    named = QUANTITIES[quantity].title
    return named[:1].lower() + named[1:]


def _with_article(element: str) -> str:
    """Put an article before a name that takes one; a name that is a place stands in quotes."""
    first, _, _ = element.lower().partition(" ")
    if first in _PLACES:
        return f"“{element}”"
    return element if first in _ARTICLES or _UNNAMED.fullmatch(element) else f"the {element}"


_ARTICLES = frozenset({"the", "a", "an"})
_PLACES = frozenset(
    {"above", "at", "behind", "below", "beside", "by", "from", "in", "near", "on", "over", "under"}
)
