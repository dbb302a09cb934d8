from __future__ import annotations

import dataclasses
import math

import pytest
import scipy.stats

from auditor.accepted import Accepted
from auditor.comparison.compare import compare
from auditor.comparison.item import Verdict
from auditor.geometry import Point
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.diagonal import Diagonal, UnseenDiagonals
from auditor.measurements.light import Light
from auditor.measurements.negative_space import Emptiness
from auditor.measurements.technique_fit import TechniqueFit
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Shot
from auditor.quantities import PLANNED, QUANTITIES
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.values import Angle, Clock, Colours, Fraction, Mired, Place, Ratio, ValueKind, Words
from auditor.vocabulary.how_many import from_to
from tests.factories import (
    colour_temperature,
    measured_photograph,
    negative_space,
    region,
    swatch,
)
from tests.intents import intent_with, thing

MET, CLOSE, MISSED, UNDECIDED = Verdict


def precise(value, tolerance=0.001, confidence=0.99):
    return Quantity.measured(value, confidence=confidence, tolerance=tolerance)


def reading(value, spread, doubt=0.0):
    """A reading with a spread, in the unit of the tolerance, and a doubt."""
    return Quantity(value, 0.5, 1.0, None, spread, doubt)


def items(intent, **changes):
    shot = Shot("tea", ("tea",), intent_with(**intent))
    return compare(shot, measured_photograph(**changes), DEFAULT_TOLERANCES)


def only(intent, **changes):
    (item,) = items(intent, **changes)
    return item


def test_published_plan_gives_every_item_in_order(winter_citrus):
    found = measured_photograph(
        elements=(precise(region(0.32, 0.68, 0.05)), precise(region(0.30, 0.72, 0.04)))
    )
    compared = compare(winter_citrus.shots[0], found, winter_citrus.tolerances)
    assert [item.quantity for item in compared] == [
        "subject",
        "subject_size",
        "supporting",
        "supporting",
        "technique",
        "camera_elevation",
        "light",
        "diagonal",
        "negative_space",
        "negative_space_side",
        "colour_temperature",
        "palette",
        "background",
        "surface",
        "aspect_ratio",
    ]
    assert {item.verdict for item in compared} == {MET}
    assert compared[0].tolerance == 0.06
    elements = [item.element for item in compared]
    assert elements == [None, None, "honey jar", "cloth", *[None] * 11]


def test_an_empty_plan_asks_for_nothing():
    assert items({}) == ()


def test_subject_place_is_a_distance_over_the_diagonal():
    # 4:5 frame: 0.3 of the width is 480 px, 0.2 of the height 400 px, the diagonal 2561.25 px:
    # hypot(480, 400) / 2561.25 = 624.82 / 2561.25 = 0.24395.
    item = only({"subject": thing(at=Point(0.3, 0.3))}, subject=precise(region(0.6, 0.5, 0.2)))
    assert item.difference == pytest.approx(0.24395, abs=1e-5)
    assert (item.planned, item.measured) == (Place(Point(0.3, 0.3)), Place(Point(0.6, 0.5)))
    assert (item.tolerance, item.unit) == (0.08, "fraction of diagonal")
    assert item.verdict is MISSED


@pytest.mark.parametrize(
    ("confidence", "verdict"),
    [(0.99, MET), (0.90, MET), (0.60, MET), (0.45, UNDECIDED), (0.0, UNDECIDED)],
)
def test_the_same_place_is_met_unless_the_subject_is_more_likely_another(confidence, verdict):
    subject = precise(region(0.64, 0.36, 0.2), tolerance=0.05, confidence=confidence)
    planned = thing(at=Point(2 / 3, 1 / 3))
    assert only({"subject": planned}, subject=subject).verdict is verdict


@pytest.mark.parametrize(
    ("share", "difference", "verdict"),
    [(0.22, 0.02, MET), (0.28, 0.08, CLOSE), (0.08, -0.12, MISSED)],
)
def test_subject_size_is_signed(share, difference, verdict):
    item = only({"subject": thing(size=0.2)}, subject=precise(region(0.5, 0.5, share)))
    assert item.difference == pytest.approx(difference)
    assert (item.quantity, item.unit) == ("subject_size", "fraction of frame")
    assert (item.planned, item.measured) == (Fraction(0.2), Fraction(share))
    assert item.verdict is verdict


