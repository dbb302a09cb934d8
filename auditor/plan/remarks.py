"""What the reader of a plan should know although nothing in it is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.plan.models import WrittenIntent, WrittenPlan
from auditor.plan.toml_lines import KeyPath
from auditor.safe_text import one_line
from auditor.vocabulary.light import HARDNESS
from auditor.vocabulary.techniques import UNMEASURED_TECHNIQUES

MOST_KEYS_SHOWN = 8


def remarks_on(written: WrittenPlan, ignored: Sequence[KeyPath]) -> Iterator[str]:
    """Yield each remark, one line each."""
    return (one_line(remark) for remark in _remarks(written, ignored))


def _remarks(written: WrittenPlan, ignored: Sequence[KeyPath]) -> Iterator[str]:
    if ignored:
        yield f"ignored: {_keys(ignored)} (nothing is compared with them)"
    soft = _hardness([written.series, *written.shot])
    if soft:
        words = ", ".join(soft)
        yield f"not compared: {words} light (only where light comes from is measured)"
    unmeasured = _unmeasured([written.series, *written.shot])
    if unmeasured:
        yield f"not measured, so undecided: {', '.join(unmeasured)} (judge it by eye)"


def _keys(ignored: Sequence[KeyPath]) -> str:
    """Names of keys, each once, in the order of the file."""
    names = list(dict.fromkeys(_name(path) for path in ignored))
    more = len(names) - MOST_KEYS_SHOWN
    shown = ", ".join(names[:MOST_KEYS_SHOWN])
    return f"{shown} and {more} more" if more > 0 else shown


def _name(path: KeyPath) -> str:
    """A key with the table in a shot to which it belongs."""
    names = [part for part in path if isinstance(part, str)]
    return ".".join(names[-2:] if names[-2:-1] != ["shot"] and len(names) > 2 else names[-1:])


def _unmeasured(intents: Sequence[WrittenIntent]) -> list[str]:
    """Planned techniques that nothing measures, each once."""
    planned = (one for intent in intents for one in intent.technique or ())
    return list(dict.fromkeys(one for one in planned if one in UNMEASURED_TECHNIQUES))


def _hardness(intents: Sequence[WrittenIntent]) -> list[str]:
    """Words for how hard the light is, and others where they are all that is said."""
    words: dict[str, None] = {}
    for intent in intents:
        light = None if intent.light is None else intent.light.planned
        if light is not None:
            words |= dict.fromkeys(
                word for word in light.qualities if word in HARDNESS or not light.is_somewhere
            )
    return list(words)
