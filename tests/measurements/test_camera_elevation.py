"""Camera elevation: circles on a table, drawn through a pinhole, are recovered to a degree."""

import math

import numpy as np
import pytest
from skimage import data

from auditor.geometry import Ellipse, Point
from auditor.measurements.camera_elevation import measure_camera_elevation
from auditor.measurements.camera_elevation.circle_pose import elevation_deg, plane_normals
from auditor.measurements.camera_elevation.consensus import find_consensus, pose_of_rim
from auditor.measurements.camera_elevation.overhead import near_overhead
from auditor.measurements.rims import find_rims
from auditor.reasons import Reason
from tests.measurements.drawn_dishes import FULL_FRAME_DIAGONAL_MM, Shot, draw


def elevation_of(pixels, focal_length_35mm):
    height, width = pixels.shape[:2]
    rims = [(r.ellipse, r.support, r.axis_ratio_error) for r in find_rims(pixels)]
    return measure_camera_elevation(rims, width, height, focal_length_35mm)


def rim(ratio, *, size=0.2, at=(0.5, 0.5), angle_deg=0.0, support=0.95):
    return Ellipse(Point(*at), (size, size * ratio), angle_deg), support, 0.001


@pytest.mark.parametrize("deg", [8, 12, 20, 30, 45, 60, 75])
@pytest.mark.parametrize(
    ("focal_length_35mm", "at"), [(24, (0.35, 0.62)), (50, (0.5, 0.5)), (135, (0.6, 0.4))]
)
def test_the_elevation_of_a_drawn_dish_is_recovered(deg, focal_length_35mm, at):
    shot = Shot(deg, focal_length_35mm)
    found = elevation_of(draw(shot, [(*at, 0.18)]), focal_length_35mm)
    assert found.value.deg == pytest.approx(deg, abs=1.0)


@pytest.mark.parametrize("focal_length_35mm", [24, 50, 135])
def test_straight_down_is_recovered(focal_length_35mm):
    shot = Shot(90, focal_length_35mm)
    found = elevation_of(draw(shot, [(0.35, 0.62, 0.18)]), focal_length_35mm)
    assert found.value.deg == pytest.approx(90, abs=1.0)


def test_nearly_straight_down_is_less_accurate():
    # The axis ratio at 85 degrees is 0.996; real plates differ more than that from a circle.
    found = elevation_of(draw(Shot(85), [(0.5, 0.5, 0.18)]), 50)
    assert found.value.deg == pytest.approx(85, abs=5.1)
    assert found.spread > 4


def test_eighty_degrees_may_be_straight_down():
    # The axis ratio is 0.985; a plate of 26 cm that is 4 mm out of round has it from overhead.
    found = elevation_of(draw(Shot(80), [(0.5, 0.5, 0.18)]), 50)
    assert found.value.deg == pytest.approx(80, abs=10)
    assert found.spread > 5


def test_dishes_that_agree_tell_eighty_degrees_from_straight_down():
    one, _ = near_overhead(80, 1.0, 1)
    many, spread = near_overhead(80, 1.0, 9)
    assert one > 85
    assert many == pytest.approx(80, abs=1)
    assert spread < 4
    assert near_overhead(60, 1.0, 1) == (60, 1.0)


@pytest.mark.parametrize("deg", [35, 45, 60])
@pytest.mark.parametrize("hidden", [(0.0, 0.0, 0.43, 1.0), (0.57, 0.0, 1.0, 1.0)])
def test_a_dish_hidden_by_forty_percent_is_recovered(deg, hidden):
    pixels = draw(Shot(deg), [(0.5, 0.5, 0.2)], noise=4, hidden=hidden)
    assert elevation_of(pixels, 50).value.deg == pytest.approx(deg, abs=3.0)


def test_focal_length_matters_off_the_axis():
    # A dish 0.1 diagonals below the axis of a 28 mm lens is seen 9 degrees more steeply.
    pixels = draw(Shot(40, 28), [(0.5, 0.68, 0.12)])
    known = elevation_of(pixels, 28)
    unknown = elevation_of(pixels, None)
    assert known.value.deg == pytest.approx(40, abs=1.0)
    assert abs(unknown.value.deg - 40) > 2
    assert unknown.confidence < known.confidence


def test_several_dishes_are_combined_and_listed():
    dishes = [(0.4, 0.4, 0.12), (0.7, 0.62, 0.15), (0.25, 0.75, 0.08)]
    pixels = draw(Shot(40), dishes)
    found = elevation_of(pixels, 50)
    assert found.value.deg == pytest.approx(40, abs=1.0)
    assert len(found.value.ellipses) == 3
    assert found.confidence > elevation_of(draw(Shot(40), dishes[:1]), 50).confidence - 0.02


def test_a_rolled_camera_gives_the_same():
    rolled = elevation_of(draw(Shot(45, roll_deg=6), [(0.45, 0.55, 0.15)]), 50)
    assert rolled.value.deg == pytest.approx(45, abs=1.0)