def test_doubt_about_the_subject_is_doubt_about_its_size():
    # The disc of 0.2 of a 4:5 frame has a radius of sqrt(0.2 * 20/41 / pi) = 0.1762: a spread of
    # 0.05 of the centroid is 0.2 * 0.05 / 0.1762 = 0.0567 of the size, which at 0.06 of the plan is
    # within 0.06 with Phi(0) - Phi(-2.1) = 0.48.
    for share, verdict in ((0.2, MET), (0.26, UNDECIDED)):
        subject = reading(region(0.5, 0.5, share), 0.05)
        assert only({"subject": thing(size=0.2)}, subject=subject).verdict is verdict


def test_doubt_about_a_small_subject_weighs_less_on_its_size():
    # As above with 0.02: radius 0.0557, 0.02 * 0.05 / 0.0557 = 0.018; 0.09 from the plan is 0.03
    # beyond the tolerance, 1.7 spreads. With 0.26: 0.26 * 0.05 / 0.201 = 0.065, half a spread.
    subject = reading(region(0.5, 0.5, 0.02), 0.05)
    assert only({"subject": thing(size=0.10)}, subject=subject).verdict is CLOSE
    subject = reading(region(0.5, 0.5, 0.26), 0.05)
    assert only({"subject": thing(size=0.19)}, subject=subject).verdict is UNDECIDED


def test_a_place_errs_in_two_dimensions():
    # By the Rice distribution a reading on the edge of its tolerance, with a spread of half of it,
    # is within it with 0.39; along a line it would be 0.5 and the item met.
    chance = scipy.stats.rice.cdf(0.08, 0.0799 / 0.04, scale=0.04)
    assert chance == pytest.approx(0.39, abs=0.01)
    off = 0.0799 * 2561.25 / 1600
    subject = reading(region(0.4 + off, 0.5, 0.2), 0.04)
    item = only({"subject": thing(at=Point(0.4, 0.5))}, subject=subject)
    assert item.difference == pytest.approx(0.0799, abs=1e-6)
    assert item.verdict is UNDECIDED


def test_a_colour_errs_in_three_dimensions():
    # By the chi-squared distribution of three dimensions, a spread of 7 is within 10 of the planned
    # colour itself with 0.44; along a line it would be 0.85.
    assert scipy.stats.chi2.cdf((10 / 7) ** 2, 3) == pytest.approx(0.44, abs=0.01)
    for spread, verdict in ((7.0, UNDECIDED), (6.0, MET)):
        surface = reading(swatch("#818181", 0.3), spread)
        assert only({"surface": ("#818181",)}, surface=surface).verdict is verdict


def planned_things(*things):
    return {"supporting": tuple(thing(name, at, size=size) for name, at, size in things)}


def test_supporting_elements_are_compared_by_place_not_by_order():
    intent = planned_things(("jar", Point(0.2, 0.8), None), ("cup", Point(0.8, 0.8), None))
    elements = (precise(region(0.81, 0.8, 0.05)), precise(region(0.2, 0.8, 0.01)))
    jar, cup = items(intent, elements=elements)
    assert {jar.quantity, cup.quantity} == {"supporting"}
    assert (jar.element, jar.measured, jar.verdict) == ("jar", Place(Point(0.2, 0.8)), MET)
    assert (cup.element, cup.measured, cup.verdict) == ("cup", Place(Point(0.81, 0.8)), MET)


def test_a_supporting_element_elsewhere_is_missed():
    intent = planned_things(("jar", Point(0.1, 0.9), None))
    item = only(intent, elements=(precise(region(0.1, 0.1, 0.02)),))
    assert item.difference == pytest.approx(0.8 * 2000 / 2561.25, abs=1e-4)
    assert item.verdict is MISSED


@pytest.mark.parametrize("elements", [(), (precise(region(0.1, 0.1, 0.02)),)])
def test_one_whose_place_lies_in_the_subject_may_be_part_of_it(elements):
    item = only(planned_things(("mint", Point(0.7, 0.4), 0.05)), elements=elements, placed=NOTHING)
    assert (item.verdict, item.measured, item.doubt) == (UNDECIDED, None, "covered")


def test_two_at_one_place_may_have_been_found_as_one():
    intent = planned_things(("jar", Point(0.3, 0.7), 0.05), ("cloth", Point(0.33, 0.67), 0.05))
    elements = (precise(region(0.31, 0.69, 0.1)), precise(region(0.9, 0.95, 0.02)))
    jar, cloth = items(intent, elements=elements, placed=NOTHING)
    assert (jar.verdict, cloth.verdict) == (MET, UNDECIDED)


