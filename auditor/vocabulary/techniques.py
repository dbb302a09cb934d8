"""Names of the techniques of composition, and other ways to write them."""

from __future__ import annotations

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

# By what people write, the name in `TECHNIQUES`.
TECHNIQUE_SYNONYMS = {
    "thirds": "rule of thirds",
    "golden section": "golden ratio",
    "centered": CENTRED,
    "diagonal": "diagonals",
    "golden triangle": GOLDEN_TRIANGLES,
    "golden spirals": "golden spiral",
    "fibonacci spiral": "golden spiral",
    "symmetrical": "symmetry",
    "triangle": "triangle arrangement",
    "triangular arrangement": "triangle arrangement",
    "frame in frame": "frame within a frame",
    "frame in a frame": "frame within a frame",
    "frame within frame": "frame within a frame",
}


def technique_name(text: str) -> str:
    """The usual name of a technique; a text that is no known synonym stays, in plain words."""
    words = plain_words(text)
    return TECHNIQUE_SYNONYMS.get(words, words)
