"""What changed between two audits, as data; each cause stands once, with what follows from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from auditor.history.changed_plan import ItemChange, PlanChange, compare_plans
from auditor.history.changed_rules import (
    DeliveryChange,
    RuleChange,
    compare_delivery,
    compare_rules,
)
from auditor.history.changed_set import (
    OF_MATCHING,
    Said,
    Statement,
    statements,
    without_told_by_rules,
)
from auditor.history.changed_shots import ShotChanges, compare_shots
from auditor.history.paired_pictures import Pair, PairedPictures, pair_pictures, plan_of
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import PictureRecord

Cause = Literal["plan", "set", "version", "unknown"]


@dataclass(frozen=True, slots=True)
class NewVerdict:
    """An item with another verdict, though its picture and its own plan are the same, and why.

    Another item of its picture is planned otherwise, another version measured it, other pictures of
    its set changed, or none of these.
    """

    item: ItemChange
    cause: Cause


@dataclass(frozen=True, slots=True)
class PictureChange:
    """A replaced picture with what followed: verdicts, statements that came and went."""

    pair: Pair
    verdicts: tuple[ItemChange, ...]
    new: tuple[str, ...]
    gone: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AddedPicture:
    """A picture that only the later audit has, its shot, and what is said of it."""

    file: str
    shot: str | None
    n_missed: int
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StatedChange:
    """A statement that came or went, about pictures that are the same."""

    statement: Statement
    message: str
    is_new: bool


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that changed between two audits.

    Attributes
    ----------
    versions : tuple of (str, str, str)
        Name, version then, version now, of the program itself and of its libraries.
    plans, deliveries : (bool, bool)
        Whether there was a plan, and rules of a hand-over, then and now.
    n_pairs : int
        Pictures that both audits have.
    added, removed, renamed, replaced
        Pictures.
    shots : ShotChanges or None
        None where one of the audits has no plan; then nothing is said of items and rules either.
    plan_changes : tuple of PlanChange
    following : tuple of StatedChange
        About which picture is of which shot, where the plan changed.
    verdicts : tuple of NewVerdict
    statements : tuple of StatedChange
    rules, delivery
        Then and now.
    kinds : (str, str) or None
        How the pictures belonged together, where that is another kind now.
    is_reversed : bool
        Whether the first of the two audits was made after the second.
    """

    versions: tuple[tuple[str, str, str], ...]
    plans: tuple[bool, bool]
    deliveries: tuple[bool, bool]
    n_pairs: int
    added: tuple[AddedPicture, ...]
    removed: tuple[str, ...]
    renamed: tuple[Pair, ...]
    replaced: tuple[PictureChange, ...]
    shots: ShotChanges | None
    plan_changes: tuple[PlanChange, ...]
    following: tuple[StatedChange, ...]
    verdicts: tuple[NewVerdict, ...]
    statements: tuple[StatedChange, ...]
    rules: tuple[RuleChange, ...]
    delivery: tuple[DeliveryChange, ...]
    kinds: tuple[str, str] | None
    is_reversed: bool