NOTHING = ("0" * 20,) * 20


def spot(column, row, digit="9"):
    """A map of 20 by 20 cells, in which one is covered."""
    rows = [list(line) for line in NOTHING]
    rows[row][column] = digit
    return tuple("".join(line) for line in rows)


@pytest.mark.parametrize("at", [Point(0.1, 0.9), None])
def test_what_stands_nowhere_is_missed(at):
    item = only(planned_things(("jar", at, None)), elements=(), placed=NOTHING)
    assert (item.verdict, item.measured, item.difference) == (MISSED, None, None)
    assert (item.kind, item.element) == (ValueKind.PLACE, "jar")
    assert item.planned == (Place(at) if at else None)
    assert (item.tolerance, item.unit) == ((0.10, "fraction of diagonal") if at else (None, ""))


def test_something_without_an_outline_stands_at_its_place():
    spots = spot(2, 17)
    rows = (*spots[:18], spots[17], *spots[19:])  # two cells, one under the other
    wide = tuple(row[:3] + row[2] + row[4:] for row in rows)  # and two beside them
    item = only(planned_things(("lime", Point(0.1, 0.9), None)), elements=(), placed=wide)
    assert (item.verdict, item.measured) == (
        MET,
        Place(Point(pytest.approx(0.15), pytest.approx(0.9))),
    )
    assert item.difference == pytest.approx(0.05 * 1600 / 2561.25, abs=1e-4)
    assert (item.match.element, item.match.seen_as) == (None, "map")


def test_a_trace_of_something_decides_nothing():
    spots = spot(2, 17)
    # One cell of 400, 0.25 % of the frame.
    item = only(planned_things(("lime", Point(0.1, 0.9), None)), elements=(), placed=spots)
    assert (item.verdict, item.measured) == (UNDECIDED, None)


def test_something_else_in_the_frame_may_be_what_was_planned_anywhere():
    item = only(planned_things(("jar", None, None)), elements=(), placed=("0000", "0009"))
    assert (item.verdict, item.measured) == (UNDECIDED, None)


@pytest.mark.parametrize(("confidence", "verdict"), [(0.8, MET), (0.3, UNDECIDED)])
def test_an_element_planned_without_a_place_only_has_to_be_there(confidence, verdict):
    elements = (precise(region(0.1, 0.1, 0.02), confidence=confidence),)
    item = only(planned_things(("jar", None, None)), elements=elements)
    assert (item.planned, item.measured) == (None, Place(Point(0.1, 0.1)))
    assert (item.verdict, item.tolerance, item.unit) == (verdict, None, "")


def fits(**distances):
    """Techniques by the subject's distance from them, as unlikely by chance as a disc is small."""
    return {
        name.replace("_", " "): TechniqueFit(
            distance, Point(0.5, 0.5), chance=min(1.0, math.pi * distance**2)
        )
        for name, distance in distances.items()
    }


@pytest.mark.parametrize(
    ("distance", "measured", "verdict"),
    [(0.02, "rule of thirds", MET), (0.06, "centred", CLOSE), (0.2, "centred", MISSED)],
)
def test_technique_names_the_nearest_where_the_planned_one_is_far(distance, measured, verdict):
    item = only(
        {"techniques": ("rule of thirds",)},
        technique_fit=fits(rule_of_thirds=distance, centred=0.01),
        subject=precise(region(0.5, 0.5, 0.2)),
    )
    assert (item.planned, item.measured) == (Words("rule of thirds"), Words(measured))
    assert (item.difference, item.tolerance) == (distance, 0.05)
    assert item.verdict is verdict


def test_a_line_leaves_less_room_for_error_than_a_point():
    # A spread of 0.04, 0.04 from the technique: within 0.05 of a line with Phi(0.25) - Phi(-2.25)
    # = 0.59, within 0.05 of a point with 0.39 (Rice distribution).
    assert scipy.stats.rice.cdf(0.05, 1.0, scale=0.04) == pytest.approx(0.39, abs=0.01)
    subject = reading(region(0.5, 0.5, 0.2), 0.04)
    for technique, verdict in (("rule of thirds", UNDECIDED), ("symmetry", MET)):
        fit = {technique: TechniqueFit(0.04, Point(0.5, 0.5))}
        item = only({"techniques": (technique,)}, technique_fit=fit, subject=subject)
        assert item.verdict is verdict


