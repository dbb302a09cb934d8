"""A quantity has a value with its confidence, or a reason."""

import pytest

from auditor.quantity import Quantity
from auditor.reasons import Reason


def test_a_measured_quantity_has_no_reason():
    quantity = Quantity.measured(3.5, confidence=0.8, tolerance=1)
    assert (quantity.value, quantity.confidence, quantity.tolerance) == (3.5, 0.8, 1.0)
    assert quantity.reason is None


def test_an_undetermined_quantity_has_a_reason():
    quantity = Quantity.undetermined(Reason.FLAT_LIGHT)
    assert (quantity.value, quantity.reason) == (None, Reason.FLAT_LIGHT)


@pytest.mark.parametrize("confidence", [-0.01, 1.01, float("nan")])
def test_confidence_is_a_probability(confidence):
    with pytest.raises(ValueError, match="probability"):
        Quantity.measured(1.0, confidence=confidence, tolerance=1)


def test_a_quantity_without_value_and_reason_is_refused():
    with pytest.raises(ValueError, match="either"):
        Quantity(None, None, None, None)
