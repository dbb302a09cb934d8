"""The place of a planned thing in one picture: a point with a tolerance, or a zone."""

from __future__ import annotations

from dataclasses import dataclass

from scipy.special import ndtr

from auditor.comparison.candidates import Candidate
from auditor.comparison.item import ComparedItem, Doubt, Match, Verdict
from auditor.comparison.verdicts import ROUNDING, probability_within
from auditor.geometry import Box, Point, distance_fraction
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import PlannedThing
from auditor.values import Place
from auditor.vocabulary.zones import Zone


@dataclass(frozen=True, slots=True)
class PlannedPlace:
    """Where a thing may be.

    Attributes
    ----------
    point : Point
        Its position; that of a zone stands for the zone in the record.
    zone : Zone or None
        None for a place given in numbers.
    tolerance : float
        Fraction of the diagonal, from the point or beyond the zone.
    width, height : int
        Of the frame.
    """

    point: Point
    zone: Zone | None
    tolerance: float
    width: int
    height: int

    @classmethod
    def of(
        cls,
        planned: PlannedThing,
        measured: MeasuredPhotograph,
        tolerance: float,
        beyond_zone: float = 1.0,
    ) -> PlannedPlace | None:
        """The place of a planned thing; None if it may be anywhere.

        Parameters
        ----------
        planned : PlannedThing
        measured : MeasuredPhotograph
        tolerance : float
            Fraction of the diagonal.
        beyond_zone : float
            What of the tolerance is allowed beyond a zone.
        """
        subject = None if measured.subject.value is None else measured.subject.value.bbox
        zone = None if planned.zone is None else planned.zone.around(subject)
        point = planned.at if zone is None else zone.point
        if point is None:
            return None
        allowed = tolerance
        if zone is not None:
            allowed *= zone.reach * (1.0 if zone.is_point else beyond_zone)
        return cls(point, zone, allowed, measured.width, measured.height)

    @property
    def boxes(self) -> tuple[Box, ...]:
        """What it covers without the tolerance."""
        return (Box(*self.point, *self.point),) if self.zone is None else self.zone.boxes

    def difference(self, at: Point) -> float:
        """Distance of a position from the point, or beyond the zone."""
        return max(0.0, self._signed(at))

    def probability(self, at: Point, spread: float) -> float:
        """Probability that something is within the tolerance.

        Parameters
        ----------
        at : Point
            Where it was measured.
        spread : float
            Of that measurement along each direction, as a fraction of the diagonal.
        """
        signed = self._signed(at)
        if self.zone is None or self.zone.is_point:
            return probability_within(signed, self.tolerance, spread, dimensions=2)
        if spread <= ROUNDING:
            return 1.0 if signed <= self.tolerance + ROUNDING else 0.0
        return float(ndtr((self.tolerance - signed) / spread))

    def _signed(self, at: Point) -> float:
        if self.zone is None:
            return distance_fraction(self.point, at, self.width, self.height)
        return self.zone.distance(at, self.width, self.height)

    def item(
        self,
        planned: PlannedThing,
        found: Candidate | None,
        verdict: Verdict,
        doubt: Doubt = "",
    ) -> ComparedItem:
        """The compared item of a supporting element at this place."""
        return ComparedItem.of(
            "supporting",
            Place(self.point),
            None if found is None else Place(found.place),
            verdict,
            element=planned.name,
            difference=None if found is None else self.difference(found.place),
            tolerance=self.tolerance,
            zone=self.zone,
            match=None if found is None else Match(found.box, found.element, found.seen_as),
            doubt=doubt,
        )