def test_no_technique_is_named_where_none_is_near():
    symmetry = TechniqueFit(0.0, Point(0.5, 0.5), fit=0.1, confidence=0.9, chance=0.01)
    for planned, found in (
        ("rule of thirds", fits(rule_of_thirds=0.2, centred=0.051)),
        ("symmetry", {**fits(centred=0.1), "symmetry": symmetry}),
    ):
        item = only({"techniques": (planned,)}, technique_fit=found)
        assert (item.measured, item.verdict) == (None, MISSED)


def test_a_line_that_most_places_are_near_to_is_not_named():
    found = fits(rule_of_thirds=0.2)
    found["diagonals"] = TechniqueFit(0.001, Point(0.5, 0.5), chance=0.14)
    assert only({"techniques": ("rule of thirds",)}, technique_fit=found).measured is None
    found["symmetry"] = TechniqueFit(0.0, Point(0.5, 0.5), fit=0.9, confidence=0.9, chance=0.05)
    item = only({"techniques": ("rule of thirds",)}, technique_fit=found)
    assert item.measured == Words("symmetry")
    found |= fits(golden_spiral=0.04)  # farther from it, and still less likely by chance
    item = only({"techniques": ("rule of thirds",)}, technique_fit=found)
    assert item.measured == Words("golden spiral")


@pytest.mark.parametrize(
    ("fit", "confidence", "verdict"),
    [
        (0.1, 0.9, MISSED),
        (0.2, 0.79, UNDECIDED),
        (0.4, 0.4, UNDECIDED),
        (0.9, 0.9, MET),
        (0.6, 0.4, UNDECIDED),
    ],
)
def test_a_symmetry_must_be_seen_in_the_picture_too(fit, confidence, verdict):
    found = TechniqueFit(0.0, Point(0.5, 0.5), fit=fit, confidence=confidence)
    subject = precise(region(0.5, 0.5, 0.2), tolerance=0.05, confidence=0.98)
    both = {**fits(centred=0.01, rule_of_thirds=0.16), "symmetry": found}
    item = only({"techniques": ("symmetry",)}, technique_fit=both, subject=subject)
    assert (item.verdict, item.planned) == (verdict, Words("symmetry"))
    is_there = fit >= 0.5
    assert item.measured == Words("symmetry" if is_there else "centred")
    assert (item.difference, item.tolerance) == ((0.0, 0.05) if is_there else (None, None))


def test_a_triangle_or_frame_is_never_named_as_the_nearest_place():
    others = fits(rule_of_thirds=0.2, centred=0.04)
    others["triangle arrangement"] = TechniqueFit(
        0.0, Point(0.5, 0.5), fit=0.9, outline=(Point(0, 0),) * 3, confidence=0.9
    )
    others["symmetry"] = TechniqueFit(0.0, Point(0.5, 0.5), fit=0.2, confidence=0.9)
    item = only({"techniques": ("rule of thirds",)}, technique_fit=others)
    assert item.measured == Words("centred")


@pytest.mark.parametrize(
    ("deg", "difference", "verdict"),
    [(53.0, 8.0, MET), (33.0, -12.0, CLOSE), (80.0, 35.0, MISSED)],
)
def test_camera_elevation_is_signed(deg, difference, verdict):
    item = only({"camera_elevation": 45.0}, camera_elevation=precise(CameraElevation(deg, ())))
    assert (item.difference, item.unit, item.verdict) == (difference, "deg", verdict)
    assert (item.planned, item.measured) == (Angle(45.0), Angle(deg))


@pytest.mark.parametrize(
    ("planned", "clock", "difference", "verdict"),
    [
        (12.0, 1.0, 1.0, MET),
        (1.0, 12.0, -1.0, MET),
        (11.5, 0.5, 1.0, MET),
        (10.5, 12.0, 1.5, CLOSE),
        (10.5, 1.5, 3.0, MISSED),
        (9.0, 3.0, 6.0, MISSED),
    ],
)
def test_light_goes_round_the_dial(planned, clock, difference, verdict):
    item = only({"light": planned}, light=precise(Light(clock)))
    assert item.difference == pytest.approx(difference)
    assert (item.unit, item.verdict) == ("h", verdict)
    assert (item.planned, item.measured) == (Clock(planned), Clock(clock))


def diagonal(angle_deg):
    return Diagonal(angle_deg, (Point(0.1, 0.9), Point(0.9, 0.1)), 0.5, "edges")


NO_DIAGONAL = Quantity.undetermined(Reason.NO_DIAGONAL)