def test_a_portrait_frame_gives_the_same():
    shot = Shot(45, width=512, height=640)
    assert elevation_of(draw(shot, [(0.5, 0.6, 0.2)]), 50).value.deg == pytest.approx(45, abs=1.0)


@pytest.mark.parametrize("deg", [10, 30, 45, 60, 75])
def test_axis_ratio_is_the_sine(deg):
    # "A plate is an oval of ratio 0.71 at 45 degrees": common practice, no source.
    found = measure_camera_elevation([rim(np.sin(np.radians(deg)))], 900, 600, None)
    assert found.value.deg == pytest.approx(deg, abs=1.0)


@pytest.mark.parametrize("focal_length", [0.6, 1.2, 3.0])
def test_pose_of_a_circle_in_closed_form(focal_length):
    # The image of a circle in a plane z = d + y tan(t) follows from substituting the ray.
    tilt = np.radians(50)  # of the plane's normal against the optical axis
    radius, distance = 0.3, 2.0
    t = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    y = radius * np.sin(t) * np.cos(tilt)
    z = distance - radius * np.sin(t) * np.sin(tilt)
    v = focal_length * y / z
    b = (v.max() - v.min()) / 2
    middle = (v.max() + v.min()) / 2
    # the horizontal chord through the centre of the ellipse is its other axis
    value = -(radius**2) * np.cos(tilt) ** 2
    depth = distance / (1 + middle / focal_length * np.tan(tilt))
    height = middle / focal_length * depth
    a = focal_length / depth * np.sqrt(-(value + height**2)) / np.cos(tilt)
    assert a > b
    # a frame of width 0.8 and height 0.6 has a diagonal of 1, the unit of length
    ellipse = Ellipse(Point(0.5, 0.5 + middle / 0.6), (a, b), 0.0)
    elevations = [elevation_deg(n) for n in plane_normals(ellipse, 0.8, 0.6, focal_length)]
    assert min(abs(e - 40) for e in elevations) < 0.05


def test_full_frame_diagonal_is_43_27_mm():
    assert pytest.approx(43.27, abs=0.005) == FULL_FRAME_DIAGONAL_MM


def test_without_a_rim_there_is_no_value():
    found = measure_camera_elevation([], 900, 600, 50)
    assert found.reason is Reason.NO_ROUND_RIM


def test_small_round_things_may_be_balls():
    oranges = [rim(0.99, size=0.06, at=(0.3, 0.5)), rim(0.98, size=0.07, at=(0.7, 0.5))]
    assert measure_camera_elevation(oranges, 900, 600, 50).reason is Reason.NO_ROUND_RIM


def test_oranges_beside_a_plate_do_not_mislead():
    plate = rim(np.sin(np.radians(30)), size=0.2)
    oranges = [rim(0.99, size=0.06, at=(0.2, 0.5)), rim(0.98, size=0.07, at=(0.8, 0.5))]
    found = measure_camera_elevation([plate, *oranges], 900, 600, 50)
    assert found.value.deg == pytest.approx(30, abs=1.5)
    assert found.value.ellipses == (plate[0],)


def test_one_rim_that_disagrees_is_left_out_and_lowers_confidence():
    plates = [rim(0.5, at=(0.3, 0.5)), rim(0.51, at=(0.7, 0.5))]
    oval_platter = rim(0.8, size=0.15, at=(0.5, 0.5))
    alone = measure_camera_elevation(plates, 900, 600, 50)
    joined = measure_camera_elevation([*plates, oval_platter], 900, 600, 50)
    assert joined.value.deg == pytest.approx(alone.value.deg, abs=0.1)
    assert oval_platter[0] not in joined.value.ellipses
    assert joined.confidence < alone.confidence


def test_rims_that_disagree_give_no_value():
    rims = [rim(0.3, at=(0.3, 0.5)), rim(0.8, at=(0.7, 0.5))]
    assert measure_camera_elevation(rims, 900, 600, 50).reason is Reason.RIMS_DISAGREE


def test_more_support_gives_more_confidence():
    whole, partial = rim(0.6, support=0.98), rim(0.6, support=0.6)
    assert (
        measure_camera_elevation([whole], 900, 600, 50).confidence
        > measure_camera_elevation([partial], 900, 600, 50).confidence
    )


def test_the_coffee_photograph_agrees_with_a_reading_by_hand():
    # Cup of `skimage.data.coffee`, measured by hand: 236 px wide, 190 px high (2 px either way),
    # so asin(190 / 236) = 53.6 degrees at the cup. The cup is 90 px above the centre; through a
    # lens of 35 to 85 mm, the optical axis points 4 to 9 degrees further down: 55 to 65 degrees.
    found = elevation_of(data.coffee(), None)
    assert 52 < found.value.deg < 66


