"""A draft of a plan as data: the keys and values of the file, with the comments beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from auditor.sketch.drawn import LEAST_STATED

TomlValue: TypeAlias = (
    "str | int | float | Sequence[TomlValue] | Mapping[str, TomlValue] | Remarked"
)

# The same as `tomllib` reads it.
PlainValue: TypeAlias = "str | int | float | list[PlainValue] | dict[str, PlainValue]"


@dataclass(frozen=True, slots=True)
class Remarked:
    """An item of a list with a comment beside it.

    Attributes
    ----------
    value : TOML value
    comment : str
        Without the sign that begins it; empty for none.
    """

    value: TomlValue
    comment: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One key of a table.

    Attributes
    ----------
    key : str
    value : TOML value
    comment : str
        Beside the value, without the sign that begins it; empty for none.
    confidence : float
        Probability that it is what is meant, in [0, 1].
    """

    key: str
    value: TomlValue
    comment: str = ""
    confidence: float = 1.0

    @property
    def is_stated(self) -> bool:
        """False for what is more likely wrong than right: it is written as a comment only."""
        return self.confidence >= LEAST_STATED

    @property
    def plain(self) -> PlainValue:
        """The value as `tomllib` reads it."""
        return plain(self.value)


@dataclass(frozen=True, slots=True)
class ShotDraft:
    """One ``[[shot]]``.

    Attributes
    ----------
    name : str
    files : tuple of str
        Patterns; empty where no picture is known.
    entries : tuple of Entry
        In the order of the file.
    comments : tuple of str
        Lines above its first key.
    """

    name: str
    files: tuple[str, ...]
    entries: tuple[Entry, ...]
    comments: tuple[str, ...] = ()

    def entry(self, key: str) -> Entry | None:
        """Its own entry of a key."""
        return next((one for one in self.entries if one.key == key), None)


@dataclass(frozen=True, slots=True)
class PlanDraft:
    """A whole draft.

    Attributes
    ----------
    comments : tuple of str
        Lines at the head of the file.
    title : str
        Empty for none.
    series : tuple of Entry
        What holds for every shot that does not state its own.
    shots : tuple of ShotDraft
    """

    comments: tuple[str, ...]
    title: str
    series: tuple[Entry, ...]
    shots: tuple[ShotDraft, ...]


def plain(value: TomlValue) -> PlainValue:
    """A value as `tomllib` reads it, without comments."""
    if isinstance(value, Remarked):
        return plain(value.value)
    if isinstance(value, Mapping):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, str) or not isinstance(value, Sequence):
        return value
    return [plain(one) for one in value]
