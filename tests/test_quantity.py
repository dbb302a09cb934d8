"""A quantity has a value with its confidence, or a reason."""

import math

import pytest

from auditor.quantity import Quantity, probability_within_tolerance, spread_of_confidence
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


@pytest.mark.parametrize(
    ("dimensions", "confidence", "n_spreads"),
    [
        # Two-sided normal quantiles, NIST/SEMATECH e-Handbook 1.3.6.7.1.
        (1, 0.6827, 1.0),
        (1, 0.95, 1.960),
        (1, 0.99, 2.576),
        # Square roots of chi-squared quantiles, NIST/SEMATECH e-Handbook 1.3.6.7.4.
        (2, 0.90, math.sqrt(4.605)),
        (2, 0.95, math.sqrt(5.991)),
        (3, 0.90, math.sqrt(6.251)),
        (3, 0.99, math.sqrt(11.345)),
    ],
)
def test_confidence_and_spread_of_right_readings(dimensions, confidence, n_spreads):
    spread = spread_of_confidence(confidence, 6.0, dimensions)
    assert 6.0 / spread == pytest.approx(n_spreads, abs=5e-4)
    assert probability_within_tolerance(6.0, spread, dimensions) == pytest.approx(confidence)


def test_spread_at_the_ends():
    assert spread_of_confidence(0.0, 1.0) == math.inf
    assert 0 < spread_of_confidence(1.0, 1.0) < 0.5
    assert probability_within_tolerance(1.0, 0.0) == 1.0


@pytest.mark.parametrize("dimensions", [1, 2, 3])
@pytest.mark.parametrize("confidence", [0.0, 0.3, 0.75, 0.95, 0.995, 1.0])
def test_confidence_follows_from_spread_and_doubt(confidence, dimensions):
    quantity = Quantity.measured(
        1.0, confidence=confidence, tolerance=5.0, spread=2.0, dimensions=dimensions
    )
    within = probability_within_tolerance(5.0, quantity.spread, dimensions)
    assert (1 - quantity.doubt) * within == pytest.approx(min(confidence, 0.999))
    assert quantity.spread <= 2.0


def test_what_the_spread_does_not_explain_is_doubt():
    # 2 Phi(10 / 4) - 1 = 0.98758: 0.79 of it leaves a doubt of 0.2.
    quantity = Quantity.measured(45.0, confidence=0.79006, tolerance=10.0, spread=4.0)
    assert quantity.doubt == pytest.approx(0.2, abs=1e-4)
    assert quantity.spread == 4.0
