"""What changed between two audits, in sentences; each cause once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from auditor.findings.codes import MEANINGS, FindingCode
from auditor.history.changed_plan import ItemChange
from auditor.history.changed_shots import ShotChanges
from auditor.history.changes import (
    AddedPicture,
    Cause,
    Changes,
    NewVerdict,
    PictureChange,
    StatedChange,
)
from auditor.history.paired_pictures import Pair
from auditor.record.delivery_record import DeliveryRecord
from auditor.record.picture_record import RefusedPictureRecord
from auditor.record.plan_records import SetRuleRecord
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.camera_settings import TITLES
from auditor.wording.changed_plan import (
    named_item,
    plan_change_sentence,
    shot_name,
    turned,
    verdict_words,
)
from auditor.wording.delivery import rule_title as delivery_rule_title
from auditor.wording.quantity_names import in_sentence
from auditor.wording.set_rules import planned_rule_title, rule_title
from auditor.wording.texts import capital, listed

MOST_NAMED = 5  # pictures in a sentence; the rest are counted
NOTHING_CHANGED = "Nothing changed."
REVERSED = "The first of the two audits was made after the second."
NO_COMMON_PICTURE = "The two audits have no picture in common."
_BECAUSE: dict[Cause, str] = {
    "plan": ", since something else is planned for it",
    "set": ", since other pictures of its set changed",
    "version": "",  # said once, before all else
    "unknown": ", though picture and plan are the same",
}
_KINDS = {"set": "one set", "portfolio": "a portfolio", "single": "single pictures"}


def change_sentences(changes: Changes) -> list[str]:
    """Say what changed, one sentence a cause; says so where nothing did."""
    lines = [
        *_versions(changes),
        *_pictures(changes),
        *_plan_there(changes),
        *(_shots(changes.shots) if changes.shots else ()),
        *(plan_change_sentence(change) for change in changes.plan_changes),
        *(_stated(one) for one in changes.following),
        *_verdicts(changes.verdicts),
        *(_stated(one) for one in changes.statements),
        *(_rule(*one) for one in changes.rules),
        *_delivery(changes),
        *_kind(changes),
    ]
    return [one_line(line) for line in lines] or [NOTHING_CHANGED]


def _versions(changes: Changes) -> Iterator[str]:
    if changes.versions:
        ways = [f"{one_line(name)} {then} → {now}" for name, then, now in changes.versions]
        yield f"Other versions ({', '.join(ways)}): measurements may differ for this reason alone."


def _pictures(changes: Changes) -> Iterator[str]:
    if not changes.n_pairs and (changes.added or changes.removed):
        yield NO_COMMON_PICTURE
        return
    if changes.removed:
        yield f"Removed: {_named(changes.removed)}."
    plain = [one for one in changes.added if not _news(one)]
    if plain:
        yield f"Added: {_named([one.file for one in plain])}."
    yield from (_added(one) for one in changes.added if _news(one))
    yield from _renamed(changes.renamed)
    same = [one.pair.after.file for one in changes.replaced if not _follows(one)]
    if same:
        are = "was" if len(same) == 1 else "were"
        yield f"{_named(same)} {are} replaced; nothing else changed with that."
    yield from (_replaced(one) for one in changes.replaced if _follows(one))


def _news(picture: AddedPicture) -> bool:
    return bool(picture.n_missed or picture.said)


def _added(picture: AddedPicture) -> str:
    of_shot = "" if picture.shot is None else f", of {shot_name(picture.shot)}"
    missed = (
        f" It misses its plan in {count(picture.n_missed, 'item')}." if picture.n_missed else ""
    )
    return f"Added: {picture.file}{of_shot}.{missed}{_joined(picture.said)}"


def _joined(messages: Sequence[str]) -> str:
    return "".join(f" {_sentence(message)}" for message in messages)


def _sentence(message: str) -> str:
    said = capital(message.strip())
    return said if said.endswith((".", "!", "?")) else f"{said}."


def _renamed(pairs: Sequence[Pair]) -> Iterator[str]:
    if not pairs:
        return
    ways = [f"{one.before.file} → {one.after.file}" for one in pairs]
    more = f" and {len(ways) - MOST_NAMED} more" if len(ways) > MOST_NAMED else ""
    yield f"Renamed: {', '.join(ways[:MOST_NAMED])}{more}."


def _follows(change: PictureChange) -> bool:
    refused = (isinstance(one, RefusedPictureRecord) for one in _both(change.pair))
    return bool(change.verdicts or change.new or change.gone or any(refused))


def _both(pair: Pair) -> tuple[object, object]:
    return pair.before, pair.after


def _replaced(change: PictureChange) -> str:
    before, after = _both(change.pair)
    file = change.pair.after.file
    if isinstance(after, RefusedPictureRecord):
        return f"{file} could not be measured any more. {_sentence(after.reason.message)}"
    opening = f"{file} was replaced."
    if isinstance(before, RefusedPictureRecord):
        opening = f"{file} could be measured now."
    verdicts = f" {verdict_words(change.verdicts)}." if change.verdicts else ""
    gone = f" No longer: {_joined(change.gone).strip()}" if change.gone else ""
    new = f" New: {_joined(change.new).strip()}" if change.new else ""
    return f"{opening}{verdicts}{new}{gone}"


def _plan_there(changes: Changes) -> Iterator[str]:
    match changes.plans:
        case (False, True):
            yield "The later audit has a plan, the earlier one had none."
        case (True, False):
            yield "The earlier audit had a plan, the later one has none."


def _shots(shots: ShotChanges) -> Iterator[str]:
    for old, new in shots.renamed.items():
        yield f"The shot {shot_name(old)} is called {shot_name(new)} now."
    for shot in shots.new:
        has = "has no picture" if shot.missing else f"has {_named(shot.files)}"
        yield f"{shot_name(shot.name)} is planned now and {has}."
    for shot in shots.lost:
        yield f"{shot_name(shot.name)} is not planned any more."
    for shot in shots.filled:
        yield f"{shot_name(shot.name)} has a picture now: {_named(shot.files)}."
    for shot in shots.emptied:
        yield f"{shot_name(shot.name)} has no picture any more."
    told = {shot.name for shot in (*shots.new, *shots.lost)}
    yield from (_moved(pair) for pair in shots.moved if not told.intersection(_shots_of(pair)))
    if shots.turned:
        files = [pair.after.file for pair in shots.turned]
        yield f"Compared with the mirror image now and not before, or the reverse: {_named(files)}."


def _shots_of(pair: Pair) -> list[str]:
    return [plan.shot for plan in pair.plans if plan is not None]


def _moved(pair: Pair) -> str:
    before, after = (None if plan is None else shot_name(plan.shot) for plan in pair.plans)
    file = pair.after.file
    if before is None:
        return f"{file} is of {after} now, before of no shot."
    if after is None:
        return f"{file} is of no shot now, before of {before}."
    return f"{file} is of {after} now, before of {before}."


def _verdicts(verdicts: Sequence[NewVerdict]) -> Iterator[str]:
    """One sentence for all pictures in which the same happened for the same reason."""
    alike: dict[tuple[str, tuple[str, str], Cause], list[ItemChange]] = defaultdict(list)
    for one in verdicts:
        alike[named_item(one.item), one.item.verdicts, one.cause].append(one.item)
    for (name, (then, now), cause), items in alike.items():
        files = _named([item.pair.after.file for item in items])
        yield f"{files}: {name} {turned(then, now)}{_BECAUSE[cause]}."


def _stated(change: StatedChange) -> str:
    one = change.statement
    when = "new" if change.is_new else "no longer"
    files = _named(one.files)
    opening = f"{files}, {when}" if files else capital(when)
    return f"{opening}: {_sentence(change.message or _meaning(change))}"


def _meaning(change: StatedChange) -> str:
    about = change.statement.about
    match change.statement.kind:
        case "finding":
            return MEANINGS[FindingCode(about)]
        case "setting":
            return f"leaves the set in {TITLES[about].lower()}."
    return f"leaves the set in {in_sentence(about)}."


def _rule(before: SetRuleRecord | None, after: SetRuleRecord | None) -> str:
    if before is None and after is not None:
        return f"A rule for the set is planned now. {rule_title(after)}: {after.verdict}."
    if after is None and before is not None:
        return f"A rule for the set is not planned any more. {rule_title(before)}."
    if before is None or after is None:
        return ""
    way = turned(before.verdict, after.verdict)
    if before.asked != after.asked:
        return f"{rule_title(after)} is planned instead of {before.asked}; the rule {way}."
    return f"{planned_rule_title(after.rule, after.asked)}: the rule {way}."


def _delivery(changes: Changes) -> Iterator[str]:
    match changes.deliveries:
        case (False, True):
            yield "The later audit checks rules of a hand-over, the earlier one did not."
        case (True, False):
            yield "The earlier audit checked rules of a hand-over, the later one does not."
    yield from (_one_delivery(*one) for one in changes.delivery)


def _one_delivery(before: DeliveryRecord | None, after: DeliveryRecord | None) -> str:
    known = after or before
    if known is None:
        return ""
    of_file = "" if known.file is None else f", {known.file}"
    opening = f"Hand-over, {delivery_rule_title(known.rule, known.asked, known.channel)}{of_file}"
    if before is None:
        verdict = "" if known.verdict == "undecided" else f"{known.verdict}. "
        return f"{opening}: {verdict}{known.message}".rstrip()
    if after is None:
        return f"{opening}: not checked any more."
    return f"{opening}: {turned(before.verdict, after.verdict)}. {after.message}".rstrip()


def _kind(changes: Changes) -> Iterator[str]:
    if changes.kinds is not None:
        then, now = changes.kinds
        yield f"The pictures were compared as {_KINDS[then]} and are now compared as {_KINDS[now]}."


def _named(files: Sequence[str]) -> str:
    shown = [one_line(file) for file in files[:MOST_NAMED]]
    rest = len(files) - len(shown)
    return f"{', '.join(shown)} and {rest} more" if rest else listed(shown)
