"""The best known colour temperature of a picture, and its cluster in the set."""

import pytest

from auditor.measurements.colour_temperature import TOLERANCE_MIRED
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.series.white_balance.group_confidence import (
    AGREED_DOUBT,
    UNCONFIRMED_DOUBT,
    group_confidence,
)
from auditor.series.white_balance.known_temperatures import (
    compared_temperatures,
    known_temperatures,
)
from auditor.series.white_balance.set_temperatures import (
    LOOSELY_TIED_MIRED,
    UNTIED_MIRED,
    WELL_TIED_MIRED,
    SetTemperature,
)
from auditor.series.white_balance.temperature_clusters import cluster_temperatures
from tests.factories import colour_temperature, measured_photograph


def own(mired, confidence):
    return Quantity.measured(
        colour_temperature(1e6 / mired), confidence=confidence, tolerance=TOLERANCE_MIRED
    )


def placed(mired, tolerance=WELL_TIED_MIRED, confidence=0.8, group=0):
    return SetTemperature(mired, tolerance, tolerance != UNTIED_MIRED, confidence, group)


def known(alone, by_set):
    picture = measured_photograph(file="a.jpg", colour_temperature=alone)
    return known_temperatures([picture], {} if by_set is None else {"a.jpg": by_set})


def test_a_well_tied_picture_is_known_through_the_set():
    (found,) = known(own(170.0, 0.6), placed(160.0))
    assert (found.mired, found.confidence, found.tolerance, found.by_set) == (160, 0.8, 15, True)
    assert found.quantity.value == 160


def test_a_picture_without_a_neutral_is_known_through_the_set_only():
    nothing = Quantity.undetermined(Reason.NO_NEUTRAL)
    (found,) = known(nothing, placed(160.0))
    assert found.by_set
    assert known(nothing, None) == ()


@pytest.mark.parametrize(
    ("by_set", "expected"),
    [
        (None, False),
        (placed(160.0, UNTIED_MIRED), False),  # untied: the set adds nothing
        # However uncertain the level of a group is, it is that of all its pictures.
        (placed(160.0, confidence=0.4), True),
        (placed(160.0, LOOSELY_TIED_MIRED), True),  # agrees with the picture's own 170
        (placed(200.0, LOOSELY_TIED_MIRED), False),  # contradicts it
    ],
)
def test_the_set_decides_where_a_picture_is_tied_to_it(by_set, expected):
    (found,) = known(own(170.0, 0.6), by_set)
    assert found.by_set is expected
    assert found.mired == pytest.approx(160.0 if expected else 170.0)


def test_agreement_raises_the_confidence_in_a_level_and_disagreement_lowers_it():
    single = [0.6, 0.7, 0.8]
    assert group_confidence(single, [1.0, -2.0, 3.0]) == pytest.approx(1 - 0.3 * AGREED_DOUBT)
    disagreeing = group_confidence(single, [20.0, 0.0, -30.0])
    assert disagreeing == pytest.approx(1 - 0.3 * UNCONFIRMED_DOUBT)
    assert disagreeing < 0.7 < group_confidence(single, [0.0, 0.0, 0.0])


def test_many_pictures_of_one_table_are_no_more_certain_than_two():
    few, many = (group_confidence([0.7] * n, [1.0] * n) for n in (2, 50))
    assert few == pytest.approx(many)


def test_the_level_of_one_picture_is_not_confirmed():
    assert group_confidence([0.7], [0.0]) < 0.7


def test_pictures_are_compared_by_what_is_known_best():
    tied, alone = placed(160.0), placed(150.0, UNTIED_MIRED, group=1)
    contradicted = placed(200.0, LOOSELY_TIED_MIRED)
    pictures = [
        measured_photograph(file=file, colour_temperature=own(170.0, 0.6)) for file in "abc"
    ]
    by_set = {"a": tied, "b": alone, "c": contradicted}
    best = known_temperatures(pictures, by_set)
    compared = compared_temperatures(by_set, best)
    assert {file: one.mired for file, one in compared.items()} == {
        "a": 160.0,
        "b": pytest.approx(170.0),
    }
    assert {one.file: one.mired for one in best} == {
        "a": 160.0,
        "b": pytest.approx(170.0),
        "c": pytest.approx(170.0),
    }


def test_the_shift_moves_a_cluster_to_the_largest():
    set_of = {
        "a": placed(150.0),
        "b": placed(190.0),
        "c": placed(152.0),
        "d": placed(188.0),
        "e": placed(151),
    }
    largest, other = cluster_temperatures(set_of)
    assert (largest.files, largest.shift_mired) == (("a", "c", "e"), 0.0)
    assert other.files == ("b", "d")
    assert other.mired + other.shift_mired == pytest.approx(largest.mired) == 151
    assert other.shift_mired < 0  # warmer pictures are to be cooled


def test_a_loosely_tied_picture_makes_no_cluster_of_its_own():
    set_of = {"a": placed(150.0), "b": placed(152.0), "c": placed(190.0, LOOSELY_TIED_MIRED)}
    assert [cluster.files for cluster in cluster_temperatures(set_of)] == [("a", "b")]
    near = set_of | {"c": placed(155.0, LOOSELY_TIED_MIRED)}
    assert [cluster.files for cluster in cluster_temperatures(near)] == [("a", "b", "c")]
    between = {"a": placed(150.0), "b": placed(180.0), "c": placed(165.0, LOOSELY_TIED_MIRED)}
    assert [cluster.files for cluster in cluster_temperatures(between)] == [("a",), ("b",)]


def test_untied_pictures_are_separated_by_confident_levels_only():
    tied = {"a": placed(150.0, confidence=0.9), "b": placed(152.0, confidence=0.9)}
    for mired, confidence, expected in (
        (200.0, 0.9, [("a", "b"), ("c",)]),
        (175.0, 0.9, [("a", "b", "c")]),  # within twice the tolerance of a picture
        (200.0, 0.6, [("a", "b")]),
    ):
        alone = placed(mired, UNTIED_MIRED, confidence=confidence, group=1)
        assert [cluster.files for cluster in cluster_temperatures(tied | {"c": alone})] == expected


def test_an_empty_set_has_no_cluster():
    assert cluster_temperatures({}) == ()
