"""How likely a thing found is of a kind rather than of another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.comparison.candidates import Candidate, contains
from auditor.geometry import Ellipse
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.vocabulary.kinds import Kind

# How much more often a dish has a rim that the camera angle was read from than other things have
# one in their box (our choice, no source).
RIM_RATIO = 4.0
# From this ratio on a shape tells the kind: a thing three times as long as wide is long and thin
# (our choice, no source).
DISTINCT_RATIO = 2.0


@dataclass(frozen=True, slots=True)
class Dishes:
    """The rims in a picture, which show dishes."""

    rims: Sequence[Ellipse]

    @classmethod
    def of(cls, measured: MeasuredPhotograph) -> Dishes:
        """The rims from which the camera angle was read."""
        elevation = measured.camera_elevation.value
        return cls(() if elevation is None else elevation.ellipses)

    def share_of_kind(self, one: Candidate, kind: Kind, odds: float = 1.0) -> float:
        """Probability that a thing is of a kind, in [0, 1].

        Parameters
        ----------
        one : Candidate
        kind : Kind
        odds : float
            That it is of that kind, before its shape is looked at. A thing that the plan does not
            name otherwise is as likely of that kind as of any other (our choice, no source).
        """
        ratio = odds * self._ratio(one, kind)
        return ratio / (1 + ratio)

    def is_distinct(self, one: Candidate, kind: Kind) -> bool:
        """Whether few things of other kinds look like it."""
        return self._ratio(one, kind) >= DISTINCT_RATIO

    def _ratio(self, one: Candidate, kind: Kind) -> float:
        """How much likelier it looks as it does if it is of a kind than if it is of any."""
        ratio = one.fits(kind)
        if kind is Kind.ROUND and any(contains(one.box, rim.centre) for rim in self.rims):
            return max(ratio, RIM_RATIO)
        return ratio
