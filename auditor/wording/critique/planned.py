"""What a picture does of what was planned for it, by the names of the items.

What it misses stands in sentences of its own below, so that it is not said here again.
"""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord, Verdict
from auditor.wording.critique.statement import Clause
from auditor.wording.numbers import decimal
from auditor.wording.quantity_names import in_sentence
from auditor.wording.texts import listed

MOST_NAMED = 3
PLAN = "plan"
WEIGHT = 1.0  # what was planned comes before what is common practice
# Which topic of the other clauses a planned item decides: where the plan asked for something and
# got it, common practice has nothing to say against it.
TOPICS = {
    "subject": "place",
    "technique": "place",
    "subject_size": "size",
    "light": "light",
    "camera_elevation": "camera",
    "colour_temperature": "cast",
    "negative_space": "space",
    "negative_space_side": "space",
    "diagonal": "diagonal",
    "supporting": "company",
    "background": "ground",
    "surface": "ground",
    "palette": "colours",
}


def met_clause(picture: MeasuredPictureRecord) -> Clause | None:
    """What is as planned."""
    items = [item for item in _items(picture) if item.verdict == "met"]
    if not items:
        return None
    n_planned = len(_items(picture))
    if len(items) == n_planned:
        words = "all that was planned is there"
    elif len(items) > MOST_NAMED:
        words = f"most of what was planned is there, such as {_names(items)}"
    else:
        words = f"{_names(items)} {_are(items)} as planned"
    figures = f"met: {_counted(items, picture)}"
    return Clause(words, figures, PLAN, WEIGHT)


def planned_topics(picture: MeasuredPictureRecord) -> set[str]:
    """Topics that the plan decides: met, close, off on purpose, or told among what it misses."""
    return {
        TOPICS[item.quantity]
        for item in _items(picture)
        if item.quantity in TOPICS and (item.verdict in _decided(item) or item.on_purpose)
    }


def _decided(item: ItemRecord) -> set[Verdict]:
    """A missed colour temperature is the cast itself; another miss has causes beside it."""
    return {"met", "close", "missed"} if item.quantity == "colour_temperature" else {"met", "close"}


def _items(picture: MeasuredPictureRecord) -> list[ItemRecord]:
    return [] if picture.plan is None else picture.plan.items


def _names(items: list[ItemRecord]) -> str:
    names = list(dict.fromkeys(_name(item) for item in items))
    return listed(names if len(names) <= MOST_NAMED else names[:MOST_NAMED])


def _are(items: list[ItemRecord]) -> str:
    """The verb; the name of a thing that ends like a plural is taken for one."""
    is_several = len(items) > 1 or items[0].quantity == "palette"
    name = (items[0].element or "").casefold()
    return "are" if is_several or (name.endswith("s") and not name.endswith("ss")) else "is"


def _name(item: ItemRecord) -> str:
    own = _SHORT.get(item.quantity) if item.element is None else None
    return own or named_thing(item)


def named_thing(item: ItemRecord) -> str:
    """An item's name as it stands in a sentence, with an article where it can have one."""
    if item.element is None:
        return f"the {in_sentence(item.quantity)}"
    first = item.element.casefold().split()[:1]
    if first and first[0] in _PLACE_WORDS:
        return f"what is {item.element}"
    if first and first[0] in _WITH_ARTICLE:
        return item.element
    return in_sentence(item.quantity, item.element)


# A plan may call a thing by where it lies ("at the corner"), or write its article.
_PLACE_WORDS = frozenset(
    {"above", "at", "behind", "below", "beneath", "beside", "between", "in", "near", "next"}
    | {"on", "over", "under"}
)
_WITH_ARTICLE = frozenset(["a", "an", "another", "each", "some", "the", "this", "that", "what"])


_SHORT = {
    "subject": "the subject’s place",
    "subject_size": "the subject’s size",
    "negative_space": "the empty space",
    "negative_space_side": "the side of the empty space",
    "light": "the light",
    "camera_elevation": "the camera angle",
    "colour_temperature": "the white balance",
    "palette": "the colours",
}


def _counted(items: list[ItemRecord], picture: MeasuredPictureRecord) -> str:
    return f"{decimal(len(items), 0)} of {decimal(len(_items(picture)), 0)} planned items"
