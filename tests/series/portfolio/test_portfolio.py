"""Pictures of no one set: variety, repetition, the weakest, an order; nothing leaves a set."""

import dataclasses
import random
from collections import Counter

import pytest

from auditor.colorimetry import lab_from_hex
from auditor.geometry import Box
from auditor.measurements.colour_temperature import ColourTemperature, TemperatureCluster
from auditor.measurements.focus import Focus
from auditor.measurements.roll import Roll
from auditor.measurements.tone.clipping import ClippedRegion
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.series.colour import leave_one_out
from auditor.series.portfolio import describe_no_set, describe_portfolio
from auditor.series.portfolio.colour_families import colour_family
from auditor.series.portfolio.dimensions import CLASS_OF
from auditor.series.portfolio.weakest import MOST_NAMED, weakest
from auditor.series.series import describe_series
from auditor.vocabulary.portfolio_terms import Dimension, Fault
from tests.factories import colour_temperature, tone
from tests.series.made_pictures import of_many_makers, of_one_table, picture


def test_every_picture_stands_once_in_every_dimension():
    pictures = of_many_makers(20)
    pictures[3] = dataclasses.replace(pictures[3], light=Quantity.undetermined(Reason.NO_SUBJECT))
    for variety in describe_portfolio(pictures).varieties:
        files = [file for one in variety.classes for file in one.files]
        assert Counter([*files, *variety.unknown]) == Counter(p.file for p in pictures)
        assert all(one.files for one in variety.classes)


def test_a_reading_that_is_likelier_wrong_has_no_class():
    doubted = dataclasses.replace(picture("a.jpg").light, doubt=0.6)
    assert CLASS_OF[Dimension.LIGHT](picture("a.jpg")) == "left"
    changed = dataclasses.replace(picture("a.jpg"), light=doubted)
    assert CLASS_OF[Dimension.LIGHT](changed) is None


@pytest.mark.parametrize(
    ("deg", "name"),
    [(3, "level"), (22, "low"), (45, "three_quarter"), (70, "high"), (88, "overhead")],
)
def test_angles_have_the_names_of_the_vocabulary(deg, name):
    assert CLASS_OF[Dimension.CAMERA_ANGLE](picture("a.jpg", angle=float(deg))) == name


@pytest.mark.parametrize(
    ("size", "ratio"), [((1600, 2000), "4:5"), ((3000, 2000), "3:2"), ((1000, 1000), "1:1"),
                        ((1000, 1300), "other")]
)  # fmt: skip
def test_formats(size, ratio):
    changed = dataclasses.replace(picture("a.jpg"), width=size[0], height=size[1])
    assert CLASS_OF[Dimension.RATIO](changed) == ratio


@pytest.mark.parametrize(
    ("code", "family"),
    [
        ("#ffffff", "white"), ("#808080", "grey"), ("#151515", "black"), ("#b3261e", "red"),
        ("#e07b1f", "orange"), ("#edc428", "yellow"), ("#4f8a43", "green"), ("#2f62a8", "blue"),
        ("#6f3f8c", "purple"), ("#e58fa0", "pink"), ("#74492a", "brown"), ("#d9c7aa", "beige"),
    ],
)  # fmt: skip
def test_named_colours_have_their_own_family(code, family):
    assert colour_family(lab_from_hex(code)) == family


def test_what_repeats_is_found_and_nothing_else():
    twins = [picture("twin a.jpg", table=6), picture("twin b.jpg", table=6, angle=47.0)]
    found = describe_portfolio([*of_many_makers(5), *twins]).repetitions
    assert [group.files for group in found] == [("twin a.jpg", "twin b.jpg")]
    assert {"subject_colours", "ground_colours", "camera_angle"} <= {*found[0].traits}


def test_another_angle_or_another_colour_is_no_repetition():
    one = picture("a.jpg", table=2)
    other_colour = picture("b.jpg", table=4)
    other_angle = picture("c.jpg", table=2, angle=88.0, at=(0.2, 0.2), size=0.05, clock=3.0)
    assert describe_portfolio([one, other_colour, other_angle]).repetitions == ()


def test_what_is_not_known_is_not_alike():
    unknown = Quantity.undetermined(Reason.NO_SUBJECT)
    hidden = [dataclasses.replace(one, subject=unknown) for one in of_one_table(2)]
    assert describe_portfolio(hidden).repetitions == ()


def test_the_order_of_files_changes_only_the_order():
    pictures = [*of_many_makers(12), *of_one_table(5)]
    found = describe_portfolio(pictures)
    other = describe_portfolio(random.Random(2).sample(pictures, len(pictures)))

    def plain(portfolio):
        return (
            [(v.dimension, {c.name: {*c.files} for c in v.classes}, {*v.unknown})
             for v in portfolio.varieties],
            {*portfolio.shared}, {*portfolio.only},
            {(frozenset(g.files), g.traits) for g in portfolio.repetitions},
            portfolio.weakest,
        )  # fmt: skip

    assert plain(found) == plain(other)


def test_pictures_that_repeat_each_other_are_parted():
    twins = [picture("twin a.jpg", table=2), picture("twin b.jpg", table=2, angle=47.0)]
    pictures = [*of_many_makers(2), *twins, *of_many_makers(8)[3:]]
    order = describe_portfolio(pictures).order
    assert order.beside == (("twin a.jpg", "twin b.jpg"),)
    assert sorted(order.order) == sorted(p.file for p in pictures)
    places = [order.order.index(twin.file) for twin in twins]
    assert abs(places[0] - places[1]) > 1
    in_new_order = sorted(pictures, key=lambda p: order.order.index(p.file))
    assert describe_portfolio(in_new_order).order.beside == ()


