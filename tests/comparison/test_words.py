"""Verdicts on what a plan says in words: ranges, several values, regions of colour, techniques."""

from __future__ import annotations

import dataclasses

import pytest

from auditor.comparison.compare import compare
from auditor.comparison.item import Verdict
from auditor.geometry import Point
from auditor.measurements.diagonal import Diagonal, UnseenDiagonals
from auditor.measurements.leading_lines import LeadingLines
from auditor.measurements.light import Light
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.values import Words
from tests.factories import measured_photograph, negative_space, region, swatch

MET, CLOSE, MISSED, UNDECIDED = Verdict


def precise(value, tolerance=0.001, confidence=0.99):
    return Quantity.measured(value, confidence=confidence, tolerance=tolerance)


@pytest.fixture
def verdict_on(plan_of):
    """The verdict on one line of a plan, and the compared item."""

    def compared(line, **changes):
        plan = plan_of(f'[[shot]]\nname = "tea"\n{line}\n')
        (item,) = compare(plan.shots[0], measured_photograph(**changes), plan.tolerances)
        return item

    return compared


@pytest.mark.parametrize(
    ("words", "deg", "verdict"),
    [
        ("low", 16.0, MET),
        ("low", 29.0, MET),
        ("low", 34.0, MET),  # within half of the tolerance of 10 degrees beyond 30
        ("low", 37.0, CLOSE),
        ("low", 45.0, MISSED),  # the middle of three-quarter
        ("three-quarter", 31.0, MET),
        ("overhead", 89.0, MET),
        ("overhead", 70.0, MISSED),
        ("low or overhead", 85.0, MET),
        ("low or overhead", 55.0, MISSED),
    ],
)
def test_a_camera_angle_in_words_is_a_range(verdict_on, words, deg, verdict):
    found = measured_photograph().camera_elevation
    value = dataclasses.replace(found.value, deg=deg)
    item = verdict_on(f'camera_elevation = "{words}"', camera_elevation=precise(value))
    assert item.verdict is verdict


@pytest.mark.parametrize(
    ("words", "clock", "verdict"),
    [
        ("back left", 10.5, MET),
        ("back left", 9.8, MET),
        ("back left", 9.0, CLOSE),  # 0.75 h beyond the arc, 0.625 allowed
        ("back left", 8.5, MISSED),
        ("side light", 3.2, MET),
        ("side light", 8.8, MET),
        ("side light", 12.0, MISSED),
        ("11 to 1", 0.5, MET),
        ("11 to 1", 11.5, MET),
        ("11 to 1", 6.0, MISSED),
    ],
)
def test_a_light_in_words_is_an_arc(verdict_on, words, clock, verdict):
    item = verdict_on(f'light = "{words}"', light=precise(Light(clock)))
    assert item.verdict is verdict


def test_light_from_above_shows_by_having_no_side(verdict_on):
    flat = Quantity.undetermined(Reason.FLAT_LIGHT)
    item = verdict_on('light = "above"', light=flat)
    assert (item.verdict, item.planned) == (MET, Words("from above"))
    assert verdict_on('light = "above"', light=precise(Light(10.5))).verdict is MISSED
    unknown = Quantity.undetermined(Reason.NO_SUBJECT)
    assert verdict_on('light = "above"', light=unknown).verdict is UNDECIDED


def test_light_from_above_or_a_side_takes_the_better_verdict(verdict_on):
    line = 'light = ["above", "left"]'
    assert verdict_on(line, light=Quantity.undetermined(Reason.FLAT_LIGHT)).verdict is MET
    assert verdict_on(line, light=precise(Light(9.0))).verdict is MET
    assert verdict_on(line, light=precise(Light(6.0))).verdict is MISSED


@pytest.mark.parametrize(
    ("words", "x", "y", "verdict"),
    [
        ("off centre", 0.5, 0.5, MISSED),
        ("off centre", 0.3, 0.5, MET),
        ("off centre", 0.66, 0.34, MET),
        ("on an intersection", 0.66, 0.34, MET),
        ("on an intersection", 0.33, 0.66, MET),
        ("on an intersection", 0.5, 0.5, MISSED),
        ("upper left or upper right", 0.8, 0.2, MET),
        ("upper left or upper right", 0.2, 0.8, MISSED),
        ("lower third", 0.5, 0.9, MET),
    ],
)
def test_places_of_the_subject(verdict_on, words, x, y, verdict):
    item = verdict_on(f'subject = "{words}"', subject=precise(region(x, y, 0.1)))
    assert item.verdict is verdict


@pytest.mark.parametrize(
    ("share", "verdict"), [(0.55, MET), (0.9, MET), (0.46, MET), (0.2, MISSED)]
)
def test_lots_of_space_has_no_upper_end(verdict_on, share, verdict):
    space = precise(negative_space(share, "left"))
    assert verdict_on('negative_space = "lots"', negative_space=space).verdict is verdict


@pytest.mark.parametrize(
    ("to_right", "to_bottom", "verdict"),
    [(-0.5, -0.5, MET), (-0.5, 0.0, CLOSE), (0.5, 0.5, MISSED), (-0.5, 0.5, MISSED)],
)
def test_a_corner_is_two_sides_at_once(verdict_on, to_right, to_bottom, verdict):
    space = negative_space(0.5, "left")
    space = dataclasses.replace(space, to_right=to_right, to_bottom=to_bottom)
    item = verdict_on('negative_space = "upper left corner"', negative_space=precise(space))
    assert item.verdict is verdict


