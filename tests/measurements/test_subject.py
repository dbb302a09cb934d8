import numpy as np
import pytest
from skimage.draw import disk, ellipse

from auditor.geometry import Box, Point, distance_fraction
from auditor.measurements.subject import (
    CUE_FLOOR,
    TOLERANCE,
    confidence_cues,
    measure_subject,
    subject_from_metadata,
)
from auditor.reasons import Reason

SHAPE = (170, 256)


def drawn(*discs, shape=SHAPE, height=0.95):
    """A map with discs (x, y, radius), in fractions of the frame and of its height."""
    field = np.full(shape, 0.002, dtype=np.float32)  # what a sure network leaves of the ground
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


def test_two_equal_dishes_that_touch_compete_and_cups_that_touch_do_not():
    # Radii are of the height: the dishes' middles lie 0.42 of the width apart, the cups' 0.14.
    dishes = drawn((0.29, 0.5, 0.33), (0.71, 0.5, 0.33))
    assert measure_subject(dishes, dishes).region.reason is Reason.COMPETING_SUBJECTS
    cups = drawn((0.43, 0.5, 0.12), (0.57, 0.5, 0.12))
    assert measure_subject(cups, cups).region.value.centroid.x == pytest.approx(0.5, abs=0.01)


def test_second_dish_competes_though_the_map_is_less_sure_of_it():
    field = np.maximum(drawn((0.25, 0.5, 0.25)), drawn((0.75, 0.5, 0.25), height=0.6))
    assert measure_subject(field, field).region.reason is Reason.COMPETING_SUBJECTS


@pytest.mark.parametrize("turned", [False, True])
def test_one_long_loaf_does_not_compete_with_itself(turned):
    field = np.full(SHAPE, 0.02, dtype=np.float32)
    rows, columns = ellipse(85, 128, 25, 110, shape=SHAPE)
    field[rows, columns] = 0.95
    field = field.T if turned else field
    assert measure_subject(field, field).region.value.centroid == pytest.approx(
        (0.5, 0.5), abs=0.01
    )


def test_three_in_a_row_are_a_group():
    row = drawn((0.2, 0.5, 0.15), (0.5, 0.5, 0.15), (0.8, 0.5, 0.15))
    assert measure_subject(row, row).region.value.centroid == pytest.approx((0.5, 0.5), abs=0.01)


def pattern(height):
    """Twelve equal things all over the frame."""
    places = [((i + 0.5) / 4, (j + 0.5) / 3, 0.12) for i in range(4) for j in range(3)]
    return drawn(*places, height=height)


def test_pattern_of_many_has_no_subject():
    everywhere = pattern(0.95)
    assert measure_subject(everywhere, everywhere).region.reason is Reason.NO_SUBJECT
    # The map leans to one of them, but is not sure.
    leaning = np.maximum(pattern(0.3), drawn((0.375, 0.5, 0.12), height=0.7))
    assert measure_subject(leaning, everywhere).region.reason is Reason.NO_SUBJECT


def test_one_of_many_may_be_meant():
    meant = drawn((0.375, 0.5, 0.12), height=0.97)
    region = measure_subject(meant, pattern(0.95)).region.value
    assert region.centroid == pytest.approx((0.375, 0.5), abs=0.01)


def test_few_around_the_subject_are_no_pattern():
    leaning = drawn((0.375, 0.5, 0.12), height=0.8)
    others = drawn((0.375, 0.5, 0.12), (0.1, 0.2, 0.12), (0.9, 0.2, 0.12), (0.9, 0.8, 0.12))
    assert measure_subject(leaning, others).region.value is not None


def test_what_fills_the_frame_is_no_subject():
    field = np.full(SHAPE, 0.95, dtype=np.float32)
    assert measure_subject(field, field).region.reason is Reason.NO_SUBJECT


def test_confidence_falls_with_doubt():
    sure = drawn((0.4, 0.5, 0.2))
    doubtful = drawn((0.4, 0.5, 0.2), height=0.8)
    confidences = [measure_subject(f, f).region.confidence for f in (sure, doubtful)]
    assert confidences[0] > 0.8
    assert confidences[1] < confidences[0] - 0.1


def test_doubt_counts_for_more_the_further_off_it_lies():
    near, far = (
        np.maximum(drawn((0.25, 0.5, 0.2)), drawn((x, 0.5, 0.1), height=0.4)) for x in (0.44, 0.85)
    )
    nearer, further = (measure_subject(f, f).region.confidence for f in (near, far))
    assert further < nearer


def test_handle_shifts_the_core_and_a_plain_disc_does_not():
    pan = drawn((0.4, 0.5, 0.2))
    handled = pan.copy()
    handled[82:88, 102:220] = 0.95
    plain_shift, handled_shift = (confidence_cues(f, f >= 0.5)[1] for f in (pan, handled))
    assert plain_shift == pytest.approx(np.log(CUE_FLOOR), abs=0.2)
    # The core is the disc, so the shift is how far the handle pulls the centroid from its middle.
    rows, columns = np.nonzero(handled >= 0.5)
    pulled = np.hypot(rows.mean() - 85, columns.mean() - 102.4) / np.hypot(*SHAPE) / TOLERANCE
    assert handled_shift == pytest.approx(np.log(pulled), abs=0.15)


def test_confidence_is_the_same_turned_and_at_twice_the_size():
    field = np.maximum(drawn((0.4, 0.5, 0.2)), drawn((0.6, 0.4, 0.12), height=0.4))
    large = field.repeat(2, axis=0).repeat(2, axis=1)
    upright, turned, doubled = (
        measure_subject(f, f).region.confidence for f in (field, field.T, large)
    )
    assert turned == pytest.approx(upright)
    assert doubled == pytest.approx(upright, abs=0.01)


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
