"""Rims: ellipses are recovered, drawn dishes found, and none in pictures without a dish.

`skimage.measure.EllipseModel` is the outside reference for the direct fit, and
`scipy.ndimage.map_coordinates` for values between pixels. The pictures of `skimage.data` without a
round thing check independently that no rim is invented.
"""

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import convolve, map_coordinates
from skimage import data
from skimage.measure import EllipseModel
from skimage.transform import rotate

from auditor.geometry import angle_difference_deg
from auditor.measurements.rims import find_rims, selection
from auditor.measurements.rims.channels import sampled, smoothed
from auditor.measurements.rims.ellipse_fit import distances_px, fit_ellipses, outline
from auditor.measurements.rims.outlines import propose_rims
from tests.measurements.drawn_dishes import Shot, draw

ELLIPSES = [
    (300.0, 200.0, 120.0, 80.0, 0.3),
    (40.5, 900.25, 35.0, 4.0, -0.7),
    (500.0, 500.0, 400.0, 380.0, 1.2),
]


def on_ellipse(ellipse, start_rad=0.0, stop_rad=2 * np.pi, n=60):
    cx, cy, a, b, theta = ellipse
    t = np.linspace(start_rad, stop_rad, n, endpoint=False)
    x, y = a * np.cos(t), b * np.sin(t)
    return np.stack(
        [cx + x * np.cos(theta) - y * np.sin(theta), cy + x * np.sin(theta) + y * np.cos(theta)],
        axis=-1,
    )


def reference_ellipse(points):
    """Centre and semi-axes by `skimage.measure`, for its old and its new names."""
    if hasattr(EllipseModel, "from_estimate"):
        model = EllipseModel.from_estimate(points)
        return [*model.center, *model.axis_lengths]
    model = EllipseModel()
    assert model.estimate(points)
    return list(model.params[:4])


@pytest.mark.parametrize("ellipse", ELLIPSES)
@pytest.mark.parametrize("stop_rad", [2 * np.pi, np.pi])
def test_fit_recovers_exact_points(ellipse, stop_rad):
    assert fit_ellipses(on_ellipse(ellipse, 0.2, 0.2 + stop_rad)) == pytest.approx(
        np.array(ellipse), rel=1e-5, abs=1e-5
    )


@pytest.mark.filterwarnings("ignore:.*deprecated.*:FutureWarning")
@pytest.mark.parametrize("ellipse", ELLIPSES)
def test_fit_agrees_with_reference_library(ellipse):
    points = on_ellipse(ellipse, 0.0, 4.0) + np.random.default_rng(3).normal(0, 0.4, (60, 2))
    reference = np.array(reference_ellipse(points))
    reference[2:4] = sorted(reference[2:4], reverse=True)
    assert fit_ellipses(points)[:4] == pytest.approx(reference, rel=1e-6)


def test_many_fits_at_once_equal_single_fits():
    sets = np.stack([on_ellipse(e) for e in ELLIPSES])
    assert fit_ellipses(sets) == pytest.approx(np.stack([fit_ellipses(s) for s in sets]))


def test_points_on_a_line_give_no_ellipse():
    x = np.linspace(0, 100, 30)
    fitted = fit_ellipses(np.stack([x, 2 * x + 1], axis=-1))
    assert np.isnan(fitted).any() or fitted[3] < 1e-3 * fitted[2]


def test_outline_lies_on_ellipse_in_equal_steps():
    ellipse = np.array(ELLIPSES[0])
    _, points, normals = outline(ellipse, 90)
    assert np.abs(distances_px(ellipse, points)).max() < 1e-9
    assert distances_px(ellipse, points + 0.5 * normals) == pytest.approx(0.5, abs=0.01)
    steps = np.linalg.norm(np.diff(points, axis=0), axis=-1)
    assert steps.max() / steps.min() < 1.02