def test_an_order_that_parts_them_already_stays():
    twins = [picture("twin a.jpg", table=2), picture("twin b.jpg", table=2, angle=47.0)]
    order = describe_portfolio([twins[0], *of_many_makers(4), twins[1]]).order
    assert (order.beside, order.moves, order.order, order.opening) == ((), (), (), None)


def focus(cause, confidence):
    value = Focus(0.2, (0.5, 0.5), subject_in_focus=False, cause=cause, cause_confidence=confidence)
    return Quantity.measured(value, confidence=0.9, tolerance=0.1)


def clipped(share, channels=3):
    region = ClippedRegion("highlights", Box(0.45, 0.45, 0.55, 0.55), share)
    shares = tuple(share if channel < channels else 0.0 for channel in range(3))
    clipping = dataclasses.replace(tone().clipping, regions=(region,), highlights=shares)
    return tone(clipping=clipping)


def test_faults_are_named_gravest_first_and_only_if_sure():
    mixed = ColourTemperature(
        5000.0, 0.003, 200.0,
        (TemperatureCluster(5000.0, 0.003, 0.6), TemperatureCluster(8000.0, 0.003, 0.4)),
    )  # fmt: skip
    faulty = {
        "tilt.jpg": {"roll": Quantity.measured(Roll(4.0), confidence=0.9, tolerance=1.0)},
        "mixed.jpg": {
            "colour_temperature": Quantity.measured(mixed, confidence=0.9, tolerance=15.0)
        },
        "clipped.jpg": {"tone": clipped(0.1)},
        "blur.jpg": {"focus": focus("motion blur", 0.9)},
        "missed.jpg": {"focus": focus("missed focus", 0.9)},
    }
    unsure = {
        "a.jpg": {"roll": Quantity.measured(Roll(4.0), confidence=0.6, tolerance=1.0)},
        "b.jpg": {"focus": focus("missed focus", 0.5)},
        "c.jpg": {"tone": clipped(0.01)},
        "red.jpg": {"tone": clipped(0.1, channels=1)},  # a strong colour, not a burnt one
        "d.jpg": {
            "colour_temperature": Quantity.measured(
                colour_temperature(3500.0), confidence=0.5, tolerance=15.0
            )
        },
    }
    pictures = [
        dataclasses.replace(picture(name), **changes)
        for name, changes in {**faulty, **unsure}.items()
    ]
    found = weakest(pictures)
    assert [weak.file for weak in found] == [
        "missed.jpg", "blur.jpg", "clipped.jpg", "mixed.jpg", "tilt.jpg",
    ]  # fmt: skip


def test_a_strong_cast_and_a_small_picture_are_faults_and_few_are_named():
    cast = Quantity.measured(colour_temperature(3500.0), confidence=0.9, tolerance=15.0)
    pictures = [dataclasses.replace(picture("cast.jpg"), colour_temperature=cast)]
    pictures.append(dataclasses.replace(picture("small.jpg"), width=400, height=500))
    pictures += of_one_table(4)
    found = {weak.file: weak.faults[0] for weak in weakest(pictures)}
    assert {file: one.fault for file, one in found.items()} == {
        "cast.jpg": Fault.CAST, "small.jpg": Fault.SMALL,
    }  # fmt: skip
    assert found["cast.jpg"].value > 0  # warm
    many = [dataclasses.replace(p, colour_temperature=cast) for p in of_one_table(9)]
    assert len(weakest(many)) == MOST_NAMED


def test_nothing_leaves_pictures_of_no_set():
    pictures = of_one_table(12)
    pictures[4] = dataclasses.replace(
        pictures[4],
        tone=tone(exposure_ev=2.0, mean_lightness=85.0, midtone_ev=2.0),
        roll=Quantity.measured(Roll(9.0), confidence=0.95, tolerance=1.0),
        camera=dataclasses.replace(pictures[4].camera, focal_length_mm=24.0),
    )
    of_set = describe_series(pictures)
    assert any(quantity.outliers for quantity in of_set.quantities)
    assert any(setting.outliers for setting in of_set.camera_settings)
    stripped = describe_no_set(pictures)
    for quantity in stripped.quantities:
        assert (quantity.outliers, quantity.farthest) == ((), None)
        assert (quantity.centre, quantity.spread) == (None, None)
    assert not any(setting.outliers for setting in stripped.camera_settings)
    assert stripped.colour_temperature_clusters == ()
    assert not any(known.by_set for known in stripped.colour_temperatures)
    (white,) = (one for one in stripped.quantities if one.quantity == "colour_temperature")
    assert dict(white.values) == {one.file: one.mired for one in stripped.colour_temperatures}
    assert (stripped.alike, stripped.crops, stripped.groups) == (
        of_set.alike, of_set.crops, of_set.groups,
    )  # fmt: skip


def test_the_values_of_no_set_are_those_of_a_set():
    pictures = of_one_table(12)
    of_set = {one.quantity: one.values for one in describe_series(pictures).quantities}
    stripped = {one.quantity: one.values for one in describe_no_set(pictures).quantities}
    assert list(stripped) == list(of_set)
    assert {name for name in of_set if stripped[name] != of_set[name]} <= {"colour_temperature"}


def test_pictures_of_no_set_are_not_compared_with_all_others_together(monkeypatch):
    def is_not_asked(*_):
        raise AssertionError("each picture was compared with all others together")

    monkeypatch.setattr(leave_one_out, "_changes", is_not_asked)
    assert describe_no_set(of_one_table(12)).quantities


def test_a_thousand_pictures_are_described_with_bounded_work():
    pictures = [
        dataclasses.replace(one, file=f"{number}.jpg")
        for number, one in enumerate(of_many_makers(25) * 40)
    ]
    found = describe_portfolio(pictures)
    assert sum(len(group.files) for group in found.repetitions) <= len(pictures)
