"""The rules about the pictures together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from pathlib import PurePosixPath

from auditor.comparison.item import Verdict as Compared
from auditor.comparison.set_rules import Picture, judge_rules
from auditor.delivery.judged import JudgedRule, Outcome, Why, undecided, within
from auditor.delivery.name_pattern import NamePattern
from auditor.delivery.rules import Rule, Rules
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, Plan, PlannedRule
from auditor.quantities.set_rules import LEAST_PICTURES_WITH_USUAL_SPREAD
from auditor.runs.outcome import RefusedPicture
from auditor.series.series import Series

MOST_NAMED = 12  # missing numbers, or ranges of them, that are written out


def judge_together(
    rule: Rule, rules: Rules, pictures: Sequence[Picture], series: Series
) -> Iterator[JudgedRule]:
    """Judge one rule about the pictures together."""
    files = tuple(picture.file for picture in pictures)
    match rule.name:
        case "same_picture_twice":
            alike = [group.files for group in series.alike]
            yield _none_together(rule, rules, pictures, alike)
        case "crops_of_one_picture":
            pairs = [(pair.whole, pair.crop) for pair in series.crops]
            yield _none_together(rule, rules, pictures, pairs)
        case "number_gaps" | "number_doubles" | "first_number":
            yield _numbering(rule, rules, files)
        case "one_look":
            yield from _one_look(rule, _of_channel(rule, rules, pictures), series)
        case _:
            yield _counted(rule, _of_channel(rule, rules, pictures))


def _of_channel(rule: Rule, rules: Rules, pictures: Sequence[Picture]) -> list[Picture]:
    inside = next((c for c in rules.channels if c.name == rule.channel), None)
    return [picture for picture in pictures if inside is None or inside.has(picture.file)]


def _counted(rule: Rule, pictures: Sequence[Picture]) -> JudgedRule:
    """How many pictures there are of a kind."""
    if not pictures:
        return JudgedRule(rule, undecided(Why.NO_PICTURES))
    planned = PlannedRule(rule.name, rule.asked.accepted, rule.asked.words)
    plan = Plan(None, Intent(), (), DEFAULT_TOLERANCES, (planned,))
    (judged,) = judge_rules(plan, pictures)
    found = float(len(judged.files))
    if judged.verdict is Compared.UNDECIDED:
        return JudgedRule(rule, undecided(Why.OPEN_PICTURES, found))
    return JudgedRule(rule, Outcome("met" if judged.verdict is Compared.MET else "missed", found))


def _none_together(
    rule: Rule,
    rules: Rules,
    pictures: Sequence[Picture],
    together: Iterable[Sequence[str]],
) -> JudgedRule:
    """Whether no pictures that are one picture stand in one group."""
    files = tuple(picture.file for picture in pictures)
    groups = [set(group) for _, group in rules.groups(rule, files)]
    found: dict[str, None] = {}
    n_groups = 0
    for alike in together:
        for group in groups:
            inside = [file for file in alike if file in group]
            if len(inside) > 1:
                n_groups += 1
                found.update(dict.fromkeys(inside))
    if found:
        return JudgedRule(rule, Outcome("missed", float(n_groups)), files=tuple(found))
    judged = set().union(*groups)
    if any(isinstance(one, RefusedPicture) and one.file in judged for one in pictures):
        return JudgedRule(rule, undecided(Why.REFUSED))
    return JudgedRule(rule, Outcome("met") if judged else undecided(Why.NO_PICTURES))


def _numbering(rule: Rule, rules: Rules, files: tuple[str, ...]) -> JudgedRule:
    """The sequence numbers of each group of names."""
    found: list[str] = []
    broken: list[str] = []
    n_numbered = 0
    for channel, group in rules.groups(rule, files):
        pattern = rules.names_of(channel)
        numbers = {} if pattern is None else _numbers(pattern, group)
        if not numbers:
            continue
        n_numbered += len(numbers)
        words, own = _wrong_numbers(rule, numbers)
        found += words
        broken += own
    if not n_numbered:
        return JudgedRule(rule, undecided(Why.NO_NUMBERS))
    if not found:
        return JudgedRule(rule, Outcome("met"))
    return JudgedRule(rule, Outcome("missed", ", ".join(found[:MOST_NAMED])), files=tuple(broken))


def _wrong_numbers(rule: Rule, numbers: Mapping[int, list[str]]) -> tuple[list[str], list[str]]:
    """The numbers that are missing, double or wrong, in words, and the files concerned."""
    if rule.name == "number_gaps":
        present = sorted(numbers)
        gaps = [(a + 1, b - 1) for a, b in pairwise(present) if b - a > 1]
        return [str(a) if a == b else f"{a}–{b}" for a, b in gaps], []
    if rule.name == "number_doubles":
        doubles = {number: files for number, files in numbers.items() if len(files) > 1}
        return (
            [str(number) for number in doubles],
            [file for files in doubles.values() for file in files],
        )
    first = min(numbers)
    kept = within(rule.asked.accepted, float(first)).verdict == "met"
    return ([], []) if kept else ([str(first)], numbers[first])


def _numbers(pattern: NamePattern, files: Sequence[str]) -> dict[int, list[str]]:
    """The files of each number, in the order of the numbers."""
    named = [
        (number, file)
        for file in files
        if (number := pattern.number_in(PurePosixPath(file).stem)) is not None
    ]
    named.sort(key=lambda one: one[0])
    return {
        number: [file for _, file in group] for number, group in groupby(named, lambda one: one[0])
    }


def _one_look(rule: Rule, pictures: Sequence[Picture], series: Series) -> Iterator[JudgedRule]:
    """Of each picture in what it leaves the set."""
    n_measured = sum(isinstance(picture, MeasuredPhotograph) for picture in pictures)
    if n_measured < LEAST_PICTURES_WITH_USUAL_SPREAD:
        yield JudgedRule(rule, undecided(Why.FEW_PICTURES))
        return
    leaving = leaving_look(rule, series)
    for picture in pictures:
        own = leaving.get(picture.file, ())
        if isinstance(picture, RefusedPicture):
            yield JudgedRule(rule, undecided(Why.REFUSED), picture.file)
        elif own:
            yield JudgedRule(rule, Outcome("missed", ", ".join(own)), picture.file)
        else:
            yield JudgedRule(rule, Outcome("met"), picture.file)


def leaving_look(rule: Rule, series: Series) -> dict[str, tuple[str, ...]]:
    """In which quantities of a rule each picture leaves the set, by file.

    A picture of a second group of colour temperature leaves it as well.
    """
    found: dict[str, list[str]] = {}
    for quantity in series.quantities:
        name = quantity.quantity.replace("_", " ")
        if name in rule.asked.texts:
            for outlier in quantity.outliers:
                found.setdefault(outlier.file, []).append(name)
    name = "colour temperature"
    if name in rule.asked.texts:
        for cluster in series.colour_temperature_clusters[1:]:
            for file in cluster.files if len(cluster.files) > 1 else ():
                own = found.setdefault(file, [])
                own += [] if name in own else [name]
    return {file: tuple(names) for file, names in found.items()}