def test_of_several_sides_any_will_do(verdict_on):
    for side, verdict in (("left", MET), ("right", MET), ("top", CLOSE)):
        space = precise(negative_space(0.5, side))
        found = verdict_on('negative_space = "either side"', negative_space=space).verdict
        assert found is verdict, side


@pytest.mark.parametrize(
    ("words", "colour", "verdict"),
    [
        ("terracotta", "#b8613f", MET),
        ("terracotta", "#a5502f", MET),
        ("terracotta", "#3a6ea5", MISSED),
        ("dark", "#241f1c", MET),
        ("dark", "#d8d4cc", MISSED),
        ("neutral", "#6f6b66", MET),
        ("neutral", "#3a6ea5", MISSED),
        ("white or dark", "#1d1d1d", MET),
        ("white", "#f0eeea", MET),
    ],
)
def test_a_colour_in_words_is_a_region(verdict_on, words, colour, verdict):
    item = verdict_on(f'surface = "{words}"', surface=precise(swatch(colour, 0.6)))
    assert item.verdict is verdict


def test_beyond_a_region_half_of_the_tolerance_is_allowed(verdict_on):
    found = precise(swatch("#3a6ea5", 0.6))
    assert verdict_on('surface = "sage"', surface=found).tolerance == 5
    assert verdict_on('surface = "#9caa8c"', surface=found).tolerance == 10


def test_every_colour_of_a_palette_must_be_there(verdict_on):
    palette = (swatch("#b8613f", 0.3), swatch("#f0e6d0", 0.5))
    item = verdict_on('palette = ["terracotta", "cream"]', palette=palette)
    assert (item.verdict, item.named) == (MET, ("terracotta", "cream"))
    item = verdict_on('palette = ["terracotta", "navy"]', palette=palette)
    assert [colour.found for colour in item.colours] == [True, False]
    assert item.verdict is MISSED


LINES = LeadingLines("lines", Point(0.6, 0.4), 0.02, 0.6, ((Point(0, 1), Point(0.5, 0.5)),))
CURVE = dataclasses.replace(LINES, kind="S-curve")


@pytest.mark.parametrize(
    ("technique", "found", "verdict"),
    [
        ("leading lines", LINES, MET),
        ("leading lines", CURVE, MET),
        ("S-curve", CURVE, MET),
        ("S-curve", LINES, MISSED),
    ],
)
def test_lines_that_lead(verdict_on, technique, found, verdict):
    item = verdict_on(f'technique = "{technique}"', leading_lines=precise(found))
    assert item.verdict is verdict


def test_lines_that_were_not_found_may_be_seen(verdict_on):
    assert verdict_on('technique = "leading lines"').verdict is UNDECIDED


def test_a_diagonal_row(verdict_on):
    line = 'technique = "three in a row on a diagonal"'
    assert verdict_on(line).verdict is MET  # the diagonal of the drawn picture is one of things
    ends = (Point(0.1, 0.8), Point(0.9, 0.2))
    by_edges = precise(Diagonal(42.0, ends, 0.6, "edges"))
    assert verdict_on(line, diagonal=by_edges).verdict is UNDECIDED
    none = Quantity.undetermined(Reason.NO_DIAGONAL)
    for unseen, verdict in ((0.1, MISSED), (0.5, UNDECIDED)):
        missing = {"diagonal": none, "unseen_diagonals": UnseenDiagonals(unseen, 0.1)}
        assert verdict_on(line, **missing).verdict is verdict


@pytest.mark.parametrize(("n_elements", "verdict"), [(0, MET), (1, MISSED), (2, MET), (3, MISSED)])
def test_an_odd_number_counts_the_subject_too(verdict_on, n_elements, verdict):
    things = tuple(precise(region(0.1 + 0.2 * n, 0.9, 0.02)) for n in range(n_elements))
    subject = precise(region(0.5, 0.4, 0.2))
    item = verdict_on('technique = "odd number"', elements=things, subject=subject)
    assert item.verdict is verdict


def test_an_uncertain_thing_leaves_an_odd_number_open(verdict_on):
    maybe = (precise(region(0.2, 0.9, 0.02), confidence=0.55),)
    item = verdict_on('technique = "odd number"', elements=maybe)
    assert item.verdict is UNDECIDED


@pytest.mark.parametrize(("share", "verdict"), [(0.7, MET), (0.3, MISSED)])
def test_negative_space_as_a_technique(verdict_on, share, verdict):
    space = precise(negative_space(share, "left"))
    assert verdict_on('technique = "negative space"', negative_space=space).verdict is verdict


def test_negative_space_as_a_technique_asks_for_the_planned_share(plan_of):
    plan = plan_of(
        '[[shot]]\nname = "a"\ntechnique = "negative space"\nnegative_space = "at least 20%"\n'
    )
    space = precise(negative_space(0.3, "left"))
    found = compare(plan.shots[0], measured_photograph(negative_space=space), plan.tolerances)
    assert [item.verdict for item in found] == [MET, MET]


@pytest.mark.parametrize("technique", ["layers", "repetition"])
def test_what_cannot_be_measured_is_undecided(verdict_on, technique):
    assert verdict_on(f'technique = "{technique}"').verdict is UNDECIDED


def test_of_several_techniques_the_best_kept_counts(verdict_on):
    item = verdict_on('technique = ["centred", "rule of thirds"]')
    assert (item.verdict, item.planned) == (MET, Words("centred or rule of thirds"))
    assert verdict_on('technique = ["centred", "symmetry"]').verdict is MISSED
