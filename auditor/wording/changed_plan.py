"""What changed of the plan between two audits, with the verdicts that followed, in sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from auditor.history.changed_plan import ItemChange, PlanChange
from auditor.record.plan_records import ItemRecord
from auditor.safe_text import one_line
from auditor.values import Colours, Count
from auditor.vocabulary.counts import count
from auditor.wording.cells import colour_text
from auditor.wording.numbers import apart, scaled
from auditor.wording.plan_items import ANYWHERE, planned_cell
from auditor.wording.quantity_names import in_sentence
from auditor.wording.texts import capital, listed

MOST_SHOTS_NAMED = 3  # more are counted


def plan_change_sentence(change: PlanChange) -> str:
    """Say what is planned otherwise, and what follows: ``"“tart”: the light is now …"``."""
    shots = list(dict.fromkeys(item.shot for item in change.items))
    said = f"{_in_shots(shots)}: {_what(change)}; {verdicts_clause(change.items)}."
    return one_line(said)


def shot_name(name: str) -> str:
    """A shot's name as it stands in a sentence."""
    return f"“{one_line(name)}”"


def named_item(item: ItemChange) -> str:
    """What an item is about, inside a sentence."""
    known = item.after or item.before
    return "" if known is None else in_sentence(known.quantity, known.element)


def _in_shots(shots: Sequence[str]) -> str:
    if len(shots) <= MOST_SHOTS_NAMED:
        return listed([shot_name(name) for name in shots])
    return f"In {count(len(shots), 'shot')}"


def _what(change: PlanChange) -> str:
    first = change.items[0]
    name = named_item(first)
    if change.what == "tolerance":
        return _tolerance(change)
    if change.what == "purpose":
        reason = one_line(first.after.on_purpose) if first.after else ""
        if reason:
            return f"{name} is off its plan on purpose now ({reason})"
        return f"{name} is not off its plan on purpose any more"
    return _planned(first.before, first.after, name)


def _planned(before: ItemRecord | None, after: ItemRecord | None, name: str) -> str:
    if before is None and after is not None:
        return f"{name} is planned now ({planned_words(after)})"
    if after is None and before is not None:
        return f"{name} is not planned any more ({planned_words(before)} before)"
    if before is None or after is None:
        return name
    then, now = planned_words(before), planned_words(after)
    if before.element != after.element:
        old = in_sentence(before.quantity, before.element)
        if then == now:
            return f"{name} is planned now instead of {old}"
        return f"{name} is planned now ({now}) instead of {old} ({then})"
    return f"{name} is now planned as {now} instead of {then}"


def planned_words(item: ItemRecord) -> str:
    """What was planned, as text."""
    value = item.planned_value
    if isinstance(value, Colours):
        names = item.named or [""] * len(value.hexes)
        both = zip(value.hexes, names, strict=False)
        return ", ".join(words or colour_text(code) for code, words in both)
    if item.quantity == "count" and not isinstance(value, Count):
        return str(item.planned)  # no auditor wrote such a record
    return planned_cell(item).text or ANYWHERE


def _tolerance(change: PlanChange) -> str:
    """The amounts allowed; the largest of a change, since half of it is allowed beyond a range."""
    pairs = [
        (item.before.tolerance, item.after.tolerance, item.after.unit)
        for item in change.items
        if item.before is not None and item.after is not None
        if item.before.tolerance is not None and item.after.tolerance is not None
    ]
    then, now, unit = max(pairs)
    (first, digits, suffix), (second, _, _) = scaled(then, unit), scaled(now, unit)
    first_text, second_text = apart(first, second, digits)
    name = in_sentence(change.items[0].quantity)
    return f"{name} may be off by {second_text}{suffix} instead of {first_text}{suffix}"


def verdicts_clause(items: Sequence[ItemChange]) -> str:
    """What became of the verdicts: ``"3 of 12 pictures that were met are now missed"``."""
    if len(items) == 1:
        return _one(items[0])
    counts = Counter(item.verdicts for item in items)
    moved = [(way, n) for way, n in counts.items() if way[0] != way[1] and all(way)]
    total = count(len(items), "picture")
    if not moved and all(all(way) for way in counts):
        return f"the verdicts on {total} stay the same"
    if not moved:
        place = 1 if not items[0].verdicts[0] else 0
        found = Counter(item.verdicts[place] for item in items)
        return f"of {total}, " + listed([f"{n} {verdict}" for verdict, n in found.items()])
    parts = [
        f"{n} that {'was' if n == 1 else 'were'} {then} {'is' if n == 1 else 'are'} now {now}"
        for (then, now), n in sorted(moved, key=lambda one: -one[1])
    ]
    return f"of {total}, {listed(parts)}"


def _one(item: ItemChange) -> str:
    file = one_line(item.pair.after.file)
    then, now = item.verdicts
    if not then:
        return f"in {file} it is {now}"
    if not now:
        return f"in {file} it was {then}"
    return f"in {file} it {turned(then, now)}"


def turned(then: str, now: str) -> str:
    """Say how a verdict changed, or that it did not."""
    return f"is {now}, as before" if then == now else f"was {then} and is now {now}"


def verdict_words(items: Sequence[ItemChange]) -> str:
    """Verdicts of one picture that changed: ``"light was missed and is now met; …"``."""
    parts = []
    for item in items:
        then, now = item.verdicts
        name = named_item(item)
        parts.append(f"{name} {turned(then, now)}")
    return capital("; ".join(parts))
