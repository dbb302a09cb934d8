"""The registry of quantities: everything that is fixed about each, in one place.

To add a quantity: its measurement, one entry in `entries.py` with its tolerance and its rule of the
set where it has them, its tests.
"""

from auditor.quantities.entries import ENTRIES
from auditor.quantities.registry import QuantityEntry, SetRule, ToleranceRule

__all__ = [
    "FOLLOWED",
    "PLANNED",
    "QUANTITIES",
    "WITH_TOLERANCE",
    "QuantityEntry",
    "SetRule",
    "ToleranceRule",
    "set_rule",
    "tolerance_rule",
]

QUANTITIES: dict[str, QuantityEntry] = {entry.name: entry for entry in ENTRIES}
# Names of the quantities that a plan can state, of those that have a tolerance, and of those that
# are followed over a set.
PLANNED: tuple[str, ...] = tuple(name for name, entry in QUANTITIES.items() if entry.planned_as)
WITH_TOLERANCE: tuple[str, ...] = tuple(
    name for name, entry in QUANTITIES.items() if entry.tolerance
)
FOLLOWED: tuple[str, ...] = tuple(name for name, entry in QUANTITIES.items() if entry.set_rule)


def tolerance_rule(name: str) -> ToleranceRule:
    """The tolerance of a quantity that has one.

    Raises
    ------
    KeyError
        If the quantity has none.
    """
    rule = QUANTITIES[name].tolerance
    if rule is None:
        raise KeyError(name)
    return rule


def set_rule(name: str) -> SetRule:
    """How a quantity is followed over a set.

    Raises
    ------
    KeyError
        If the quantity is not followed.
    """
    rule = QUANTITIES[name].set_rule
    if rule is None:
        raise KeyError(name)
    return rule
