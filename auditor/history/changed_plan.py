"""What changed of the plan between two audits, and the verdicts that followed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from auditor.history.paired_pictures import Pair
from auditor.record.plan_records import ItemRecord, PicturePlanRecord

# What the mirror image of a composition exchanges.
OF_COMPOSITION = frozenset({"subject", "supporting", "without", "negative_space_side", "diagonal"})
# Of several planned colours the nearest counts, and with it what is allowed for that one.
OF_COLOURS = frozenset({"palette", "background", "surface"})
_OFF = frozenset({"missed", "close"})


@dataclass(frozen=True, slots=True)
class ItemChange:
    """One item of one picture then and now; None where it was not planned."""

    pair: Pair
    shot: str
    before: ItemRecord | None
    after: ItemRecord | None

    @property
    def quantity(self) -> str:
        """The quantity of the item."""
        item = self.after or self.before
        return "" if item is None else item.quantity

    @property
    def verdicts(self) -> tuple[str, str]:
        """The verdicts; empty where it was not planned."""
        return (
            "" if self.before is None else self.before.verdict,
            "" if self.after is None else self.after.verdict,
        )


@dataclass(frozen=True, slots=True)
class PlanChange:
    """One thing that is planned otherwise, with all items that it changes.

    `what` is "planned" where something else is planned (or nothing, before or after), "tolerance"
    where another amount is allowed, "purpose" where it became or is no longer off on purpose.
    """

    what: Literal["planned", "tolerance", "purpose"]
    items: tuple[ItemChange, ...]


@dataclass(frozen=True, slots=True)
class ComparedPlans:
    """Changes of the plan and of verdicts.

    `changes` are those of the plan with the verdicts that follow; `verdicts` the items that changed
    their verdict while their own plan is the same.
    """

    changes: tuple[PlanChange, ...]
    verdicts: tuple[ItemChange, ...]


def compare_plans(pairs: Sequence[Pair], renamed_shots: Mapping[str, str]) -> ComparedPlans:
    """Compare the items of pictures that are of the same shot in both audits.

    Parameters
    ----------
    pairs : sequence of Pair
    renamed_shots : mapping of str to str
        By the name of a shot in the earlier plan, that in the later one.
    """
    changed: dict[object, list[ItemChange]] = defaultdict(list)
    verdicts: list[ItemChange] = []
    for pair in pairs:
        before, after = pair.plans
        if before is None or after is None or is_of_other_shot(before, after, renamed_shots):
            continue
        for first, second in _item_pairs(before.items, after.items):
            change = ItemChange(pair, after.shot, first, second)
            key = _change_key(change, is_turned=before.mirrored != after.mirrored)
            if key is not None:
                changed[key].append(change)
            elif change.verdicts[0] != change.verdicts[1]:
                verdicts.append(change)
    return ComparedPlans(
        tuple(PlanChange(_what(key), tuple(items)) for key, items in changed.items()),
        tuple(verdicts),
    )


def is_of_other_shot(
    before: PicturePlanRecord, after: PicturePlanRecord, renamed: Mapping[str, str]
) -> bool:
    """Whether a picture was compared with another shot than it is now."""
    return renamed.get(before.shot, before.shot) != after.shot


def _item_pairs(
    before: Sequence[ItemRecord], after: Sequence[ItemRecord]
) -> Iterator[tuple[ItemRecord | None, ItemRecord | None]]:
    """Pair items of one quantity: first of one name, then of another, then what is left."""
    by_name: dict[tuple[str, str | None], list[ItemRecord]] = defaultdict(list)
    for item in before:
        by_name[item.quantity, item.element].append(item)
    alone: list[ItemRecord] = []
    for item in after:
        same = by_name[item.quantity, item.element]
        if same:
            yield same.pop(0), item
        else:
            alone.append(item)
    left: dict[str, list[ItemRecord]] = defaultdict(list)
    for items in by_name.values():
        for item in items:
            left[item.quantity].append(item)
    for item in alone:
        other = left[item.quantity]
        yield (other.pop(0) if other else None), item
    for items in left.values():
        for item in items:
            yield item, None


def _what(key: object) -> Literal["planned", "tolerance", "purpose"]:
    match key:
        case ("tolerance", *_):
            return "tolerance"
        case ("purpose", *_):
            return "purpose"
    return "planned"


def _change_key(change: ItemChange, *, is_turned: bool) -> object:
    """What is planned otherwise, the same for all pictures that it concerns; None for nothing."""
    before, after = change.before, change.after
    if before is None or after is None:
        return ("planned", change.quantity, _asked(before), _asked(after))
    if _asked(before) != _asked(after) and not (is_turned and change.quantity in OF_COMPOSITION):
        return ("planned", change.quantity, _asked(before), _asked(after))
    if _has_other_tolerance(change):
        return ("tolerance", change.quantity)
    if {before.verdict, after.verdict} <= _OFF and before.on_purpose != after.on_purpose:
        return ("purpose", change.quantity, before.on_purpose, after.on_purpose)
    return None


def _has_other_tolerance(change: ItemChange) -> bool:
    before, after = change.before, change.after
    if before is None or after is None or before.tolerance is None or after.tolerance is None:
        return False
    if change.pair.is_replaced and change.quantity in OF_COLOURS:
        return False
    return before.tolerance != after.tolerance


def _asked(item: ItemRecord | None) -> object:
    """What the plan asks, without what depends on the picture; equal where the plan is equal."""
    if item is None:
        return None
    # A zone may be named after the subject, and then lies elsewhere in another picture.
    where = item.zone.words if item.zone is not None else _hashable(item.planned)
    accepts = None if item.accepts is None else (item.accepts.words, tuple(item.accepts.spans))
    return item.element, item.kind, where, accepts, tuple(item.named)


def _hashable(planned: object) -> object:
    return tuple(planned) if isinstance(planned, list) else planned
