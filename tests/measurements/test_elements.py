import numpy as np
import pytest
from skimage.draw import disk

from auditor.measurements.elements import measure_elements

SHAPE = (170, 256)


def drawn(*discs, shape=SHAPE):
    """A map with discs (column, row, radius), in pixels."""
    field = np.zeros(shape, dtype=np.float32)
    for column, row, radius in discs:
        rows, columns = disk((row, column), radius, shape=shape)
        field[rows, columns] = 0.95
    return field


NOTHING = np.zeros(SHAPE, dtype=bool)


def test_things_are_found_largest_first_and_the_subject_left_out():
    subject = drawn((70, 90, 40)) > 0
    field = drawn((70, 90, 40), (180, 50, 20), (220, 130, 28))
    found = measure_elements(field, subject)
    centroids = [q.value.centroid for q in found.regions]
    assert centroids == [
        pytest.approx((220.5 / 256, 130.5 / 170), abs=0.005),
        pytest.approx((180.5 / 256, 50.5 / 170), abs=0.005),
    ]
    assert not (found.labels[subject] > 0).any()
    for n, quantity in enumerate(found.regions, start=1):
        assert np.mean(found.labels == n) == pytest.approx(quantity.value.area_fraction)


def test_touching_things_are_told_apart():
    found = measure_elements(drawn((80, 80, 30), (135, 80, 27)), NOTHING)
    assert len(found.regions) == 2
    assert [round(q.value.centroid.x * 256) for q in found.regions] == pytest.approx(
        [79, 136], abs=3
    )


@pytest.mark.parametrize("turned", [False, True])
def test_long_thing_stays_whole(turned):
    field = np.zeros((170, 170), dtype=np.float32)
    field[80:92, 20:150] = 0.9
    found = measure_elements(field.T if turned else field, np.zeros((170, 170), dtype=bool))
    assert len(found.regions) == 1


def test_specks_and_the_rim_of_the_subject_are_dropped():
    field = drawn((70, 90, 42), (200, 60, 3))
    subject = drawn((70, 90, 39)) > 0
    assert measure_elements(field, subject).regions == ()


def test_overlapping_much_is_one_thing():
    assert len(measure_elements(drawn((80, 80, 30), (100, 80, 30)), NOTHING).regions) == 1


def test_thing_cut_by_the_frame_is_found_and_less_sure():
    whole = measure_elements(drawn((128, 85, 25)), NOTHING).regions
    cut = measure_elements(drawn((252, 85, 25)), NOTHING).regions
    assert len(whole) == len(cut) == 1
    assert cut[0].confidence < whole[0].confidence


def test_mirrored_map_gives_mirrored_elements():
    field = drawn((60, 50, 20), (180, 110, 30))
    straight = measure_elements(field, NOTHING).regions
    mirrored = measure_elements(field[:, ::-1], NOTHING[:, ::-1]).regions
    for a, b in zip(straight, mirrored, strict=True):
        assert b.value.centroid.x == pytest.approx(1 - a.value.centroid.x)
        assert b.value.area_fraction == pytest.approx(a.value.area_fraction)


def test_empty_table_has_no_elements():
    found = measure_elements(np.zeros(SHAPE, dtype=np.float32), NOTHING)
    assert found.regions == ()
    assert not found.labels.any()
