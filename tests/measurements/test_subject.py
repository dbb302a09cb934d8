import numpy as np
import pytest
from skimage.draw import disk, ellipse

from auditor.geometry import Box, Point, distance_fraction
from auditor.measurements.subject import measure_subject, subject_from_metadata
from auditor.reasons import Reason

SHAPE = (170, 256)


def drawn(*discs, shape=SHAPE, height=0.95):
    """A map with discs (x, y, radius), in fractions of the frame and of its height."""
    field = np.full(shape, 0.02, dtype=np.float32)
    for x, y, radius in discs:
        rows, columns = disk((y * shape[0], x * shape[1]), radius * shape[0], shape=shape)
        field[rows, columns] = height
    return field


@pytest.mark.parametrize(("x", "y"), [(0.3, 0.6), (0.5, 0.5), (0.72, 0.35)])
def test_disc_is_found_where_it_was_drawn(x, y):
    field = drawn((x, y, 0.2))
    region = measure_subject(field, field).region.value
    assert distance_fraction(region.centroid, Point(x, y), SHAPE[1], SHAPE[0]) < 0.003
    assert region.area_fraction == pytest.approx(np.pi * 0.2**2 * SHAPE[0] / SHAPE[1], rel=0.02)


def test_mirrored_map_gives_the_mirrored_subject():
    field = drawn((0.3, 0.6, 0.2), (0.45, 0.5, 0.08))
    straight = measure_subject(field, field)
    mirrored = measure_subject(field[:, ::-1], field[:, ::-1])
    assert mirrored.region.value.centroid.x == pytest.approx(1 - straight.region.value.centroid.x)
    assert mirrored.region.value.centroid.y == pytest.approx(straight.region.value.centroid.y)
    assert mirrored.region.confidence == pytest.approx(straight.region.confidence)


def test_hole_in_the_dish_is_filled_and_stray_spot_dropped():
    field = drawn((0.4, 0.5, 0.25))
    rows, columns = disk((85, 102), 15)
    field[rows, columns] = 0.1
    field[10:14, 240:244] = 0.9
    found = measure_subject(field, field)
    assert found.mask[85, 102]
    assert not found.mask[12, 242]


def test_flat_map_has_no_subject():
    for level in (0.0, 0.1, 0.2):
        field = np.full(SHAPE, level, dtype=np.float32)
        found = measure_subject(field, field)
        assert found.region.reason is Reason.NO_SUBJECT
        assert not found.mask.any()


def test_speck_is_no_subject():
    field = np.zeros(SHAPE, dtype=np.float32)
    field[50:54, 60:64] = 0.9
    assert measure_subject(field, field).region.reason is Reason.NO_SUBJECT


def test_two_equal_things_far_apart_compete_and_neighbours_do_not():
    apart = drawn((0.2, 0.5, 0.15), (0.8, 0.5, 0.15))
    assert measure_subject(apart, apart).region.reason is Reason.COMPETING_SUBJECTS
    group = drawn((0.4, 0.5, 0.12), (0.6, 0.5, 0.12))
    assert measure_subject(group, group).region.value.centroid.x == pytest.approx(0.5, abs=0.01)
    unequal = drawn((0.2, 0.5, 0.25), (0.8, 0.5, 0.07))
    assert measure_subject(unequal, unequal).region.value.centroid.x == pytest.approx(0.2, abs=0.01)


def test_confidence_falls_with_doubt():
    sure = drawn((0.4, 0.5, 0.2))
    doubtful = drawn((0.4, 0.5, 0.2), height=0.6) + np.float32(0.15)
    confidences = [measure_subject(f, f).region.confidence for f in (sure, doubtful)]
    assert confidences[1] < 0.5 < confidences[0]
    assert confidences[1] < confidences[0] - 0.2


def test_box_of_the_metadata_takes_the_map_for_its_shape():
    field = drawn((0.3, 0.5, 0.2), (0.8, 0.5, 0.25))
    found = subject_from_metadata(Box(0.1, 0.1, 0.5, 0.9), field, is_point=False)
    assert found.region.value.centroid.x == pytest.approx(0.3, abs=0.005)
    assert found.region.value.bbox.right < 0.5


def test_box_on_bare_ground_is_the_subject_itself_and_is_clipped_to_the_frame():
    field = np.zeros(SHAPE, dtype=np.float32)
    region = subject_from_metadata(Box(0.5, -0.5, 1.4, 0.5), field, is_point=False).region.value
    assert region.bbox == pytest.approx((0.5, 0.0, 1.0, 0.5), abs=0.01)
    outside = subject_from_metadata(Box(1.2, 0.1, 1.5, 0.4), field, is_point=False)
    assert outside.region.reason is Reason.NO_SUBJECT


def test_point_of_the_metadata_takes_the_thing_that_holds_it_or_a_disc():
    field = np.zeros(SHAPE, dtype=np.float32)
    rows, columns = ellipse(60, 90, 30, 50)
    field[rows, columns] = 0.9
    on_thing = subject_from_metadata(Box(0.4, 0.4, 0.4, 0.4), field, is_point=True).region.value
    assert on_thing.centroid.x == pytest.approx(90.5 / 256, abs=0.005)
    on_ground = subject_from_metadata(Box(0.8, 0.8, 0.8, 0.8), field, is_point=True).region.value
    assert on_ground.centroid == pytest.approx((0.8, 0.8), abs=0.01)
    assert on_ground.area_fraction == pytest.approx(
        np.pi * (0.05 * np.hypot(*SHAPE)) ** 2 / (SHAPE[0] * SHAPE[1]), rel=0.05
    )