@pytest.mark.parametrize(
    ("planned", "found", "measured", "verdict"),
    [
        ("rising", precise(diagonal(30.0), 8), "rising", MET),
        ("rising", precise(diagonal(-30.0), 8), "falling", MISSED),
        ("falling", precise(diagonal(-80.0), 8), "falling", MET),
        ("falling", precise(diagonal(80.0), 8), "rising", MISSED),
        ("rising", precise(diagonal(3.0), 8), "rising", MET),
        ("rising", reading(diagonal(-3.0), 12), "falling", UNDECIDED),  # may as well rise
        ("rising", reading(diagonal(-88.0), 12), "falling", UNDECIDED),  # beyond upright it rises
        ("rising", precise(diagonal(30.0), 8, 0.1), "rising", UNDECIDED),
        ("rising", NO_DIAGONAL, "none", MISSED),
        ("none", NO_DIAGONAL, "none", MET),
        ("none", precise(diagonal(30.0), 8), "rising", MISSED),
        ("none", precise(diagonal(30.0), 8, 0.4), "rising", UNDECIDED),
        ("none", Quantity.undetermined(Reason.TOO_SMALL), None, UNDECIDED),
    ],
)
def test_diagonals_in_words(planned, found, measured, verdict):
    item = only({"diagonal": planned}, diagonal=found)
    assert item.planned == Words(planned)
    assert item.measured == (None if measured is None else Words(measured))
    assert (item.kind, item.verdict) == (ValueKind.WORDS, verdict)
    assert (item.difference, item.tolerance, item.unit) == (None, None, "")


@pytest.mark.parametrize(
    ("planned", "verdict"),
    [("falling", UNDECIDED), ("rising", MISSED), (-40.0, UNDECIDED), (40.0, MISSED)],
)
def test_a_diagonal_that_was_not_found_but_may_be_there_is_undecided(planned, verdict):
    key = "diagonal" if isinstance(planned, str) else "diagonal_deg"
    unseen = UnseenDiagonals(rising=0.1, falling=0.45)
    item = only({key: planned}, diagonal=NO_DIAGONAL, unseen_diagonals=unseen)
    assert item.verdict is verdict


@pytest.mark.parametrize(
    ("planned", "found", "difference", "verdict"),
    [
        (40.0, precise(diagonal(46.0)), 6.0, MET),
        (80.0, precise(diagonal(-88.0)), 12.0, CLOSE),  # over the upright
        (40.0, precise(diagonal(-40.0)), -80.0, MISSED),
        (40.0, NO_DIAGONAL, None, MISSED),
        (40.0, Quantity.undetermined(Reason.TOO_SMALL), None, UNDECIDED),
    ],
)
def test_diagonals_in_degrees(planned, found, difference, verdict):
    item = only({"diagonal_deg": planned}, diagonal=found)
    assert item.difference == (None if difference is None else pytest.approx(difference))
    assert (item.tolerance, item.unit, item.verdict) == (10.0, "deg", verdict)
    line = found.value
    assert (item.kind, item.planned) == (ValueKind.ANGLE, Angle(planned))
    assert item.measured == (None if line is None else Angle(line.angle_deg))


def space(fraction, side, plain=None):
    return precise(negative_space(fraction, side, plain))


@pytest.mark.parametrize(
    ("fraction", "verdict"), [(0.40, MET), (0.50, MET), (0.33, CLOSE), (0.10, MISSED)]
)
def test_negative_space(fraction, verdict):
    item = only({"negative_space": 0.45}, negative_space=space(fraction, "left"))
    assert item.difference == pytest.approx(fraction - 0.45)
    assert (item.planned, item.measured) == (Fraction(0.45), Fraction(fraction))
    assert item.verdict is verdict


@pytest.mark.parametrize(
    ("planned", "verdict"), [(0.4, UNDECIDED), (0.1, UNDECIDED), (0.7, MISSED), (0.25, CLOSE)]
)
def test_patterned_ground_may_count_as_empty_or_not(planned, verdict):
    either = space(0.4, "left", plain=Emptiness(0.1, -0.4, 0.0))
    assert only({"negative_space": planned}, negative_space=either).verdict is verdict


def test_emptiness_in_a_corner_lies_on_two_sides():
    corner = precise(dataclasses.replace(negative_space(0.4, "left"), to_bottom=-0.3))
    for planned, verdict in (("left", MET), ("top", MET), ("right", MISSED), ("bottom", MISSED)):
        item = only({"negative_space_sides": (planned,)}, negative_space=corner)
        assert item.verdict is verdict
        assert item.measured == Words(planned if verdict is MET else "left")


