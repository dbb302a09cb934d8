"""Names of the techniques of composition, and other ways to write them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from auditor.vocabulary.listed import Listed, by_form, without, word_set
from auditor.vocabulary.plain_words import plain_words

CENTRED = "centred"
GOLDEN_TRIANGLES = "golden triangles"
SYMMETRY = "symmetry"
TRIANGLE = "triangle arrangement"
INNER_FRAME = "frame within a frame"

# In the order in which a picture is measured by them; of several that cannot be told apart the
# first one is named.
TECHNIQUES = (
    "rule of thirds",
    "golden ratio",
    CENTRED,
    "diagonals",
    GOLDEN_TRIANGLES,
    "golden spiral",
    SYMMETRY,
    TRIANGLE,
    INNER_FRAME,
)

# Techniques that ask for something else than the place of the subject; other measurements of the
# picture show them.
DIAGONAL_ROW = "diagonal row"
ODD_NUMBER = "odd number"
LEADING_LINES = "leading lines"
S_CURVE, C_CURVE = "S-curve", "C-curve"
NEGATIVE_SPACE = "negative space"
# What no measurement shows.
REPETITION, LAYERS, ASYMMETRY = "repetition", "layers", "asymmetry"
BALANCE, GRID, ROW = "balance", "grid", "row"
UNMEASURED_TECHNIQUES = (REPETITION, LAYERS, ASYMMETRY, BALANCE, GRID, ROW)


@dataclass(frozen=True, slots=True)
class Technique:
    """A technique by its usual name, what it asks for, and other ways to write it."""

    words: str
    meaning: str
    also: tuple[str, ...] = ()


PLANNED_TECHNIQUES = (
    Technique(
        "rule of thirds",
        "the subject on a point where two lines of thirds cross",
        ("thirds", "rule of third", "rule of 3rds", "on the thirds", "thirds grid"),
    ),
    Technique(
        "golden ratio",
        "the subject on a point where two lines at 0.38 and 0.62 cross",
        ("golden section", "phi grid", "golden mean"),
    ),
    Technique(
        CENTRED,
        "the subject in the middle of the frame",
        ("centered", "centre", "center", "central", "middle", "in the middle", "dead centre"),
    ),
    Technique("diagonals", "the subject on a diagonal of the frame", ("diagonal",)),
    Technique(
        GOLDEN_TRIANGLES,
        "the subject where the line from a corner meets the frame's diagonal at a right angle",
        ("golden triangle",),
    ),
    Technique(
        "golden spiral",
        "the subject where the spiral winds in: 28% or 72% across and down",
        ("golden spirals", "golden ratio spiral", "fibonacci spiral", "spiral", "fibonacci"),
    ),
    Technique(
        SYMMETRY,
        "the left half mirrors the right",
        ("symmetrical", "symmetric", "mirrored", "central symmetry"),
    ),
    Technique(
        TRIANGLE,
        "the subject and two elements form a triangle",
        (
            "triangle",
            "triangular",
            "triangular arrangement",
            "triangle composition",
            "triangle of props",
            "pyramid",
        ),
    ),
    Technique(
        INNER_FRAME,
        "something in the picture frames the subject",
        ("frame in frame", "frame in a frame", "frame within frame", "framing", "inner frame"),
    ),
    Technique(
        DIAGONAL_ROW,
        "three things or more stand in a row that slants",
        (
            "three in a row on a diagonal",
            "three on a diagonal",
            "row on a diagonal",
            "things on a diagonal",
            "diagonal three in a row",
            "slanted row",
            "three in a slanted row",
            "three in a row slanted",
            "diagonal arrangement",
            "diagonal line of three",
            "diagonal composition",
        ),
    ),
    Technique(
        ODD_NUMBER,
        "an odd number of things, the subject among them",
        (
            "odd numbers",
            "rule of odds",
            "odds",
            "odd",
            "an odd number",
            "odd number of things",
            "group of three",
            "groups of three",
            "trio",
            "threes",
        ),
    ),
    Technique(
        LEADING_LINES,
        "lines or a row of things lead to the subject",
        ("leading line", "lead in lines", "converging lines"),
    ),
    Technique(
        S_CURVE, "things stand on a curve like an S", ("S curve", "s-shape", "s composition")
    ),
    Technique(C_CURVE, "things stand on an arc", ("C curve", "c-shape", "arc", "curve")),
    Technique(
        NEGATIVE_SPACE,
        "at least half of the frame is empty, or as much as negative_space says",
        ("empty space", "minimalist", "minimal", "minimalism"),
    ),
    Technique(
        REPETITION,
        "the same thing several times (understood, and not measured)",
        ("pattern", "repeating pattern", "rhythm"),
    ),
    Technique(
        LAYERS,
        "foreground, middle and background (understood, and not measured)",
        ("layering", "depth", "foreground interest"),
    ),
    Technique(
        ASYMMETRY,
        "the two halves differ (understood, and not measured)",
        ("asymmetrical", "asymmetric"),
    ),
    Technique(
        BALANCE,
        "heavy and light parts balance (understood, and not measured)",
        ("balanced", "visual balance"),
    ),
    Technique(
        GRID,
        "things stand in rows and columns (understood, and not measured)",
        ("knolling", "in a grid"),
    ),
    Technique(
        ROW,
        "things stand in any row (understood, and not measured; a slanted one is a diagonal row)",
        ("in a row", "three in a row", "3 in a row", "things in a row", "line of things"),
    ),
)
_FILLERS = word_set("a composition technique the use using with")
# What follows names the things: "odd number of cookies", "leading line from the spoon".
_OF_THINGS = re.compile(r"\s(?:of|from|with|to|between|along)\s")
_BY_FORM = by_form(PLANNED_TECHNIQUES)


def technique_name(text: str) -> str | None:
    """The usual name of a technique; None where unknown."""
    heads = [text, *(text[: match.start()] for match in _OF_THINGS.finditer(text))]
    for head in heads:
        found = _BY_FORM.get(plain_words(head)) or _BY_FORM.get(without(head, _FILLERS))
        if found is not None:
            return found.words
    return None


def listed_techniques() -> tuple[Listed, ...]:
    """The techniques for the list of words."""
    return tuple(Listed(one.words, one.meaning, one.also) for one in PLANNED_TECHNIQUES)
