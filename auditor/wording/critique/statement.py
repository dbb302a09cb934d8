"""A sentence about a picture with its figures, and the clauses that are joined into one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.wording.texts import capital

MOST_CLAUSES = 2  # in one sentence: with three a reader loses the first (our choice, no source)


@dataclass(frozen=True, slots=True)
class Statement:
    """A whole sentence, and one line with the figures that it rests on."""

    sentence: str
    figures: str


@dataclass(frozen=True, slots=True)
class Clause:
    """A main clause without capital and full stop.

    Attributes
    ----------
    words : str
    figures : str
    topic : str
        What it speaks of; of one topic a picture has one clause.
    weight : float
        How much it matters among the clauses of its kind, in [0, 1].
    """

    words: str
    figures: str
    topic: str
    weight: float


def sentence_of(words: str) -> str:
    """Make a sentence of a main clause."""
    return f"{capital(words)}."


def figures_of(parts: Sequence[str]) -> str:
    """Join figures into one line."""
    return "; ".join(part for part in parts if part)


def joined(lead: str, clauses: Sequence[Clause]) -> Statement | None:
    """Join the weightiest clauses into one sentence, each topic once; None of none.

    Parameters
    ----------
    lead : str
        What stands before the colon.
    clauses : sequence of Clause
        Of equal weights the first one is taken.
    """
    by_topic: dict[str, Clause] = {}
    for clause in sorted(clauses, key=lambda one: -one.weight):
        by_topic.setdefault(clause.topic, clause)
    kept = list(by_topic.values())[:MOST_CLAUSES]
    if not kept:
        return None
    words = ", and ".join(clause.words for clause in kept)
    return Statement(f"{lead}: {words}.", figures_of([clause.figures for clause in kept]))