@pytest.mark.parametrize(
    ("planned", "found", "verdict"),
    [
        ("left", "left", MET),
        ("left", "right", MISSED),
        ("left", "around", CLOSE),
        ("left and right", "around", MET),
        ("left and right", "left", MISSED),
        ("left and right", "none", MISSED),
        ("around", "top", MISSED),
        ("around", "none", MISSED),
        ("none", "around", MISSED),
        ("none", "none", MET),
    ],
)
def test_side_of_negative_space(planned, found, verdict):
    fraction = 0.02 if found == "none" else 0.4
    item = only({"negative_space_sides": (planned,)}, negative_space=space(fraction, found))
    assert (item.quantity, item.tolerance) == ("negative_space_side", None)
    assert (item.planned, item.measured) == (Words(planned), Words(found))
    assert item.verdict is verdict


@pytest.mark.parametrize(
    ("cct_k", "difference", "verdict"),
    [
        # 1e6/5400 - 1e6/6000 = 185.185 - 166.667; 1e6/5000 = 200; 1e6/9000 = 111.111.
        (5400.0, 18.519, MET),
        (5000.0, 33.333, CLOSE),
        (9000.0, -55.556, MISSED),
    ],
)
def test_colour_temperature_is_compared_in_mired(cct_k, difference, verdict):
    item = only(
        {"colour_temperature": 1e6 / 6000.0}, colour_temperature=precise(colour_temperature(cct_k))
    )
    assert item.difference == pytest.approx(difference, abs=1e-3)
    assert item.planned == Mired(pytest.approx(166.667, abs=1e-3))
    assert (item.unit, item.tolerance, item.verdict) == ("mired", 25.0, verdict)


def test_the_temperature_from_the_set_replaces_that_of_the_picture_alone():
    uncertain = precise(colour_temperature(5000.0), tolerance=15.0, confidence=0.4)
    shot = Shot("tea", ("tea",), intent_with(colour_temperature=1e6 / 6000))
    for alone in (uncertain, Quantity.undetermined(Reason.NO_NEUTRAL)):
        picture = measured_photograph(colour_temperature=alone)
        (item,) = compare(shot, picture, DEFAULT_TOLERANCES)
        assert item.verdict is UNDECIDED
        known = Quantity.measured(170.0, confidence=0.8, tolerance=15.0)
        (item,) = compare(shot, picture, DEFAULT_TOLERANCES, known)
        assert (item.measured, item.verdict) == (Mired(170.0), MET)
        assert item.difference == pytest.approx(170.0 - 166.667, abs=1e-3)


def test_palette_is_as_good_as_its_worst_colour():
    # Two greys of L* 50 and 60 (#777777, #919191) differ by about 9 to 10 CIEDE2000
    # (Sharma, Wu, Dalal 2005; the weight S_L is near 1 there).
    found = (swatch("#777777", 0.6), swatch("#e08a1e", 0.39), swatch("#0000ff", 0.01))
    item = only({"palette": ("#e08a1e", "#919191")}, palette=found)
    assert 8 < item.difference < 10.5
    assert item.planned == Colours(("#e08a1e", "#919191"))
    assert item.measured == Colours(("#777777", "#e08a1e"))  # one in a hundred is a speck
    assert item.verdict is MET
    blue = only({"palette": ("#e08a1e", "#0000ff")}, palette=found)
    assert blue.verdict is MISSED
    assert blue.difference > 30
    reverse = only({"palette": ("#919191", "#e08a1e")}, palette=found[::-1])
    assert reverse.difference == item.difference
    assert only({"palette": ("#919191",)}, palette=()).verdict is UNDECIDED


def test_each_planned_colour_stands_beside_the_nearest_measured_one():
    found = (swatch("#777777", 0.6), swatch("#e08a1e", 0.39), swatch("#0000ff", 0.01))
    item = only({"palette": ("#e08a1e", "#0000ff")}, palette=found)
    orange, blue = item.colours
    assert (orange.planned, orange.nearest, orange.found) == ("#e08a1e", "#e08a1e", True)
    assert (orange.name, orange.share) == ("peru", 0.39)  # of CSS
    assert orange.difference == pytest.approx(0)
    assert (blue.nearest, blue.found) == ("#777777", False)  # one in a hundred is a speck
    assert blue.difference == item.difference
    assert only({"aspect_ratio": 0.8}).colours == ()