@pytest.mark.parametrize("elevation_deg", [8, 30, 60, 90])
def test_drawn_dish_is_recovered(elevation_deg):
    shot = Shot(elevation_deg, focal_length_35mm=135)
    rims = find_rims(draw(shot, [(0.45, 0.55, 0.15)]))
    assert len(rims) == 1
    ellipse = rims[0].ellipse
    # Through a long lens the centre of the ellipse is almost the centre of the circle.
    assert ellipse.centre == pytest.approx((0.45, 0.55), abs=0.01)
    assert ellipse.semi_axes[0] == pytest.approx(0.15, rel=0.02)
    assert rims[0].support > 0.9
    assert 0 < rims[0].axis_ratio_error < 0.01


def test_every_dish_is_found_once():
    dishes = [(0.4, 0.4, 0.12), (0.7, 0.62, 0.15), (0.25, 0.75, 0.08)]
    rims = find_rims(draw(Shot(40), dishes))
    found = sorted(rim.ellipse.centre for rim in rims)
    assert np.array(found) == pytest.approx(np.array(sorted(d[:2] for d in dishes)), abs=0.02)


def test_clipped_dish_is_found():
    rims = find_rims(draw(Shot(50, focal_length_35mm=135), [(0.97, 0.5, 0.2)]))
    assert len(rims) == 1
    assert rims[0].ellipse.semi_axes[0] == pytest.approx(0.2, rel=0.05)


@pytest.mark.parametrize("hidden", [(0.0, 0.0, 0.43, 1.0), (0.57, 0.0, 1.0, 1.0)])
def test_dish_with_forty_percent_hidden_is_found(hidden):
    whole = find_rims(draw(Shot(45), [(0.5, 0.5, 0.2)], noise=4))[0].ellipse
    partly = find_rims(draw(Shot(45), [(0.5, 0.5, 0.2)], noise=4, hidden=hidden))
    assert len(partly) == 1
    assert partly[0].support < 0.65
    assert partly[0].ellipse.semi_axes == pytest.approx(whole.semi_axes, rel=0.01)


@pytest.mark.parametrize(("blur_px", "noise"), [(4.0, 3.0), (0.7, 15.0)])
def test_blur_and_noise_do_not_move_the_rim(blur_px, noise):
    clean = find_rims(draw(Shot(35), [(0.5, 0.5, 0.2)]))[0].ellipse
    worse = find_rims(draw(Shot(35), [(0.5, 0.5, 0.2)], blur_px=blur_px, noise=noise))
    assert worse[0].ellipse.semi_axes == pytest.approx(clean.semi_axes, rel=0.005)


@pytest.fixture(scope="module")
def table():
    return draw(Shot(55), [(0.35, 0.45, 0.16), (0.75, 0.7, 0.1)])


def test_mirrored_picture_has_mirrored_rims(table):
    as_is, mirrored = find_rims(table), find_rims(table[:, ::-1])
    assert len(as_is) == len(mirrored) == 2
    for one, other in zip(as_is, mirrored, strict=True):
        assert other.ellipse.centre.x == pytest.approx(1 - one.ellipse.centre.x, abs=1e-3)
        assert other.ellipse.centre.y == pytest.approx(one.ellipse.centre.y, abs=1e-3)
        assert angle_difference_deg(other.ellipse.angle_deg, -one.ellipse.angle_deg) < 0.5


def test_mirrored_picture_with_things_has_mirrored_rims(table):
    things = things_of(table, find_rims(table))
    things[:40, :60] = 3  # a thing without a rim, so that arcs are searched as well
    as_is, mirrored = find_rims(table, things), find_rims(table[:, ::-1], things[:, ::-1])
    assert len(as_is) == len(mirrored) == 2
    for one, other in zip(as_is, mirrored, strict=True):
        assert other.ellipse.centre == pytest.approx(
            (1 - one.ellipse.centre.x, one.ellipse.centre.y), abs=1e-3
        )
        assert other.ellipse.semi_axes == pytest.approx(one.ellipse.semi_axes, abs=1e-3)


def test_overhead_picture_upside_down_has_turned_rims():
    # Only overhead: from the side, an upside-down camera is not level.
    overhead = draw(Shot(86), [(0.35, 0.45, 0.16), (0.75, 0.7, 0.1)])
    as_is, turned = find_rims(overhead), find_rims(overhead[::-1, ::-1])
    assert len(as_is) == len(turned) == 2
    for one, other in zip(as_is, turned, strict=True):
        assert other.ellipse.centre == pytest.approx(
            (1 - one.ellipse.centre.x, 1 - one.ellipse.centre.y), abs=1e-3
        )
        assert other.ellipse.semi_axes == pytest.approx(one.ellipse.semi_axes, rel=2e-3)


