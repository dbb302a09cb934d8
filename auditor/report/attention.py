"""What needs the photographer's attention, weightiest first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import IntEnum

from auditor.report.image_record import (
    ItemRecord,
    MeasuredImageRecord,
)
from auditor.report.links import Link, link_pictures, link_to
from auditor.report.record import (
    AuditRecord,
    SeriesQuantityRecord,
)
from auditor.report.sentences import miss_sentence
from auditor.report.wording import title_of_kind


class Weight(IntEnum):
    """What comes first: what cannot be undone after a hand-over, then what has to be shot again.

    Common practice, no source.
    """

    LOCATION = 0
    REFUSED = 1
    MISSING_SHOT = 2
    MISSED_OFTEN = 3
    MISSED = 4
    OUTLIER = 5
    CLAIMED = 6
    DUPLICATE = 7
    PROFILE = 8


WARNING_WEIGHTS = {
    "location": Weight.LOCATION,
    "unreadable_folder": Weight.REFUSED,
    "unplanned": Weight.CLAIMED,
    "claimed_twice": Weight.CLAIMED,
    "no_profile": Weight.PROFILE,
}
KINDS = {
    Weight.LOCATION: "Before you hand over",
    Weight.REFUSED: "Could not be read",
    Weight.MISSING_SHOT: "Missing shot",
    Weight.MISSED_OFTEN: "Often off its plan",
    Weight.MISSED: "Off its plan",
    Weight.OUTLIER: "Leaves the set",
    Weight.CLAIMED: "Check the plan",
    Weight.DUPLICATE: "Nearly the same",
    Weight.PROFILE: "Before you hand over",
}
BREAKING = {Weight.MISSING_SHOT, Weight.MISSED_OFTEN, Weight.MISSED, Weight.OUTLIER}
LEAST_TOGETHER = 4  # from here a miss is a habit of the shoot, no longer one picture's fault
MOST_NAMED = 20  # numbers that fit two lines
WORDED_SEVERITY = 1.5  # of a miss without a distance: above a slight miss, below a plain one


@dataclass(frozen=True, slots=True)
class Matter:
    """One thing to look at: in one picture (`link`), in several (`others`), or in none yet.

    `n_more` pictures are not named any more.
    """

    weight: Weight
    severity: float
    link: Link | None
    kind: str
    sentence: str
    others: tuple[Link, ...] = ()
    n_more: int = 0


def matters_of(record: AuditRecord, links: Mapping[str, Link]) -> tuple[Matter, ...]:
    """Gather all matters, weightiest first, in the order of the set where they weigh the same."""
    found = [
        *_warnings(record, links),
        *_refused(record, links),
        *_missing(record),
        *_missed(record, links),
        *_outliers(record.series.quantities, links),
        *_duplicates(record, links),
    ]
    return tuple(sorted(found, key=lambda matter: (matter.weight, -matter.severity)))


def _matter(weight: Weight, link: Link | None, sentence: str, severity: float = 0.0) -> Matter:
    return Matter(weight, severity, link, KINDS[weight], sentence)


def _warnings(record: AuditRecord, links: Mapping[str, Link]) -> Iterable[Matter]:
    for warning in record.warnings:
        yield _matter(WARNING_WEIGHTS[warning.code], link_to(warning.file, links), warning.message)


def _refused(record: AuditRecord, links: Mapping[str, Link]) -> Iterable[Matter]:
    for image in record.images:
        if image.status == "refused":
            yield _matter(Weight.REFUSED, links[image.file], image.reason.message)


def _missing(record: AuditRecord) -> Iterable[Matter]:
    for shot in record.shots:
        if shot.missing:
            yield _matter(Weight.MISSING_SHOT, None, f"No picture was found for “{shot.name}”.")


def _missed(record: AuditRecord, links: Mapping[str, Link]) -> Iterable[Matter]:
    """One matter a miss; a quantity that many pictures miss is one matter for all of them."""
    missed: dict[str, list[tuple[MeasuredImageRecord, ItemRecord]]] = {}
    for image in record.images:
        if isinstance(image, MeasuredImageRecord) and image.plan is not None:
            for item in image.plan.items:
                if item.verdict == "missed":
                    missed.setdefault(title_of_kind(item.quantity), []).append((image, item))
    for named, pairs in missed.items():
        if len(pairs) >= LEAST_TOGETHER:
            worst_first = sorted(pairs, key=lambda pair: -severity(pair[1]))
            yield Matter(
                Weight.MISSED_OFTEN,
                float(len(pairs)),
                None,
                KINDS[Weight.MISSED_OFTEN],
                f"{named} in {len(pairs)} pictures, worst first",
                tuple(links[image.file] for image, _ in worst_first[:MOST_NAMED]),
                max(0, len(pairs) - MOST_NAMED),
            )
            continue
        for image, item in pairs:
            sentence = miss_sentence(item, image)
            yield _matter(Weight.MISSED, links[image.file], sentence, severity(item))


def severity(item: ItemRecord) -> float:
    """How many times its tolerance an item is off."""
    if item.difference is None or not item.tolerance:
        return WORDED_SEVERITY
    return abs(item.difference) / item.tolerance


def _outliers(
    quantities: Iterable[SeriesQuantityRecord], links: Mapping[str, Link]
) -> Iterable[Matter]:
    for quantity in quantities:
        for outlier in quantity.outliers:
            spreads = abs(outlier.deviation) / quantity.spread if quantity.spread else 0.0
            message = outlier.message[:1].upper() + outlier.message[1:] + "."
            yield _matter(Weight.OUTLIER, link_to(outlier.file, links), message, spreads)


def _duplicates(record: AuditRecord, links: Mapping[str, Link]) -> Iterable[Matter]:
    for first, second in record.series.duplicates:
        other = link_to(second, links)
        yield _matter(
            Weight.DUPLICATE,
            link_to(first, links),
            f"Nearly the same picture as {other.number}, {other.name}.",
        )


def attention_lines(record: AuditRecord) -> list[str]:
    """All matters as plain lines, weightiest first."""
    links = link_pictures(record.images)
    return [_line(matter) for matter in matters_of(record, links)]


def _line(matter: Matter) -> str:
    if matter.link is not None:
        return f"{matter.link.name}: {matter.sentence}"
    if not matter.others:
        return matter.sentence
    named = ", ".join(link.name for link in matter.others)
    more = f" and {matter.n_more} more" if matter.n_more else ""
    return f"{matter.sentence}: {named}{more}"


def misses_something(record: AuditRecord) -> bool:
    """Whether anything missed its plan, broke the set or failed the rules of the hand-over."""
    failed = any(rule.verdict == "missed" for rule in record.delivery or ())
    weights = {matter.weight for matter in matters_of(record, link_pictures(record.images))}
    return failed or bool(weights & BREAKING)
