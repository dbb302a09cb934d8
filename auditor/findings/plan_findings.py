"""Findings about the plan: missing shots, pictures without one, items that were missed."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from auditor.comparison.exposure_cause import is_explained
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.matching import Assumed, Matches
from auditor.comparison.set_rules import JudgedRule
from auditor.findings.audited_set import PlannedPicture
from auditor.findings.codes import FindingCode
from auditor.findings.finding import Finding
from auditor.findings.set_findings import Leaving
from auditor.values import Words

# From so many pictures on a miss is a habit of the shoot, no longer one picture's fault (common
# practice, no source).
LEAST_OFTEN = 4
# A match by what a picture shows that is less likely than this should be looked at: of the others,
# fewer than one in five is wrong (our choice, no source).
LEAST_SURE = 0.8
# Of a miss without a distance (a side, a direction): graver than a slight miss, less grave than a
# plain one. Unit: tolerances.
SEVERITY_OF_WORD = 1.5
# The rule for which every picture counts, so that none is more to blame than another.
EVERY_PICTURE = "pictures"
# Quantities in which missing the plan and leaving the set are one fact with one cause.
ONE_CAUSE = frozenset({"colour_temperature", "light"})


@dataclass(frozen=True, slots=True)
class Miss:
    """One planned item that a picture missed."""

    file: str
    shot: str
    item: ComparedItem

    @property
    def severity(self) -> float:
        """How many times its tolerance the item is off."""
        if self.item.difference is None or not self.item.tolerance:
            return SEVERITY_OF_WORD
        return abs(self.item.difference) / self.item.tolerance


def missing_shots(matches: Matches | None) -> Iterator[Finding]:
    """Shots without a picture."""
    for shot in () if matches is None else matches.missing:
        taken_by = matches.claimed_by.get(shot) if matches is not None else None
        others = () if taken_by is None else (taken_by,)
        yield Finding(FindingCode.MISSING_SHOT, shot=shot, other_shots=others)


def doubtful_matches(matches: Matches | None, refused: Collection[str] = ()) -> Iterator[Finding]:
    """Pictures of no shot, of a doubtful one, of several, and of one that fits less than another.

    The value of a doubtful match is its probability, the expected one that of the second guess; a
    picture of no shot has that of the likeliest shot. What could not be measured is said elsewhere.
    """
    if matches is None:
        return
    for file in (one for one in matches.unplanned if one not in refused):
        yield _unplanned(file, matches.assumed.get(file))
    yield from _unsure(matches.assumed)
    for file, fit in matches.fits_better.items():
        yield Finding(
            FindingCode.FITS_OTHER_SHOT,
            (file,),
            severity=fit.ratio,
            shot=fit.shot,
            other_shots=(fit.better,),
        )
    for file, shots in matches.claimed_twice.items():
        yield Finding(FindingCode.CLAIMED_TWICE, (file,), shot=shots[0], other_shots=shots)


def broken_rules(rules: Sequence[JudgedRule]) -> Iterator[Finding]:
    """The plan's rules for the set that are missed."""
    for judged in rules:
        if judged.verdict is not Verdict.MISSED:
            continue
        accepted, n = judged.rule.accepted, float(len(judged.pairs or judged.files))
        yield Finding(
            FindingCode.SET_RULE,
            () if judged.rule.name == EVERY_PICTURE else judged.files,
            severity=n if accepted is None else abs(accepted.beyond(n)),
            difference=None if accepted is None else accepted.beyond(n),
            value=n,
            expected=Words(judged.rule.words),
            rule=judged.rule.name,
        )


def on_purpose(planned: Mapping[str, PlannedPicture], leaving: Leaving) -> set[tuple[str, str]]:
    """File and quantity of each item that is off on purpose, and of an exposure that causes it."""
    found = set()
    for file, picture in planned.items():
        deviation = _exposure_deviation(file, leaving)
        for item in picture.items:
            if item.on_purpose:
                found.add((file, item.quantity))
                if is_explained(item, deviation):
                    found.add((file, "exposure"))
    return found


def _unplanned(file: str, guess: Assumed | None) -> Finding:
    if guess is None or guess.second is None:
        return Finding(FindingCode.UNPLANNED, (file,))
    return Finding(
        FindingCode.UNPLANNED,
        (file,),
        other_shots=(guess.second,),
        value=guess.second_probability,
    )


def _unsure(assumed: Mapping[str, Assumed]) -> Iterator[Finding]:
    """One finding for each match that is not sure, or one for all where there are many."""
    unsure = {
        file: guess
        for file, guess in assumed.items()
        if guess.shot is not None and guess.probability < LEAST_SURE
    }
    if len(unsure) >= LEAST_OFTEN:
        files = tuple(sorted(unsure, key=lambda file: unsure[file].probability))
        yield Finding(FindingCode.DOUBTFUL_MATCH, files, severity=float(len(files)))
        return
    for file, guess in unsure.items():
        yield Finding(
            FindingCode.DOUBTFUL_MATCH,
            (file,),
            severity=1 - guess.probability,
            shot=guess.shot,
            other_shots=() if guess.second is None else (guess.second,),
            value=guess.probability,
            expected=guess.second_probability,
        )


def misses_by_quantity(planned: Mapping[str, PlannedPicture]) -> dict[str, list[Miss]]:
    """All items missed, and not on purpose, by quantity, in the order of the set."""
    missed: dict[str, list[Miss]] = {}
    for file, picture in planned.items():
        for item in picture.items:
            if item.is_fault:
                missed.setdefault(item.quantity, []).append(Miss(file, picture.shot, item))
    return missed


def often_missed(missed: Mapping[str, Sequence[Miss]]) -> Iterator[Finding]:
    """One finding for each quantity that many pictures miss, the worst first."""
    for quantity, misses in missed.items():
        if is_often(misses):
            worst_first = sorted(misses, key=lambda miss: -miss.severity)
            files = tuple(dict.fromkeys(miss.file for miss in worst_first))
            yield Finding(
                FindingCode.OFTEN_MISSED,
                files,
                severity=float(len(files)),
                quantity=quantity,
                unit=misses[0].item.unit,
            )


def is_often(misses: Sequence[Miss]) -> bool:
    """Whether a quantity is missed by so many pictures that they make one finding."""
    return len({miss.file for miss in misses}) >= LEAST_OFTEN


def finding_of_miss(miss: Miss, leaving: Leaving) -> Finding:
    """The finding of one missed item, with what explains it or shares its cause."""
    item = miss.item
    outlier = leaving.get((miss.file, item.quantity))
    joined = outlier if item.quantity in ONE_CAUSE and item.difference is not None else None
    deviation = _exposure_deviation(miss.file, leaving)
    return Finding(
        FindingCode.MISSED,
        (miss.file,),
        severity=miss.severity,
        quantity=item.quantity,
        element=item.element,
        shot=miss.shot,
        kind=item.kind,
        value=item.measured,
        expected=item.planned,
        difference=item.difference,
        tolerance=item.tolerance,
        unit=item.unit,
        set_centre=None if joined is None else joined.centre,
        set_deviation=None if joined is None else joined.deviation,
        explained_by_exposure_ev=deviation if is_explained(item, deviation) else None,
    )


def _exposure_deviation(file: str, leaving: Leaving) -> float | None:
    """How much lighter a picture is than the set, in EV; None if it does not leave it in that."""
    exposure = leaving.get((file, "exposure"))
    return None if exposure is None else exposure.deviation