@pytest.mark.parametrize("turn_deg", [-6, 3, 8])
def test_turned_picture_has_turned_rims(table, turn_deg):
    # `skimage.transform.rotate` turns counter-clockwise around the middle, like our angles.
    height, width = table.shape[:2]
    turned = rotate(table, turn_deg, mode="edge", preserve_range=True, order=1).astype(np.uint8)
    rims = find_rims(turned)
    cosine, sine = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    for one, other in zip(find_rims(table), rims, strict=True):
        x, y = (one.ellipse.centre.x - 0.5) * width, (one.ellipse.centre.y - 0.5) * height
        expected = (0.5 + (x * cosine + y * sine) / width, 0.5 + (y * cosine - x * sine) / height)
        assert other.ellipse.centre == pytest.approx(expected, abs=2e-3)
        assert other.ellipse.semi_axes == pytest.approx(one.ellipse.semi_axes, abs=1e-3)
        difference = angle_difference_deg(other.ellipse.angle_deg, one.ellipse.angle_deg + turn_deg)
        assert difference < 1


@pytest.mark.filterwarnings("ignore:.*deprecated.*:FutureWarning")
@pytest.mark.parametrize("focal_length_35mm", [24, 50, 135])
@pytest.mark.parametrize("at", [(0.2, 0.35), (0.82, 0.3), (0.25, 0.75), (0.5, 0.5)])
@pytest.mark.parametrize("elevation_deg", [10, 35, 65, 89])
def test_dish_at_any_position_is_found_through_any_lens(elevation_deg, at, focal_length_35mm):
    shot = Shot(elevation_deg, focal_length_35mm)
    expected = np.array(seen_circle(shot, *at, 0.13))
    rims = find_rims(draw(shot, [(*at, 0.13)], noise=4, blur_px=1.2))
    if expected[3] < 0.06 * expected[2]:
        assert rims == ()  # this near the horizon it is as thin as a straight edge
        return
    assert len(rims) == 1
    found = np.array([*rims[0].ellipse.centre, *rims[0].ellipse.semi_axes])
    assert found == pytest.approx(expected, abs=3e-3)


def seen_circle(shot, at_x, at_y, size):
    """Centre and semi-axes of the image of a circle, fitted to 60 projected points by skimage."""
    centre_x, centre_y, distance = shot.on_table(at_x, at_y)
    diagonal = np.hypot(shot.width, shot.height)
    radius = size * diagonal / shot.focal_px * distance
    turn = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    x, y = centre_x + radius * np.cos(turn), centre_y + radius * np.sin(turn)
    e = np.radians(shot.elevation_deg)
    depth = y * np.cos(e) + np.sin(e)
    image_x = shot.width / 2 + shot.focal_px * x / depth
    image_y = shot.height / 2 + shot.focal_px * (np.cos(e) - y * np.sin(e)) / depth
    centre_x, centre_y, *axes = reference_ellipse(np.stack([image_x, image_y], axis=-1))
    major, minor = sorted(axes, reverse=True)
    return centre_x / shot.width, centre_y / shot.height, major / diagonal, minor / diagonal


@pytest.mark.filterwarnings("ignore:.*deprecated.*:FutureWarning")
@pytest.mark.parametrize("at", [(0.85, 0.75), (0.06, 0.55), (0.5, 0.97)])
def test_large_dish_cut_by_the_frame_is_found(at):
    shot = Shot(50, 135)
    rims = find_rims(draw(shot, [(*at, 0.36)]))
    assert len(rims) == 1
    found = np.array([*rims[0].ellipse.centre, *rims[0].ellipse.semi_axes])
    assert found == pytest.approx(np.array(seen_circle(shot, *at, 0.36)), abs=0.01)


