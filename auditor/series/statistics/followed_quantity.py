"""How one quantity is read from each picture of a set."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantities import FOLLOWED, QUANTITIES, SetRule, set_rule

# All quantities of a set share the small number of false alarms that it may have.
N_QUANTITIES = len(FOLLOWED)
# Less certain values never flag outliers: they are left out of the statistics of the set.
LEAST_CONFIDENCE = 0.5  # of a colour temperature; of others, `MOST_DOUBT` counts


@dataclass(frozen=True, slots=True)
class Reading:
    """The value of one picture, and the largest error that it is trusted not to exceed."""

    value: float
    tolerance: float


Read = Callable[[MeasuredPhotograph], Reading | None]


@dataclass(frozen=True, slots=True)
class SetQuantity:
    """A quantity of the registry, and how it is read over a set.

    Attributes
    ----------
    name : str
        In `auditor.quantities`, which has its unit and its rule.
    read : callable
        Takes a measured picture; None if the picture has no trusted value.
    others : tuple of callable
        Other ways to read the same quantity, in the same unit. Some sets are exposed for the whole
        frame, others for its lightest part: a set is judged by the reading with the least spread.
    scale : callable or None
        A second scale on which an outlier must lie apart too. Sizes are compared by their ratio,
        because the spread of small sizes is always small.
    """

    name: str
    read: Read
    others: tuple[Read, ...] = ()
    scale: Callable[[float], float] | None = None

    @property
    def unit(self) -> str:
        """Unit of the values."""
        return QUANTITIES[self.name].unit

    @property
    def rule(self) -> SetRule:
        """Which deviations count."""
        return set_rule(self.name)
