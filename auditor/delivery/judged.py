"""One rule, judged."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from auditor.accepted import Accepted
from auditor.delivery.rules import Rule

Verdict = Literal["met", "missed", "undecided"]

# Below what a number of the measurements or a limit is written to.
ROUNDING = 1e-9


class Why(StrEnum):
    """Why a rule is missed, where no number says it, or could not be checked."""

    REFUSED = "refused"
    UNREADABLE = "unreadable"
    METADATA_UNREADABLE = "metadata_unreadable"
    BROKEN_METADATA = "broken_metadata"
    MAKER_NOTE = "maker_note"
    NO_SUBJECT = "no_subject"
    NO_FOCUS = "no_focus"
    FEW_EDGES = "few_edges"
    NEAR_LIMIT = "near_limit"
    OPEN_PICTURES = "open_pictures"
    FEW_PICTURES = "few_pictures"
    NO_NUMBERS = "no_numbers"
    NO_PICTURES = "no_pictures"
    UNKNOWN_BITS = "unknown_bits"
    UNKNOWN_COLOURS = "unknown_colours"
    UNKNOWN_PROFILE = "unknown_profile"
    NO_PROFILE = "no_profile"
    WRONG_ENDING = "wrong_ending"
    NOT_A_PICTURE = "not_a_picture"
    MISSING = "missing"
    PRESENT = "present"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Outcome:
    """A verdict with what it is based on.

    Attributes
    ----------
    verdict : str
    found : float, str or None
        In the unit of the rule, or a word.
    why : Why or None
    """

    verdict: Verdict
    found: float | str | None = None
    why: Why | None = None


@dataclass(frozen=True, slots=True)
class JudgedRule:
    """A rule with its verdict on one picture, or on the pictures together.

    Attributes
    ----------
    rule : Rule
    outcome : Outcome
    file : str or None
        None for a rule about the pictures together.
    files : tuple of str
        Of a rule about the pictures together, those that break it.
    """

    rule: Rule
    outcome: Outcome
    file: str | None = None
    files: tuple[str, ...] = ()


def undecided(why: Why, found: float | str | None = None) -> Outcome:
    """A rule that could not be checked."""
    return Outcome("undecided", found, why)


def within(accepted: Accepted | None, value: float, spread: float = 0.0) -> Outcome:
    """Whether a number is as asked; undecided if it is beyond by no more than `spread`."""
    beyond = 0.0 if accepted is None else abs(accepted.beyond(value))
    if beyond <= ROUNDING:
        return Outcome("met", value)
    return undecided(Why.NEAR_LIMIT, value) if beyond <= spread else Outcome("missed", value)
