"""What needs the photographer's attention, weightiest first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from enum import IntEnum

from auditor.page.links import Link, link_pictures, link_to
from auditor.record.audit_record import (
    AuditRecord,
    OutlierRecord,
    SeriesQuantityRecord,
)
from auditor.record.picture_record import (
    ItemRecord,
    MeasuredImageRecord,
)
from auditor.series.alike import alike_groups, same_file_words
from auditor.wording.lights_of_set import other_lights
from auditor.wording.names import title_of_kind
from auditor.wording.plan_sentences import miss_sentence, miss_within_set
from auditor.wording.planned_colours import explained_by_exposure
from auditor.wording.warmth import shift_back_words


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
    LIGHTS = 6
    CLAIMED = 7
    DUPLICATE = 8


WARNING_WEIGHTS = {
    "location": Weight.LOCATION,
    "unreadable_folder": Weight.REFUSED,
    "unplanned": Weight.CLAIMED,
    "claimed_twice": Weight.CLAIMED,
}
KINDS = {
    Weight.LOCATION: "Before you hand over",
    Weight.REFUSED: "Could not be read",
    Weight.MISSING_SHOT: "Missing shot",
    Weight.MISSED_OFTEN: "Often off its plan",
    Weight.MISSED: "Off its plan",
    Weight.OUTLIER: "Leaves the set",
    Weight.LIGHTS: "Several lights",
    Weight.CLAIMED: "Check the plan",
    Weight.DUPLICATE: "Nearly the same",
}
BREAKING = {Weight.MISSING_SHOT, Weight.MISSED_OFTEN, Weight.MISSED, Weight.OUTLIER}
LEAST_TOGETHER = 4  # from here a miss is a habit of the shoot, no longer one picture's fault
MOST_NAMED = 20  # numbers that fit two lines
MOST_AS_PAIR = 2  # a larger group of alike frames is one matter of all of them
TEMPERATURE = "colour_temperature"
WORDED_SEVERITY = 1.5  # of a miss without a distance: above a slight miss, below a plain one


Miss = tuple[MeasuredImageRecord, ItemRecord]
Leaving = dict[tuple[str, str], tuple[OutlierRecord, float | None]]


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
    """Gather all matters, weightiest first, in the order of the set where they weigh the same.

    A quantity that many pictures miss is one matter for all of them, and a picture that misses
    its plan and leaves the set by one cause is told once.
    """
    missed, leaving = _misses(record), _leaving(record)
    singles = [pair for pairs in missed.values() if len(pairs) < LEAST_TOGETHER for pair in pairs]
    told = {(miss[0].file, _said(miss, leaving)[1]) for miss in singles}
    lights = _lights(record, told, links)
    told |= {
        (file, TEMPERATURE)
        for light in other_lights(record.series)
        for file in light.files
        if len(light.files) > 1
    }
    found = [
        *_warnings(record, links),
        *_refused(record, links),
        *_missing(record),
        *_missed_often(missed, links),
        *_missed(singles, leaving, links),
        *lights,
        *_outliers(record.series.quantities, told, links),
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


def _misses(record: AuditRecord) -> dict[str, list[Miss]]:
    """All misses, by the kind of quantity."""
    missed: dict[str, list[Miss]] = {}
    for image in record.images:
        if isinstance(image, MeasuredImageRecord) and image.plan is not None:
            for item in image.plan.items:
                if item.verdict == "missed":
                    missed.setdefault(title_of_kind(item.quantity), []).append((image, item))
    return missed


def _missed_often(
    missed: Mapping[str, Sequence[Miss]], links: Mapping[str, Link]
) -> Iterable[Matter]:
    for named, pairs in missed.items():
        if len(pairs) >= LEAST_TOGETHER:
            worst_first = sorted(pairs, key=lambda pair: -severity(pair[1]))
            sentence = f"{named} in {len(pairs)} pictures, worst first"
            files = [image.file for image, _ in worst_first]
            yield _together(Weight.MISSED_OFTEN, KINDS[Weight.MISSED_OFTEN], sentence, files, links)


def _together(
    weight: Weight, kind: str, sentence: str, files: Sequence[str], links: Mapping[str, Link]
) -> Matter:
    """One matter of several pictures."""
    named = tuple(link_to(file, links) for file in files[:MOST_NAMED])
    more = max(0, len(files) - MOST_NAMED)
    return Matter(weight, float(len(files)), None, kind, sentence, named, more)


def _leaving(record: AuditRecord) -> Leaving:
    return {
        (outlier.file, quantity.quantity): (outlier, quantity.centre)
        for quantity in record.series.quantities
        for outlier in quantity.outliers
    }


def _said(miss: Miss, leaving: Leaving) -> tuple[str, str]:
    """What is said of a miss, and the quantity whose leaving the set is told with it (or "")."""
    image, item = miss
    if (image.file, item.quantity) in leaving:
        outlier, centre = leaving[image.file, item.quantity]
        joined = miss_within_set(item, outlier.deviation, centre)
        if joined:
            return joined, item.quantity
    sentence = miss_sentence(item, image)
    if (image.file, "exposure") in leaving:
        outlier, _ = leaving[image.file, "exposure"]
        if explained_by_exposure(item, outlier.deviation):
            return f"{sentence} The exposure explains it: {outlier.message}.", "exposure"
    return sentence, ""


def _missed(
    singles: Iterable[Miss], leaving: Leaving, links: Mapping[str, Link]
) -> Iterable[Matter]:
    for image, item in singles:
        sentence, _ = _said((image, item), leaving)
        yield _matter(Weight.MISSED, links[image.file], sentence, severity(item))


def severity(item: ItemRecord) -> float:
    """How many times its tolerance an item is off."""
    if item.difference is None or not item.tolerance:
        return WORDED_SEVERITY
    return abs(item.difference) / item.tolerance


def _outliers(
    quantities: Iterable[SeriesQuantityRecord],
    told: Set[tuple[str, str]],
    links: Mapping[str, Link],
) -> Iterable[Matter]:
    """One matter for each picture that leaves the set, unless it is told with a miss."""
    for quantity in quantities:
        for outlier in quantity.outliers:
            if (outlier.file, quantity.quantity) in told:
                continue
            spreads = abs(outlier.deviation) / quantity.spread if quantity.spread else 0.0
            message = outlier.message[:1].upper() + outlier.message[1:]
            message += _remedy(quantity.quantity, outlier.deviation) + "."
            yield _matter(Weight.OUTLIER, link_to(outlier.file, links), message, spreads)


def _remedy(quantity: str, deviation: float) -> str:
    """How a picture rejoins the set, where developing it anew does; else empty."""
    if quantity == TEMPERATURE:
        return f"; {shift_back_words(-deviation, 'it')}"
    if quantity == "exposure":
        return f"; {'darken' if deviation > 0 else 'lighten'} it by as much"
    return ""


def _lights(
    record: AuditRecord, told: Set[tuple[str, str]], links: Mapping[str, Link]
) -> list[Matter]:
    """One matter for several pictures in another light than most, if not all are told already."""
    leaving = {file for file, quantity in _leaving(record) if quantity == TEMPERATURE}
    spread = next((q.spread for q in record.series.quantities if q.quantity == TEMPERATURE), None)
    found = []
    for light in other_lights(record.series):
        files = [file for file in light.files if (file, TEMPERATURE) not in told]
        if len(light.files) > 1 and files:
            weight = Weight.OUTLIER if leaving.intersection(files) else Weight.LIGHTS
            sentence = f"{_these(len(files))} {light.sentence(len(files))}"
            matter = _together(weight, KINDS[weight], sentence, files, links)
            found.append(replace(matter, severity=abs(light.mired) / spread if spread else 0.0))
    return found


def _these(n: int) -> str:
    return f"{n} pictures are" if n > 1 else "One picture is"


def _duplicates(record: AuditRecord, links: Mapping[str, Link]) -> Iterable[Matter]:
    for group in alike_groups(record):
        n = len(group.files)
        kind = same_file_words(n) if group.same_file else KINDS[Weight.DUPLICATE]
        if n > MOST_AS_PAIR:
            sentence = kind if group.same_file else f"{n} pictures are nearly the same"
            yield _together(Weight.DUPLICATE, kind, sentence, group.files, links)
            continue
        first, other = (link_to(file, links) for file in group.files)
        named = f"{kind}, here and" if group.same_file else "Nearly the same picture"
        sentence = f"{named} as {other.number}, {other.name}."
        yield Matter(Weight.DUPLICATE, float(n), first, kind, sentence)


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
