"""The set at a glance: in at most three sentences what it does and does not do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.record.plan_records import VERDICTS, ItemRecord, Verdict
from auditor.vocabulary.counts import count
from auditor.wording.on_purpose import ON_PURPOSE
from auditor.wording.portfolio_headline import portfolio_sentences
from auditor.wording.quantity_names import in_sentence
from auditor.wording.set_rules import rules_clause
from auditor.wording.set_summary import is_charted
from auditor.wording.texts import capital, listed

MOST_NAMED = 3  # quantities named in the headline
LEAST_OFTEN = 2  # pictures that miss a quantity, for it to be missed often
# What is off its plan on purpose in these may excuse an exposure: then no finding tells of it.
GROUNDS = frozenset({"background", "surface"})
# The verdict that weighs most in a picture stands for it.
GRAVEST_FIRST: tuple[Verdict, ...] = ("missed", "close", "undecided", "met")


def planned_items(record: AuditRecord) -> list[ItemRecord]:
    """All planned items of all pictures."""
    return [
        item
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None
        for item in picture.plan.items
    ]


def headline(record: AuditRecord) -> tuple[str, ...]:
    """Say in at most three sentences what the set does and does not do."""
    items = planned_items(record)
    is_set = record.kind is None or record.kind.kind == "set"
    sentences = []
    if items:
        sentences.append(_plan_sentence(record, items))
        missed = _most_missed(items)
        if missed:
            sentences.append(f"Missed most often: {missed}.")
    elif not record.plan and record.portfolio is not None:
        return portfolio_sentences(record, record.portfolio)
    elif not record.plan:
        sentences.append(_no_plan_sentence(record))
    else:
        sentences.append(_shots_sentence(record))
    if is_set:
        sentences += _set_sentence(record)
    elif record.portfolio is not None:
        sentences += portfolio_sentences(record, record.portfolio)[:1]
    return tuple(sentences)


def _no_plan_sentence(record: AuditRecord) -> str:
    if len(record.images) == 1:
        return "No plan was given, so the picture is measured and described by itself."
    if not record.has_set:
        return "No plan was given, so each picture is measured and described by itself."
    return "No plan was given, so the pictures are compared with each other only."


def _plan_sentence(record: AuditRecord, items: Sequence[ItemRecord]) -> str:
    there = sum(not shot.missing for shot in record.shots)
    are = "is" if there == 1 else "are"
    shots = f"{there} of {count(len(record.shots), 'planned shot')} {are} there; "
    counts = Counter(item.verdict for item in items if not item.on_purpose)
    parts = [f"{counts[verdict]} {verdict}" for verdict in VERDICTS if counts[verdict]]
    if n := sum(bool(item.on_purpose) for item in items):
        parts.append(f"{n} off {ON_PURPOSE}")
    opening = shots if record.shots else ""
    rules = rules_clause(record.set_rules)
    closing = f"; {rules}" if rules else ""
    planned = f"of {count(len(items), 'planned item')}, {listed(parts)}"
    return capital(f"{opening}{planned}{closing}.")


def _shots_sentence(record: AuditRecord) -> str:
    """What there is to say of a plan whose shots state nothing, or have no picture."""
    there = sum(not shot.missing for shot in record.shots)
    if not there:
        said = "No picture belongs to a planned shot"
    else:
        are = "is" if there == 1 else "are"
        shots = f"{there} of {count(len(record.shots), 'planned shot')} {are} there"
        said = f"{shots}; nothing more is planned of the pictures"
    rules = rules_clause(record.set_rules)
    return f"{said}; {rules}." if rules else f"{said}."


def _most_missed(items: Sequence[ItemRecord]) -> str:
    """The quantities that several pictures miss, the most frequent first; no tie is cut."""
    counts = Counter(in_sentence(item.quantity) for item in items if item.is_fault)
    ranked = counts.most_common()
    least = max([LEAST_OFTEN, *(n + 1 for _, n in ranked[MOST_NAMED : MOST_NAMED + 1])])
    return listed([name for name, n in ranked if n >= least])


def _set_sentence(record: AuditRecord) -> list[str]:
    """One sentence on how the set holds together; none where there is no set, or hardly one."""
    if not record.has_set:
        return []
    n_measured = sum(isinstance(picture, MeasuredPictureRecord) for picture in record.images)
    leaving, names = _leaving(record)
    if leaving:
        pictures = f"{count(len(leaving), 'picture')} {'leaves' if len(leaving) == 1 else 'leave'}"
        return [f"{pictures} the set, in {listed(names)}."]
    n_groups = len(record.series.colour_temperature_clusters)
    if not is_charted(n_measured):
        return []
    if n_groups > 1:
        return [f"The set falls into {n_groups} groups of colour temperature."]
    return ["The pictures hold together as one set; none leaves it."]


def _leaving(record: AuditRecord) -> tuple[set[str], list[str]]:
    """The pictures that leave the set, and in which quantities, without what is on purpose."""
    meant = {
        (picture.file, item.quantity)
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None
        for item in picture.plan.items
        if item.on_purpose
    }
    excused = {(file, "exposure") for file, name in meant if name in GROUNDS}
    meant |= excused - _exposures_told(record)
    files: set[str] = set()
    names = []
    for quantity in record.series.quantities:
        own = {one.file for one in quantity.outliers} - {
            file for file, name in meant if name == quantity.quantity
        }
        files |= own
        names += [in_sentence(quantity.quantity)] if own else []
    return files, names


def _exposures_told(record: AuditRecord) -> set[tuple[str, str]]:
    """File and exposure of the pictures whose exposure is in a finding, alone or as a cause."""
    return {
        (file, "exposure")
        for finding in record.findings
        if finding.quantity == "exposure" or finding.explained_by_exposure_ev is not None
        for file in finding.files
    }


def gravest_verdict(items: Sequence[ItemRecord]) -> tuple[str, str]:
    """The verdict that weighs most in a picture, and the same with its count; empty without.

    What is off its plan on purpose does not weigh.
    """
    counts = Counter(item.verdict for item in items if not item.on_purpose)
    n_meant = len(items) - counts.total()
    for verdict in GRAVEST_FIRST:
        if counts[verdict]:
            n = f"{counts[verdict]} " if verdict != "met" or n_meant else "all "
            return verdict, n + verdict
    return ("met", f"{n_meant} {ON_PURPOSE}") if n_meant else ("", "")
