"""Rules of a hand-over before they are checked, one line each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.delivery import rule_title
from auditor.wording.texts import listed

AskedRule = tuple[str, str]  # the key of a rule, and what it asks in words


def rule_lines(
    title: str | None,
    rules: Sequence[AskedRule],
    channels: Sequence[tuple[str, Sequence[str], Sequence[AskedRule]]],
) -> Iterator[str]:
    """What was understood of rules: a line that sums up, then one for each rule.

    Parameters
    ----------
    title : str or None
    rules : sequence of (str, str)
        Those for all pictures.
    channels : sequence of (str, sequence of str, sequence of (str, str))
        Name, patterns of files and own rules of each.
    """
    n_rules = len(rules) + sum(len(own) for _, _, own in channels)
    counts = [count(n_rules, "rule")]
    if channels:
        counts.append(count(len(channels), "channel"))
    summary = ", ".join(counts)
    yield f"{one_line(title)}: {summary}" if title else summary
    yield from _lines(rules)
    for name, files, own in channels:
        yield f"{one_line(name)} ({listed([one_line(pattern) for pattern in files])}):"
        yield from _lines(own)


def _lines(rules: Sequence[AskedRule]) -> Iterator[str]:
    for name, asked in rules:
        yield f"- {rule_title(name, asked, None)}"