@pytest.mark.parametrize("tilt_deg", [-35, 30, 50])
def test_oval_that_a_level_camera_cannot_see_is_no_rim(tilt_deg):
    y, x = np.mgrid[:480, :640] + 0.5
    oval = np.array((320.0, 240.0, 150.0, 105.0, np.radians(tilt_deg)))
    inside = distances_px(oval, np.stack([x, y], axis=-1).reshape(-1, 2)).reshape(x.shape) < 0
    picture = np.where(inside[..., None], (205, 203, 198), (120, 98, 80)).astype(np.uint8)
    assert find_rims(picture) == ()
    straight = find_rims(
        rotate(picture, tilt_deg, mode="edge", preserve_range=True).astype(np.uint8)
    )
    assert len(straight) == 1


def test_half_the_size_has_the_same_rims(table):
    height, width = table.shape[:2]
    half = table.reshape(height // 2, 2, width // 2, 2, 3).mean(axis=(1, 3)).astype(np.uint8)
    for one, other in zip(find_rims(table), find_rims(half), strict=True):
        assert other.ellipse.centre == pytest.approx(one.ellipse.centre, abs=2e-3)
        assert other.ellipse.semi_axes == pytest.approx(one.ellipse.semi_axes, rel=0.01)


@pytest.mark.parametrize("name", ["brick", "grass", "gravel", "moon", "page", "text", "rocket"])
def test_pictures_without_a_dish_have_no_rim(name):
    picture = getattr(data, name)()
    if picture.ndim == 2:
        picture = np.stack([picture] * 3, axis=-1)
    assert find_rims(picture) == ()


def test_blank_and_tiny_pictures_have_no_rim():
    assert find_rims(np.full((300, 400, 3), 128, np.uint8)) == ()
    assert find_rims(np.zeros((8, 8, 3), np.uint8)) == ()
    assert find_rims(np.zeros((1, 1, 3), np.uint8)) == ()


def test_cup_of_the_coffee_photograph():
    # Measured by hand on `skimage.data.coffee` (600 by 400 px): the outer lip of the cup spans
    # x 173 to 409 and y 18 to 208, within 2 px.
    cup = find_rims(data.coffee())[0].ellipse
    diagonal = np.hypot(600, 400)
    a, b = (axis * diagonal for axis in cup.semi_axes)
    assert abs(cup.angle_deg) < 10
    assert (cup.centre.x * 600, cup.centre.y * 400) == pytest.approx((291, 113), abs=3)
    assert (a, b) == pytest.approx((118, 95), abs=3)


def mask_of(ellipse, shape):
    """Cells whose centres lie in an ellipse, in pixels of the mask."""
    y, x = np.mgrid[: shape[0], : shape[1]] + 0.5
    inside = distances_px(np.array(ellipse), np.stack([x, y], axis=-1).reshape(-1, 2)) < 0
    return inside.reshape(shape)


def things_of(picture, rims):
    """Label map of the dishes at a quarter of the size."""
    height, width = picture.shape[0] // 4, picture.shape[1] // 4
    things = np.zeros((height, width), np.int32)
    for number, rim in enumerate(rims, start=1):
        a, b = (axis * np.hypot(height, width) for axis in rim.ellipse.semi_axes)
        x, y = rim.ellipse.centre.x * width, rim.ellipse.centre.y * height
        turned = -np.radians(rim.ellipse.angle_deg)
        things[mask_of((x, y, a, b, turned), things.shape)] = number
    return things


def test_values_between_pixels_agree_with_reference_library():
    random = np.random.default_rng(5)
    picture = random.uniform(0, 255, (3, 30, 40)).astype(np.float32)
    x, y = random.uniform((-3, -3), (43, 33), (200, 2)).T
    expected = [map_coordinates(c, [y - 0.5, x - 0.5], order=1, mode="nearest") for c in picture]
    # Beyond the last pixel but one the weight stops at 0.999.
    assert sampled(picture, x, y) == pytest.approx(np.stack(expected), abs=0.3)


def test_smoothing_agrees_with_reference_library():
    pixels = np.random.default_rng(6).integers(0, 256, (20, 30, 3), np.uint8)
    kernel = np.outer([1, 4, 6, 4, 1], [1, 4, 6, 4, 1])
    expected = [convolve(c.astype(int), kernel, mode="nearest") for c in np.moveaxis(pixels, 2, 0)]
    assert np.array_equal(smoothed(Image.fromarray(pixels)), expected)


@pytest.mark.parametrize(
    "ellipse", [(70, 50, 40, 30, 0.3), (60, 45, 30, 5, 0), (70, 50, 30, 29, 0)]
)
def test_outline_of_a_plate_is_proposed(ellipse):
    proposals = propose_rims(mask_of(ellipse, (96, 128)).astype(np.int32), (384, 512))
    _, points, _ = outline(np.array(ellipse, dtype=float) * (4, 4, 4, 4, 1), 40)
    error = np.abs(distances_px(proposals, points[None])).max(axis=1)
    assert error.min() < 3  # of 512 px: less than one cell of the map


def test_rim_of_a_bowl_is_proposed_by_its_silhouette():
    rim = (64.0, 30.0, 30.0, 13.0, 0.0)
    below = mask_of((64.0, 30.0, 30.0, 40.0, 0.0), (96, 128))
    below[:30] = False
    things = (mask_of(rim, (96, 128)) | below).astype(np.int32)
    _, points, _ = outline(np.array(rim), 40)
    error = np.abs(distances_px(propose_rims(things, (96, 128)), points[None])).max(axis=1)
    assert error.min() < 1.5


def test_nothing_is_proposed_without_things():
    assert propose_rims(np.zeros((96, 128), np.int32), (384, 512)).shape == (0, 5)
    crumb = np.zeros((96, 128), np.int32)
    crumb[3:5, 3:5] = 1
    assert propose_rims(crumb, (384, 512)).shape == (0, 5)


def test_search_around_things_finds_the_same_rims(table):
    alone = find_rims(table)
    around_things = find_rims(table, things_of(table, alone))
    assert len(around_things) == len(alone) == 2
    for one, other in zip(alone, around_things, strict=True):
        assert other.ellipse.centre == pytest.approx(one.ellipse.centre, abs=1e-3)
        assert other.ellipse.semi_axes == pytest.approx(one.ellipse.semi_axes, rel=5e-3)


def test_rims_are_found_beside_things_without_rims(table):
    elsewhere = np.zeros((table.shape[0] // 4, table.shape[1] // 4), np.int32)
    elsewhere[:30, -30:] = 1
    for things in (elsewhere, np.zeros_like(elsewhere)):
        assert find_rims(table, things) == find_rims(table)


def test_dish_is_found_if_only_its_food_is_a_thing(table):
    alone = find_rims(table)
    things = things_of(table, alone)
    height, width = things.shape
    x, y = alone[0].ellipse.centre
    food = np.zeros_like(things)
    a = 0.8 * alone[0].ellipse.semi_axes[0] * np.hypot(height, width)
    food[mask_of((x * width, y * height, a, 0.8 * a, 0.0), things.shape)] = 1
    assert find_rims(table, food)[0].ellipse.semi_axes == pytest.approx(
        alone[0].ellipse.semi_axes, rel=5e-3
    )


def test_a_large_outline_with_less_support_is_a_faint_rim(monkeypatch):
    picture = draw(Shot(45), [(0.5, 0.5, 0.2)], noise=4, hidden=(0.0, 0.0, 0.47, 1.0))
    (rim,) = find_rims(picture)
    assert not rim.is_faint
    for name in ("SUPPORT_OF_ARC", "SUPPORT_OF_LARGE"):
        monkeypatch.setattr(selection, name, rim.support + 0.05)
    (faint,) = find_rims(picture)
    assert faint.is_faint
    assert faint.ellipse == rim.ellipse
    for name in ("SUPPORT_OF_ARC", "SUPPORT_OF_LARGE"):
        monkeypatch.setattr(selection, name, rim.support / 0.8)
    assert find_rims(picture) == ()


def test_things_in_a_picture_without_any_edge_have_no_rim():
    things = np.zeros((120, 160), np.int32)
    things[30:90, 40:120] = 1
    assert find_rims(np.full((120, 160, 3), 128, np.uint8), things) == ()
