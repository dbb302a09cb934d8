"""Light direction under gradients laid over the picture, two lights, and light from above."""

import math

import numpy as np
import pytest

from auditor.colorimetry import linear_from_srgb, srgb_from_linear
from auditor.measurements.light import measure_light
from auditor.measurements.light.fall_off import slope_of, without_slope
from auditor.measurements.light.scene import lit_scene
from auditor.reasons import Reason
from tests.measurements.drawn_light import SIZE_PX, error_hours, table


def laid_over(pixels, gradient_ev):
    linear = linear_from_srgb(pixels / 255) * 2.0 ** gradient_ev[..., np.newaxis]
    return np.round(255 * srgb_from_linear(np.clip(linear, 0, 1))).astype(np.uint8)


def gradient(clock, range_ev):
    """A graduated exposure that darkens the picture away from a side of the frame."""
    rows, columns = np.indices(SIZE_PX)
    angle = clock * math.pi / 6
    along = math.sin(angle) * columns - math.cos(angle) * rows
    return range_ev * (along - along.max()) / np.ptp(along)


def vignette(centre=(0.5, 0.5), corner_ev=1.5):
    rows, columns = np.indices(SIZE_PX)
    half = math.hypot(*SIZE_PX) / 2
    apart = np.hypot(rows - centre[1] * SIZE_PX[0], columns - centre[0] * SIZE_PX[1])
    return -corner_ev * (apart / half) ** 2


@pytest.mark.parametrize("range_ev", [1.0, 2.0])
@pytest.mark.parametrize("side", [1.0, 4.0, 6.0, 8.5])
def test_a_gradient_laid_over_the_picture_does_not_make_the_answer(side, range_ev):
    pixels, subject, elements = table(10.0, 60.0, height_deg=60.0, fill=0.5, key=0.8)
    quantity = measure_light(laid_over(pixels, gradient(side, range_ev)), subject, elements, 60.0)
    assert error_hours(quantity, 10.0) < quantity.tolerance


@pytest.mark.parametrize("side", [1.0, 4.0, 6.0])
def test_where_shadows_are_weak_a_gradient_is_no_answer(side):
    pixels, subject, elements = table(10.0, 60.0, height_deg=70.0, fill=0.8, key=0.7)
    quantity = measure_light(laid_over(pixels, gradient(side, 2.0)), subject, elements, 60.0)
    assert quantity.reason in {Reason.ONLY_FALL_OFF, Reason.LIGHT_CUES_DISAGREE}


@pytest.mark.parametrize("centre", [(0.5, 0.5), (0.3, 0.6)])
def test_a_vignette_does_not_make_the_answer(centre):
    pixels, subject, elements = table(3.0, 60.0)
    quantity = measure_light(laid_over(pixels, vignette(centre)), subject, elements, 60.0)
    assert quantity.value is None or error_hours(quantity, 3.0) < quantity.tolerance


@pytest.mark.parametrize("side", [2.0, 9.0])
def test_a_gradient_over_a_flat_picture_is_called_one(side):
    pixels, subject, elements = table(10.5, 60.0, key=0.0, fill=0.8)
    flat = laid_over(pixels, gradient(side, 2.0))
    assert measure_light(flat, subject, elements, 60.0).reason is Reason.ONLY_FALL_OFF


def test_a_laid_gradient_is_recovered_and_taken_out():
    arrays = table(10.0, 60.0)[1:]
    plain = lit_scene(table(10.0, 60.0)[0], *arrays, 60.0)
    graded = lit_scene(laid_over(table(10.0, 60.0)[0], gradient(3.0, 1.5)), *arrays, 60.0)
    before, after = slope_of(plain), slope_of(graded)
    # 1.5 EV over the width, in halves of the diagonal.
    expected = 1.5 * math.hypot(*SIZE_PX) / 2 / SIZE_PX[1]
    assert after.right - before.right == pytest.approx(expected, abs=0.1)
    assert after.up == pytest.approx(before.up, abs=0.1)
    difference = (
        without_slope(graded, after).luminance_ev - without_slope(plain, before).luminance_ev
    )
    assert np.std(difference) < 0.05


def test_a_dark_table_before_a_light_wall_has_no_slope():
    rows = np.indices(SIZE_PX)[0]
    pixels = np.where(rows < 120, 200, 60).astype(np.uint8)[..., np.newaxis].repeat(3, axis=2)
    nothing = np.zeros(SIZE_PX, dtype=bool)
    slope = slope_of(lit_scene(pixels, nothing, nothing.astype(np.int32), 20.0))
    assert (slope.right, slope.up, slope.radial) == pytest.approx((0, 0, 0), abs=1e-6)


@pytest.mark.parametrize(("first", "second"), [(9.0, 3.0), (8.0, 4.0), (12.0, 6.0)])
def test_two_equal_lights_from_opposite_sides_have_no_direction(first, second):
    one, subject, elements = table(first, 60.0)
    linear = linear_from_srgb(one / 255) + linear_from_srgb(table(second, 60.0)[0] / 255)
    both = np.round(255 * srgb_from_linear(linear / 2)).astype(np.uint8)
    assert measure_light(both, subject, elements, 60.0).value is None


@pytest.mark.parametrize("clock", [3.0, 10.5])
def test_light_from_above_has_no_side(clock):
    quantity = measure_light(*table(clock, 60.0, 86.0), 60.0)
    assert quantity.reason is Reason.FLAT_LIGHT


def test_a_fall_off_that_shadows_confirm_makes_the_answer_surer():
    pixels, subject, elements = table(10.0, 60.0, height_deg=65.0, fill=0.5, key=0.8)
    confirmed = measure_light(laid_over(pixels, gradient(10.0, 0.8)), subject, elements, 60.0)
    plain = measure_light(pixels, subject, elements, 60.0)
    assert confirmed.confidence > plain.confidence
