"""The registry of quantities is complete and agrees with the code that uses it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import auditor.measurements
from auditor.quantities import (
    FOLLOWED,
    PLANNED,
    QUANTITIES,
    WITH_TOLERANCE,
    set_rule,
    tolerance_rule,
)
from auditor.reasons import Reason
from auditor.series.series import describe_series
from auditor.values import ValueKind
from tests.factories import measured_photograph

MEASUREMENTS = Path(auditor.measurements.__file__).parent
# The quantities that each measurement gives a value or a reason; the others always have a value.
QUANTITIES_OF = {
    "background_and_surface": ("background", "surface"),
    "camera_elevation": ("camera_elevation",),
    "colour_temperature": ("colour_temperature",),
    "diagonal": ("diagonal",),
    "focus": ("focus",),
    "leading_lines": ("leading_lines",),
    "light": ("light",),
    "negative_space": ("negative_space",),
    "roll": ("roll",),
    "subject": ("subject",),
    "technique_fit": ("technique",),
}
# Echo and the subject's tone have no value of their own where the subject is too small for them.
REASONS_OF_RECORD = {"echo": {Reason.TOO_SMALL}, "subject_tone": {Reason.TOO_SMALL}}
# A reason ends with where it is from, in brackets.
SOURCES = ("geometry", "arithmetic", "no source", "from memory", "measured by")
# A word, the planned one or another; a number of things; a thing that is there or not.
WITHOUT_DISTANCE = {
    "negative_space_side": ValueKind.WORDS,
    "count": ValueKind.COUNT,
    "without": ValueKind.PLACE,
}


def reasons_in(measurement: Path) -> set[Reason]:
    """All reasons that the code of a measurement names."""
    files = sorted(measurement.rglob("*.py")) if measurement.is_dir() else [measurement]
    return {
        Reason[node.attr]
        for file in files
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id == "Reason"
    }


def names_a_source(reason: str) -> bool:
    where = reason[reason.rfind("(") :]
    return reason.endswith(").") and any(source in where for source in SOURCES)


@pytest.mark.parametrize("name", QUANTITIES)
def test_every_quantity_has_a_name_and_a_title(name):
    entry = QUANTITIES[name]
    assert entry.name == name
    assert name == name.lower()
    assert entry.title[:1].isupper()
    assert entry.decimals >= 0
    assert (entry.higher == "") == (entry.lower == "")
    assert entry.reason_of == "" or entry.reason_of in QUANTITIES


def test_titles_differ():
    assert len({entry.title for entry in QUANTITIES.values()}) == len(QUANTITIES)


@pytest.mark.parametrize("name", PLANNED)
def test_a_planned_quantity_has_a_tolerance_or_is_a_word(name):
    entry = QUANTITIES[name]
    if name in WITHOUT_DISTANCE:
        assert entry.planned_as == (WITHOUT_DISTANCE[name],)
        assert (entry.tolerance, entry.unit) == (None, "")
        return
    rule = tolerance_rule(name)
    assert entry.unit
    assert 0 < rule.default < rule.most
    assert names_a_source(rule.reason)


def test_only_planned_quantities_have_a_tolerance():
    assert set(WITH_TOLERANCE) == set(PLANNED) - set(WITHOUT_DISTANCE)
    with pytest.raises(KeyError):
        tolerance_rule("roll")


@pytest.mark.parametrize("name", FOLLOWED)
def test_a_followed_quantity_has_its_limits_with_a_reason(name):
    rule = set_rule(name)
    assert 0 < rule.least_spread < rule.noticeable
    assert names_a_source(rule.reason)
    assert rule.higher_is_fault or rule.lower_is_fault


def test_the_followed_quantities_are_those_of_a_set():
    series = describe_series([measured_photograph(file=f"{n}.jpg") for n in range(5)])
    assert sorted(quantity.quantity for quantity in series.quantities) == sorted(FOLLOWED)
    for quantity in series.quantities:
        if quantity.quantity != "palette":  # of which the weight of foreign colours is followed
            assert quantity.unit == QUANTITIES[quantity.quantity].unit
    with pytest.raises(KeyError):
        set_rule("diagonal")


def test_every_measurement_that_may_have_no_value_is_known_here():
    with_reasons = {
        path.stem
        for path in MEASUREMENTS.iterdir()
        if (path.is_dir() or path.suffix == ".py") and reasons_in(path)
    }
    assert with_reasons == set(QUANTITIES_OF)


@pytest.mark.parametrize("measurement", QUANTITIES_OF)
def test_the_reasons_in_the_code_are_those_of_the_registry(measurement):
    folder = MEASUREMENTS / measurement
    listed = {reason for name in QUANTITIES_OF[measurement] for reason in QUANTITIES[name].reasons}
    assert reasons_in(folder if folder.is_dir() else folder.with_suffix(".py")) == listed


def test_every_reason_is_listed_by_a_quantity_and_none_in_vain():
    listed = {name: set(entry.reasons) for name, entry in QUANTITIES.items() if entry.reasons}
    assert set().union(*listed.values()) == set(Reason)
    measured = {name for names in QUANTITIES_OF.values() for name in names}
    assert {name: reasons for name, reasons in listed.items() if name not in measured} == (
        REASONS_OF_RECORD
    )


@pytest.mark.parametrize("name", [n for n in FOLLOWED if set_rule(n).read_from])
def test_a_followed_quantity_is_read_from_a_field_that_is_there(name):
    field, attribute = set_rule(name).read_from
    quantity = getattr(measured_photograph(), field)
    assert isinstance(getattr(quantity.value, attribute), float)
