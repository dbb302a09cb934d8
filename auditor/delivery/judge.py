"""Judge all rules of a hand-over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from auditor.comparison.set_rules import Picture
from auditor.delivery.examining import Examination, Examined, examine_files
from auditor.delivery.file_facts import FileFacts
from auditor.delivery.judged import JudgedRule, Outcome, Why, undecided
from auditor.delivery.models import RULE_NAMES, SET_RULES
from auditor.delivery.picture_checks import CHECKS, OF_PIXELS, Seen
from auditor.delivery.rules import Asked, Rule, Rules
from auditor.delivery.set_checks import judge_together
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.runs.run import Run
from auditor.series.series import Series

# Of a channel without pictures: not a key of the file, but what its `files` ask.
CHANNEL_FILES = "files"
_NOTHING = Examined(FileFacts())


def examine(
    rules: Rules, folder: Path, files: Sequence[str], pictures: Sequence[Picture], run: Run
) -> Mapping[str, Examined]:
    """Examine the files as far as the rules ask.

    Parameters
    ----------
    rules : Rules
    folder : Path
    files : sequence of str
        As they are opened, relative to the folder.
    pictures : sequence of MeasuredPhotograph or RefusedPicture
        The same, in the same order.
    run : Run
    """
    with_pixels = bool(rules.names() & OF_PIXELS)
    tasks = [
        Examination(file, picture.file, _subject(picture), with_pixels)
        for file, picture in zip(files, pictures, strict=True)
    ]
    sha256 = {one.file: one.sha256 for one in pictures if isinstance(one, MeasuredPhotograph)}
    return examine_files(folder, tasks, sha256, run)


def judge_delivery(
    rules: Rules,
    pictures: Sequence[Picture],
    series: Series,
    examined: Mapping[str, Examined],
) -> tuple[JudgedRule, ...]:
    """Judge each rule: about each picture, and about the pictures together.

    Returns
    -------
    tuple of JudgedRule
        By rule, what cannot be undone after a hand-over first, the rules for all pictures before
        those of a channel; then in the order of the pictures.
    """
    seen = [
        Seen(
            picture.file,
            examined.get(picture.file, _NOTHING),
            picture if isinstance(picture, MeasuredPhotograph) else None,
        )
        for picture in pictures
    ]
    ordered = sorted(rules.all_rules(), key=lambda rule: RULE_NAMES.index(rule.name))
    return (
        *_empty_channels(rules, pictures),
        *(judged for rule in ordered for judged in _judged(rule, rules, seen, pictures, series)),
    )


def _judged(
    rule: Rule,
    rules: Rules,
    seen: Sequence[Seen],
    pictures: Sequence[Picture],
    series: Series,
) -> Iterator[JudgedRule]:
    if rule.name in SET_RULES or rule.name not in CHECKS:
        yield from judge_together(rule, rules, pictures, series)
        return
    held = [one for one in seen if rules.holds_for(rule, one.file)]
    if not held:
        yield JudgedRule(rule, undecided(Why.NO_PICTURES))
    for one in held:
        yield JudgedRule(rule, CHECKS[rule.name](rule.asked, one), one.file)


def _empty_channels(rules: Rules, pictures: Sequence[Picture]) -> Iterator[JudgedRule]:
    for channel in rules.channels:
        if not any(channel.has(picture.file) for picture in pictures):
            asked = Asked(", ".join(channel.files), texts=channel.files)
            rule = Rule(CHANNEL_FILES, asked, channel.name)
            yield JudgedRule(rule, Outcome("missed", 0.0))


def _subject(picture: Picture) -> Box | None:
    if isinstance(picture, MeasuredPhotograph) and picture.subject.value is not None:
        return picture.subject.value.bbox
    return None