def compare_audits(before: AuditRecord, after: AuditRecord) -> Changes:
    """Compare two audits, the earlier one first."""
    pictures = pair_pictures(before, after)
    versions = _versions(before, after)
    plans = (before.plan is not None, after.plan is not None)
    shots = compare_shots(before, after, pictures) if all(plans) else None
    compared = compare_plans(pictures.pairs, shots.renamed if shots else {})
    then = without_told_by_rules(statements(before, pictures.names_now), after, {})
    now = without_told_by_rules(statements(after, {}), before, pictures.names_now)
    stated = _stated(then, now, pictures)
    is_other_plan = shots is None or bool(compared.changes or _other_shots(shots))
    following = tuple(one for one in stated if is_other_plan and _is_of_matching(one))
    return Changes(
        versions=versions,
        plans=plans,
        deliveries=(before.delivery is not None, after.delivery is not None),
        n_pairs=len(pictures.pairs),
        added=tuple(_added(picture, now) for picture in pictures.added),
        removed=tuple(picture.file for picture in pictures.removed),
        renamed=tuple(pair for pair in pictures.pairs if pair.is_renamed),
        replaced=_replaced(pictures, compared.verdicts, then, now),
        shots=shots,
        plan_changes=compared.changes,
        following=following if all(plans) else (),
        verdicts=tuple(
            NewVerdict(
                item,
                "plan" if _follows(item, compared.changes) else _cause(pictures, versions),
            )
            for item in compared.verdicts
            if not item.pair.is_replaced
        ),
        statements=tuple(one for one in stated if one not in following),
        rules=compare_rules(before, after) if all(plans) else (),
        delivery=compare_delivery(before, after, pictures),
        kinds=_kinds(before, after),
        is_reversed=_is_reversed(before.created, after.created),
    )


def _versions(before: AuditRecord, after: AuditRecord) -> tuple[tuple[str, str, str], ...]:
    then = {"auditor": before.auditor_version, **before.libraries}
    now = {"auditor": after.auditor_version, **after.libraries}
    return tuple(
        (name, then[name], now[name]) for name in then if name in now and then[name] != now[name]
    )


def _other_shots(shots: ShotChanges) -> bool:
    return bool(shots.new or shots.lost or shots.moved)


def _follows(item: ItemChange, changes: Sequence[PlanChange]) -> bool:
    """Whether another item of the same picture is planned otherwise, which may be the cause."""
    return any(one.pair is item.pair for change in changes for one in change.items)


def _cause(pictures: PairedPictures, versions: Sequence[object]) -> Cause:
    if versions:
        return "version"
    return "set" if pictures.is_other_set else "unknown"


def _added(picture: PictureRecord, said: Said) -> AddedPicture:
    plan = plan_of(picture)
    n_missed = 0 if plan is None else sum(item.is_fault for item in plan.items)
    messages = _messages_about(picture.file, said, {})
    return AddedPicture(picture.file, None if plan is None else plan.shot, n_missed, messages)


def _replaced(
    pictures: PairedPictures, verdicts: Sequence[ItemChange], before: Said, after: Said
) -> tuple[PictureChange, ...]:
    return tuple(
        PictureChange(
            pair,
            tuple(item for item in verdicts if item.pair is pair),
            _messages_about(pair.after.file, after, before),
            _messages_about(pair.after.file, before, after),
        )
        for pair in pictures.pairs
        if pair.is_replaced
    )


def _messages_about(file: str, said: Said, other: Said) -> tuple[str, ...]:
    """What is said of a picture and not elsewhere too."""
    return tuple(
        message
        for one, message in said.items()
        if message and file in one.files and one not in other
    )


def _stated(before: Said, after: Said, pictures: PairedPictures) -> tuple[StatedChange, ...]:
    """Statements that came or went about pictures that are in both audits, with the same bytes."""
    told = {picture.file for picture in (*pictures.added, *pictures.removed)}
    told |= {pair.after.file for pair in pictures.pairs if pair.is_replaced}
    now = [StatedChange(one, text, is_new=True) for one, text in after.items() if one not in before]
    then = [
        StatedChange(one, text, is_new=False) for one, text in before.items() if one not in after
    ]
    return tuple(one for one in (*now, *then) if not told.intersection(one.statement.files))


def _is_of_matching(change: StatedChange) -> bool:
    return any(change.statement.about == code.value for code in OF_MATCHING)


def _kinds(before: AuditRecord, after: AuditRecord) -> tuple[str, str] | None:
    if before.kind is None or after.kind is None or before.kind.kind == after.kind.kind:
        return None
    return before.kind.kind, after.kind.kind


def _is_reversed(before: str, after: str) -> bool:
    try:
        return datetime.fromisoformat(before) > datetime.fromisoformat(after)
    except (ValueError, TypeError):
        return False
