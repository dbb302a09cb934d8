"""Drawings of a source, made more varied."""

from __future__ import annotations

import numpy as np

from fixtures.sketching.hand import Generator, Points
from fixtures.sketching.source import Source
from fixtures.sketching.strokes import fitted


class Varied:
    """A source whose drawings are stretched, slanted and mirrored at random."""

    def __init__(self, source: Source) -> None:
        self._source = source

    def pick(self, word: str, rng: Generator) -> tuple[Points, ...]:
        """One drawing of a word."""
        stretch = np.exp(rng.normal(0, 0.2, 2)) * [rng.choice([-1.0, 1.0]), 1.0]
        slant = rng.normal(0, 0.12)
        matrix = np.array([[stretch[0], slant], [0.0, stretch[1]]])
        phase, pull = rng.uniform(0, 2 * np.pi, 2), rng.uniform(0, 0.06)

        def varied(stroke: Points) -> Points:
            bent: Points = (stroke + pull * np.sin(5 * stroke[:, ::-1] + phase)) @ matrix.T
            return bent

        return tuple(fitted([varied(stroke) for stroke in self._source.pick(word, rng)]))

    def circle(self, rng: Generator) -> Points | None:
        """An outline drawn as a circle."""
        return self._source.circle(rng)
