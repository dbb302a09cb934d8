"""What a plan accepts, in words with its numbers: ``"three-quarter (30 to 60°)"``."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from auditor.record.plan_records import AcceptedRecord
from auditor.values import ValueKind
from auditor.wording.numbers import aspect, decimal, kelvin_from_mired, percent
from auditor.wording.positions import dial_text

Span = tuple[float, float]

_NO_LIMIT = 1.0  # of a share: "up to all of the frame" is no limit


def accepted_text(accepts: AcceptedRecord, kind: ValueKind) -> str:
    """Write what is as planned: its words, each range in numbers, or both."""
    write = _WRITERS[kind]
    ranges = " or ".join(write(span) for span in joined(accepts.spans))
    if not accepts.words:
        return ranges
    # A format in words has no limit that anyone would want to read.
    if kind is ValueKind.RATIO and any(least < most for least, most in accepts.spans):
        return accepts.words
    return f"{accepts.words} ({ranges})"


def joined(spans: Sequence[Span]) -> list[Span]:
    """The ranges in order, those that touch made one."""
    together: list[Span] = []
    for least, most in sorted(spans):
        if together and least <= together[-1][1]:
            together[-1] = (together[-1][0], max(together[-1][1], most))
        else:
            together.append((least, most))
    return together


def _degrees(span: Span) -> str:
    least, most = (decimal(end, 0 if end == round(end) else 1) for end in span)
    return f"{least}°" if least == most else f"{least} to {most}°"


def _hours(span: Span) -> str:
    least, most = (dial_text(end % 12 or 12.0) for end in span)
    return least if span[0] == span[1] else f"{least} to {most}"


def _shares(span: Span) -> str:
    least, most = span
    if least == most:
        return percent(least)
    if most == _NO_LIMIT:
        return f"at least {percent(least)}"
    if least == 0:
        return f"at most {percent(most)}"
    return f"{percent(least).removesuffix('%')} to {percent(most)}"


def _kelvins(span: Span) -> str:
    cool, warm = (kelvin_from_mired(end) for end in span)
    return cool if cool == warm else f"{warm.removesuffix(' K')} to {cool}"


def _ratios(span: Span) -> str:
    least, most = (aspect(end) for end in span)
    return least if least == most else f"{least} to {most}"


_WRITERS: dict[ValueKind, Callable[[Span], str]] = {
    ValueKind.ANGLE: _degrees,
    ValueKind.CLOCK: _hours,
    ValueKind.FRACTION: _shares,
    ValueKind.MIRED: _kelvins,
    ValueKind.RATIO: _ratios,
}