@pytest.mark.parametrize("quantity", ["background", "surface"])
def test_background_and_surface_are_compared_with_the_nearest_planned_colour(quantity):
    intent = {quantity: ("#000000", "#cfc7b6")}
    item = only(intent, **{quantity: precise(swatch("#cfc7b6", 0.3))})
    assert (item.quantity, item.difference, item.verdict) == (quantity, pytest.approx(0), MET)
    assert (item.planned, item.measured) == (Colours(intent[quantity]), Colours(("#cfc7b6",)))
    assert only(intent, **{quantity: precise(swatch("#2f4a3c", 0.3))}).verdict is MISSED
    nothing = Quantity.undetermined(Reason.ONLY_SURFACE)
    assert only(intent, **{quantity: nothing}).verdict is UNDECIDED


def test_from_overhead_no_background_is_compared():
    intent = {"background": ("#cfc7b6",), "surface": ("#6f6a63",)}
    overhead = items(intent | {"camera_elevation": 90.0})
    assert [item.quantity for item in overhead] == ["camera_elevation", "surface"]
    level = items(intent | {"camera_elevation": 20.0})
    assert [item.quantity for item in level] == ["camera_elevation", "background", "surface"]


@pytest.mark.parametrize(
    ("size", "verdict"),
    [((1600, 2000), MET), ((1603, 2000), MET), ((1654, 2000), CLOSE), ((1500, 2000), MISSED)],
)
def test_aspect_ratio_is_width_over_height(size, verdict):
    width, height = size
    item = only({"aspect_ratio": 0.8}, width=width, height=height)
    assert item.difference == pytest.approx(width / height - 0.8)
    assert (item.unit, item.verdict) == ("ratio", verdict)
    assert (item.planned, item.measured) == (Ratio(0.8), Ratio(width / height))


WHOLE = {
    "subject": thing(at=Point(0.5, 0.5), size=0.2),
    "techniques": ("centred",),
    "camera_elevation": 45.0,
    "light": 12.0,
    "diagonal": "rising",
    "negative_space": 0.4,
    "negative_space_sides": ("left",),
    "colour_temperature": 1e6 / 6000.0,
    "background": ("#ffffff",),
    "surface": ("#ffffff",),
}


def test_what_could_not_be_measured_is_undecided_and_has_no_value():
    unknown = Quantity.undetermined(Reason.TOO_SMALL)
    names = [
        "subject",
        "camera_elevation",
        "light",
        "diagonal",
        "negative_space",
        "colour_temperature",
        "background",
        "surface",
    ]
    compared = items(WHOLE, **dict.fromkeys(names, unknown), technique_fit={})
    assert len(compared) == 11
    for item in compared:
        assert (item.measured, item.difference, item.verdict) == (None, None, UNDECIDED)
        assert item.planned is not None


def test_items_and_their_units_are_those_of_the_registry():
    everything = WHOLE | {
        "supporting": (
            thing("jar", Point(0.3, 0.7)),
            thing("cup"),
            dataclasses.replace(thing("two bowls"), count=from_to(2, 2)),
        ),
        "without": (thing("fork"), thing("napkin", Point(0.1, 0.1))),
        "palette": ("#ffffff",),
        "aspect_ratio": 1.0,
    }
    others = ({"diagonal_deg": 40.0}, {"light_from_above": True})
    compared = [*items(everything), *(item for other in others for item in items(other))]
    kinds = {}
    for item in compared:
        kinds.setdefault(item.quantity, set()).add(item.kind)
        assert {value.kind for value in (item.planned, item.measured) if value} <= {item.kind}
        assert (item.element is not None) == (item.quantity in {"supporting", "count", "without"})
        entry = QUANTITIES[item.quantity]
        assert item.unit == ("" if item.tolerance is None else entry.unit)
    assert kinds == {name: set(QUANTITIES[name].planned_as) for name in PLANNED}


