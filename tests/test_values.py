"""Typed values and their plain form."""

from __future__ import annotations

import json

import pytest

from auditor.geometry import Point
from auditor.values import (
    Angle,
    Clock,
    Colours,
    Count,
    Fraction,
    Mired,
    Place,
    Ratio,
    ValueKind,
    Words,
    value_of_kind,
)

VALUES = (
    Place(Point(0.25, 0.75)),
    Angle(-30.0),
    Clock(10.5),
    Fraction(0.4),
    Mired(166.7),
    Ratio(0.8),
    Colours(("#e08a1e", "#2f4a3c")),
    Words("rising"),
    Count(3.0),
)


def test_every_kind_has_a_value_here():
    assert {value.kind for value in VALUES} == set(ValueKind)


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.kind)
def test_a_value_survives_its_plain_form_in_json(value):
    plain = json.loads(json.dumps(value.plain))
    assert value_of_kind(value.kind, plain) == value


def test_equal_numbers_of_different_kinds_are_different_values():
    assert Angle(9.0) != Clock(9.0)


@pytest.mark.parametrize("kind", ValueKind)
def test_no_value_stays_no_value_in_every_kind(kind):
    assert value_of_kind(kind, None) is None


@pytest.mark.parametrize(
    ("kind", "plain"),
    [
        (ValueKind.PLACE, [0.5]),
        (ValueKind.PLACE, 0.5),
        (ValueKind.PLACE, ["left", "right"]),
        (ValueKind.ANGLE, "45"),
        (ValueKind.FRACTION, [0.4]),
        (ValueKind.CLOCK, True),
        (ValueKind.COLOURS, []),
        (ValueKind.COLOURS, "#e08a1e"),
        (ValueKind.COLOURS, ["red"]),
        (ValueKind.COLOURS, ["#e08a1e", 1.0]),
        (ValueKind.WORDS, 3.0),
        (ValueKind.WORDS, ["rising"]),
    ],
)
def test_a_plain_form_of_another_kind_is_an_error(kind, plain):
    with pytest.raises(ValueError, match=f"kind {kind}"):
        value_of_kind(kind, plain)