def test_pictures_without_a_dish_give_no_value():
    for name in ("brick", "gravel"):
        picture = np.stack([getattr(data, name)()] * 3, axis=-1)
        assert elevation_of(picture, 50).reason is Reason.NO_ROUND_RIM


def test_a_faint_rim_gives_a_rough_elevation_where_nothing_else_does():
    plate = (Ellipse(Point(0.5, 0.5), (0.25, 0.25 * math.sin(math.radians(45))), 0.0), 0.6, 0.005)
    clear = measure_camera_elevation([plate], 1500, 1000, 50.0)
    faint = measure_camera_elevation([], 1500, 1000, 50.0, faint=[plate])
    assert faint.value.deg == pytest.approx(clear.value.deg)
    assert faint.spread > clear.spread + 3
    assert faint.confidence < 0.8 * clear.confidence
    both = measure_camera_elevation([plate], 1500, 1000, 50.0, faint=[plate])
    assert both.confidence == clear.confidence


def test_a_lone_rim_that_leans_sideways_may_be_an_oval_thing():
    confidences = [
        measure_camera_elevation([rim(0.6, angle_deg=angle_deg)], 900, 600, 50).confidence
        for angle_deg in (0.0, 7.0, 12.0, 17.0)
    ]
    assert confidences == sorted(confidences, reverse=True)
    assert confidences[-1] < 0.8 * confidences[0]


def test_rims_that_lean_alike_are_those_of_a_rolled_camera():
    alike = [rim(0.6, at=(x, 0.5), angle_deg=10) for x in (0.35, 0.65)]
    both = measure_camera_elevation(alike, 900, 600, 50)
    lone = measure_camera_elevation(alike[:1], 900, 600, 50)
    assert both.confidence > lone.confidence


def test_a_small_lone_rim_may_be_food():
    small = measure_camera_elevation([rim(0.6, size=0.08)], 900, 600, 50)
    large = measure_camera_elevation([rim(0.6, size=0.2)], 900, 600, 50)
    assert small.confidence < large.confidence


def test_the_second_plane_of_a_lone_rim_counts_in_its_confidence():
    # A nearly round rim low in the frame lies level below a camera that looks down by 66 degrees,
    # or by 82 and leans over a little. In the middle of the frame both planes have one elevation.
    low, middle = (
        find_consensus([pose_of_rim(rim(0.97, at=(0.5, y))[0], 0.97, 0.001, (900, 600), 1.15)])
        for y in (0.8, 0.5)
    )
    assert low.other_chance > 0.2
    assert middle.other_chance < 0.01
    confidences = [
        measure_camera_elevation([rim(0.97, at=(0.5, y))], 900, 600, 50).confidence
        for y in (0.8, 0.5)
    ]
    assert confidences[0] < 0.8 * confidences[1]


@pytest.mark.parametrize(("width", "height", "whole"), [(800, 1000, "4:3"), (1600, 900, "3:2")])
def test_a_crop_widens_the_error_and_is_named(width, height, whole):
    plate = rim(0.7, at=(0.5, 0.7))
    cropped = measure_camera_elevation([plate], width, height, 28)
    exposed = measure_camera_elevation([plate], 1500, 1000, 28)
    assert cropped.value.cropped_from == whole
    assert exposed.value.cropped_from is None
    assert cropped.spread > exposed.spread + 1
    assert cropped.confidence < exposed.confidence


def test_a_crop_matters_less_through_a_long_lens():
    spreads = [
        measure_camera_elevation([rim(0.7, at=(0.5, 0.7))], 1000, 1000, f).spread
        for f in (24, 50, 135)
    ]
    assert spreads == sorted(spreads, reverse=True)


def test_the_size_in_the_metadata_corrects_the_angle_of_a_crop():
    # A dish seen through 28 mm from 40 degrees, cropped to 4:5 around the optical axis.
    shot = Shot(40, 28, width=900, height=600)
    pixels = draw(shot, [(0.5, 0.72, 0.1)])[:, 210:690]
    rims = [(r.ellipse, r.support, r.axis_ratio_error) for r in find_rims(pixels)]
    known = measure_camera_elevation(rims, 480, 600, 28, exposed_ratio=1.5)
    ignored = measure_camera_elevation(rims, 1200, 1500, 28)
    assert known.value.deg == pytest.approx(40, abs=1.0)
    assert abs(ignored.value.deg - 40) > abs(known.value.deg - 40)


def test_a_rim_that_disagrees_is_no_second_plane_of_the_others():
    plates = [rim(0.5, at=(0.3, 0.5)), rim(0.51, at=(0.7, 0.5)), rim(0.8, size=0.15)]
    poses = [
        pose_of_rim(ellipse, support, error, (900, 600), 1.15) for ellipse, support, error in plates
    ]
    found = find_consensus(poses)
    assert len(found.rims) == 2
    assert found.share < 0.9
    assert found.other_chance < 0.01