def mirrored(intent, picture):
    """The same plan and picture in a mirror: x becomes 1 - x, rising becomes falling."""

    def flip(quantity):
        there = quantity.value
        centroid = Point(1 - there.centroid.x, there.centroid.y)
        return dataclasses.replace(quantity, value=dataclasses.replace(there, centroid=centroid))

    def flip_side(side):
        return {"left": "right", "right": "left"}.get(side, side)

    at = intent.subject.at
    light, line, empty = picture.light, picture.diagonal, picture.negative_space
    return (
        dataclasses.replace(
            intent,
            subject=dataclasses.replace(intent.subject, at=Point(1 - at.x, at.y)),
            light=Accepted.exactly(12 - intent.light.nominal % 12),
            diagonal={"rising": "falling", "falling": "rising"}.get(intent.diagonal, "none"),
            negative_space_sides=tuple(map(flip_side, intent.negative_space_sides)),
        ),
        dataclasses.replace(
            picture,
            subject=flip(picture.subject),
            light=dataclasses.replace(light, value=Light(12 - light.value.clock % 12)),
            diagonal=dataclasses.replace(line, value=diagonal(-line.value.angle_deg)),
            negative_space=dataclasses.replace(
                empty,
                value=dataclasses.replace(
                    empty.value,
                    side=flip_side(empty.value.side),
                    to_right=-empty.value.to_right,
                ),
            ),
        ),
    )


@pytest.mark.parametrize("planned_clock", [12.0, 10.5, 9.0, 3.0])
@pytest.mark.parametrize("line", ["rising", "falling", "none"])
def test_verdicts_are_the_same_in_a_mirror(planned_clock, line):
    intent = intent_with(**(WHOLE | {"light": planned_clock, "diagonal": line}))
    picture = measured_photograph()
    other_intent, other_picture = mirrored(intent, picture)
    here = compare(Shot("a", ("a",), intent), picture, DEFAULT_TOLERANCES)
    there = compare(Shot("a", ("a",), other_intent), other_picture, DEFAULT_TOLERANCES)
    assert [item.verdict for item in here] == [item.verdict for item in there]
    for one, other in zip(here, there, strict=True):
        if one.difference is not None:
            assert abs(other.difference) == pytest.approx(abs(one.difference), abs=1e-9)


def test_one_thing_is_not_found_three_times():
    things = (("lime", Point(0.1, 0.9), None), ("cloth", Point(0.13, 0.88), None),
              ("spoon", Point(0.08, 0.86), None))  # fmt: skip
    rows = ("0" * 20,) * 16 + ("0099" + "0" * 16,) * 2 + ("0" * 20,) * 2
    compared = items(planned_things(*things), elements=(), placed=rows)
    assert [item.verdict for item in compared] == [MET, MISSED, MISSED]


def test_what_another_was_found_by_is_not_found_again():
    intent = planned_things(("jar", Point(0.2, 0.8), None), ("cloth", Point(0.25, 0.75), None))
    rows = ["0" * 20] * 14 + ["00099" + "0" * 15] * 4 + ["0" * 20] * 2
    found = (precise(region(0.22, 0.8, 0.06)),)
    compared = items(intent, elements=found, placed=tuple(rows))
    assert [item.verdict for item in compared] == [MET, UNDECIDED]  # it may be part of the jar


@pytest.mark.parametrize(("confidence", "verdict"), [(0.65, MISSED), (0.55, UNDECIDED)])
def test_a_triangle_that_is_not_there_is_missed(confidence, verdict):
    triangle = TechniqueFit(
        0.1, Point(0.5, 0.5), fit=0.2, outline=(Point(0, 0),) * 3, confidence=confidence
    )
    found = {"triangle arrangement": triangle}
    item = only({"techniques": ("triangle arrangement",)}, technique_fit=found)
    assert item.verdict is verdict


@pytest.mark.parametrize(("planned", "verdict"), [("left", MET), ("around", CLOSE)])
def test_a_word_is_never_close_to_itself(planned, verdict):
    barely = dataclasses.replace(negative_space(0.3, "left"), to_right=-0.11)
    item = only({"negative_space_sides": (planned,)}, negative_space=precise(barely))
    assert (item.verdict, item.measured) in {(verdict, Words("left")), (UNDECIDED, Words("left"))}


def test_the_measured_side_is_one_that_the_record_names():
    # Without its little pattern the emptiness lies at the top, as planned: not enough to say so.
    slight = negative_space(0.5, "around", plain=Emptiness(0.45, 0.0, -0.3))
    item = only({"negative_space_sides": ("top",)}, negative_space=precise(slight))
    assert (item.verdict, item.measured) in {
        (UNDECIDED, Words("around")),
        (CLOSE, Words("around")),
    }
    strong = negative_space(0.5, "around", plain=Emptiness(0.2, 0.0, -0.3))
    item = only({"negative_space_sides": ("top",)}, negative_space=precise(strong))
    assert (item.verdict, item.measured) == (MET, Words("top"))
