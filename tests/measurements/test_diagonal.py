"""The dominant diagonal: drawn lines and arrangements are recovered; level ones are not one."""

import io
import math

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from auditor.geometry import Box, Ellipse, Point, Region, angle_difference_deg, diagonal_px
from auditor.line_segments import MIN_SLANT_DEG, find_line_segments
from auditor.mask_axis import MaskAxis
from auditor.measurements.diagonal import measure_diagonal, measure_unseen_diagonals
from auditor.measurements.diagonal.line_of_force import smaller_share
from auditor.reasons import Reason

OVERSAMPLING = 2
SLANTED_DEG = [13.4, 22.0, 30.9, 45.0, 51.3, 60.2, 67.5, 76.1]
SLANTED_DEG += [-a for a in SLANTED_DEG]


def canvas(width, height, grey=190):
    image = Image.new("RGB", (width * OVERSAMPLING, height * OVERSAMPLING), (grey, grey, grey))
    return image, ImageDraw.Draw(image)


def finish(image, seed=0, noise=4.0):
    size = (image.width // OVERSAMPLING, image.height // OVERSAMPLING)
    pixels = np.asarray(image.resize(size, Image.Resampling.BOX), dtype=float)
    grain = np.random.default_rng(seed).normal(0, noise, pixels.shape)
    return np.clip(np.round(pixels + grain), 0, 255).astype(np.uint8)


def bar(draw, angle_deg, centre, length, thickness, colour):
    x, y = (v * OVERSAMPLING for v in centre)
    right = math.cos(math.radians(angle_deg)) * length * OVERSAMPLING / 2
    rise = math.sin(math.radians(angle_deg)) * length * OVERSAMPLING / 2
    draw.line(
        [(x - right, y + rise), (x + right, y - rise)],
        fill=colour,
        width=round(thickness * OVERSAMPLING),
    )


def picture_with_bar(angle_deg, width=820, height=1024, thickness=7.0, seed=0):
    image, draw = canvas(width, height)
    bar(draw, angle_deg, (0.47 * width, 0.55 * height), 0.7 * width, thickness, (70, 80, 90))
    return finish(image, seed)


def found(pixels, subject=None, elements=(), rims=(), axes=()):
    return measure_diagonal(pixels, subject, elements, rims, axes=axes)


def thing(x, y, area=0.02):
    half = math.sqrt(area) / 2
    return Region(Point(x, y), Box(x - half, y - half, x + half, y + half), area)


EMPTY = np.full((500, 400, 3), 128, dtype=np.uint8)


@pytest.mark.parametrize("angle_deg", SLANTED_DEG)
@pytest.mark.parametrize("thickness", [2.5, 40.0])
def test_drawn_line_is_recovered_within_half_a_degree(angle_deg, thickness):
    quantity = found(picture_with_bar(angle_deg, thickness=thickness))
    assert quantity.value.drawn_by == "edges"
    assert angle_difference_deg(quantity.value.angle_deg, angle_deg) < 0.5
    assert quantity.tolerance is not None
    assert quantity.confidence > 0.7


def test_the_diagonal_of_a_square_frame_rises_at_45_degrees():
    image, draw = canvas(600, 600)
    draw.line([(0, 1200), (1200, 0)], fill=(20, 20, 20), width=20)
    value = found(finish(image)).value
    assert value.angle_deg == pytest.approx(45, abs=0.1)
    assert np.allclose(value.ends, [(0, 1), (1, 0)], atol=0.01)


def test_ends_lie_on_the_frame_and_on_the_line():
    pixels = picture_with_bar(30.0)
    first, last = found(pixels).value.ends
    for end in (first, last):
        assert min(end.x, 1 - end.x, end.y, 1 - end.y) == pytest.approx(0, abs=1e-9)
    # The bar is drawn through (0.47, 0.55) of the frame.
    share = (0.47 - first.x) / (last.x - first.x)
    assert first.y + share * (last.y - first.y) == pytest.approx(0.55, abs=0.005)


@pytest.mark.parametrize("angle_deg", [20.0, 51.0, 70.0])
def test_a_mirrored_picture_has_the_mirrored_line(angle_deg):
    pixels = picture_with_bar(angle_deg, seed=3)
    value, mirrored = found(pixels).value, found(np.ascontiguousarray(pixels[:, ::-1])).value
    assert mirrored.angle_deg == pytest.approx(-value.angle_deg, abs=0.1)
    assert mirrored.strength == pytest.approx(value.strength, abs=0.02)
    assert mirrored.ends[0].x == pytest.approx(1 - value.ends[1].x, abs=0.005)
    assert mirrored.ends[0].y == pytest.approx(value.ends[1].y, abs=0.005)


@pytest.mark.parametrize("angle_deg", [-73, -61, -48, -33, -21, -14, 17, 29, 44, 58, 70])
def test_blur_noise_and_jpeg_do_not_turn_the_line(angle_deg):
    image, draw = canvas(1024, 683)
    bar(draw, angle_deg, (500, 350), 560, 26, (90, 80, 70))
    pixels = finish(image.filter(ImageFilter.GaussianBlur(3 * OVERSAMPLING)), noise=8.0)
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=40)
    value = found(np.asarray(Image.open(file).convert("RGB"))).value
    assert angle_difference_deg(value.angle_deg, angle_deg) < 0.5


@pytest.mark.parametrize("turn_deg", [-10, -6.5, -3, 1.5, 5, 10])
def test_turning_the_picture_turns_the_line(turn_deg):
    # A board with grain, a plate and a knife across its corner, rotated and cropped so that no
    # border is left.
    image, draw = canvas(1400, 1000, grey=200)
    for k in range(-10, 30):
        bar(draw, -28.0, (700, 40 * k), 2200, 3, (188, 180, 170))
    draw.ellipse([v * OVERSAMPLING for v in (420, 300, 880, 700)], fill=(240, 240, 238))
    bar(draw, 33.0, (720, 520), 700, 24, (60, 60, 64))
    turned = image.rotate(turn_deg, Image.Resampling.BICUBIC)
    box = [v * OVERSAMPLING for v in (250, 180, 1150, 820)]
    value = found(finish(turned.crop(box))).value
    assert value.angle_deg == pytest.approx(33.0 + turn_deg, abs=0.5)


@pytest.mark.parametrize(
    ("ends", "share"),
    [
        (((0, 1), (1, 0)), 1 / 2),  # from corner to corner
        (((0, 0), (1, 1 / 3)), 1 / 6),  # from a corner to a third of the far side
        (((0, 2 / 3), (1, 1)), 1 / 6),
        (((0, 0.9), (0.2, 1)), 0.01),  # each of the four corners cut off
        (((0, 0.1), (0.2, 0)), 0.01),
        (((0.8, 0), (1, 0.1)), 0.01),
        (((0.8, 1), (1, 0.9)), 0.01),
        (((0.2, 0), (0.4, 1)), 0.3),  # from the top edge to the bottom edge
    ],
)
def test_smaller_share_of_the_frame_by_hand(ends, share):
    assert smaller_share((Point(*ends[0]), Point(*ends[1]))) == pytest.approx(share)


def test_a_line_that_cuts_off_a_corner_is_no_diagonal():
    def diagonal_through(x):
        image, draw = canvas(900, 900)
        bar(draw, 45.0, (x, x), 2000, 12, (60, 60, 60))
        return found(finish(image))

    full = diagonal_through(450).value.strength
    assert full > 0.8
    # A line at 45 degrees from 0.577 of a side cuts off a sixth of a square.
    assert diagonal_through(300).value.strength == pytest.approx(full, abs=0.05)
    assert diagonal_through(140).reason is Reason.NO_DIAGONAL


@pytest.mark.parametrize("other_deg", [-40.0, 75.0])
def test_two_equal_crossing_lines_are_no_diagonal_unless_one_is_weaker(other_deg):
    def diagonal_with(share):
        image, draw = canvas(900, 900)
        bar(draw, 40.0, (450, 450), 800, 16, (40, 40, 40))
        bar(draw, other_deg, (450, 450), 800 * share, 16, (40, 40, 40))
        return found(finish(image))

    assert diagonal_with(1.0).reason is Reason.NO_DIAGONAL
    assert diagonal_with(0.25).value.angle_deg == pytest.approx(40, abs=0.5)


@pytest.mark.parametrize("size", [(400, 500), (1024, 1280), (1638, 2048)])
def test_the_size_of_the_picture_does_not_matter(size):
    pixels = picture_with_bar(-37.0, *size, thickness=0.012 * size[1])
    assert found(pixels).value.angle_deg == pytest.approx(-37, abs=0.3)


@pytest.mark.parametrize("angle_deg", [0.0, 5.0, -9.0, 90.0, 84.0, -81.0])
def test_horizontal_and_vertical_lines_are_no_diagonal(angle_deg):
    assert angle_difference_deg(angle_deg, 0) < MIN_SLANT_DEG or (
        angle_difference_deg(angle_deg, 90) < MIN_SLANT_DEG
    )
    assert found(picture_with_bar(angle_deg)).reason is Reason.NO_DIAGONAL


def test_a_uniform_picture_has_no_diagonal():
    assert found(EMPTY).reason is Reason.NO_DIAGONAL


def test_a_dish_is_no_diagonal():
    image, draw = canvas(820, 1024)
    # The rim of a plate seen at 45 degrees, its well and its shadow.
    for grow, colour in ((26, 150), (0, 240), (-60, 225), (-66, 245)):
        box = (200 - grow, 340 - 0.7 * grow, 640 + grow, 650 + 0.7 * grow)
        draw.ellipse([v * OVERSAMPLING for v in box], fill=(colour, colour, colour))
    assert found(finish(image)).reason is Reason.NO_DIAGONAL


def test_a_straight_piece_of_a_known_rim_is_no_diagonal():
    width, height, radius = 820, 1024, 350.0
    image, draw = canvas(width, height)
    # A tangent that touches the rim where its normal points down and to the right.
    centre = (width / 2 + radius * math.cos(1.25), height / 2 + radius * math.sin(1.25))
    bar(draw, math.degrees(math.pi / 2 - 1.25), centre, 344, 14.0, (20, 20, 30))
    pixels = finish(image)
    size = radius / diagonal_px(width, height)
    rim = Ellipse(Point(0.5, 0.5), (size, size), 0.0)
    assert found(pixels, rims=[rim]).reason is Reason.NO_DIAGONAL
    assert found(pixels).value is not None


def test_a_weave_is_a_pattern_and_no_diagonal():
    image, draw = canvas(820, 1024)
    for k in range(-60, 90):
        bar(draw, 40.0, (410 + 22 * k, 512), 3000, 3.0, (150, 150, 150))
    pattern = finish(image)
    assert found(pattern).reason is Reason.NO_DIAGONAL
    bar(draw, -35.0, (410, 512), 900, 30.0, (40, 40, 40))
    assert found(finish(image)).value.angle_deg == pytest.approx(-35, abs=0.5)


def test_the_sides_of_a_cloth_are_no_diagonal():
    image, draw = canvas(820, 1024)
    turn = math.radians(20)
    corners = [(-250, -250), (250, -250), (250, 250), (-250, 250)]
    draw.polygon(
        [
            (
                OVERSAMPLING * (410 + x * math.cos(turn) - y * math.sin(turn)),
                OVERSAMPLING * (512 + x * math.sin(turn) + y * math.cos(turn)),
            )
            for x, y in corners
        ],
        fill=(110, 110, 120),
    )
    assert found(finish(image)).reason is Reason.NO_DIAGONAL


def test_a_longer_and_a_darker_line_is_stronger():
    strengths = []
    for length, grey in ((250, 120), (600, 120), (600, 30)):
        image, draw = canvas(820, 1024)
        bar(draw, 35.0, (410, 512), length, 12.0, (grey, grey, grey))
        quantity = found(finish(image))
        strengths.append(0.0 if quantity.value is None else quantity.value.strength)
    assert strengths[0] < strengths[1] < strengths[2] <= 1


def test_pieces_of_one_line_are_pooled():
    image, draw = canvas(820, 1024)
    along = math.cos(math.radians(33.0)), -math.sin(math.radians(33.0))
    for step in (-280, -95, 95, 280):
        centre = (410 + step * along[0], 512 + step * along[1])
        bar(draw, 33.0, centre, 130, 10.0, (60, 60, 60))
    value = found(finish(image)).value
    assert value.angle_deg == pytest.approx(33, abs=0.5)
    assert value.drawn_by == "edges"


@pytest.mark.parametrize("angle_deg", SLANTED_DEG)
@pytest.mark.parametrize("n_elements", [2, 3, 5])
def test_the_line_of_things_in_a_row_is_recovered(angle_deg, n_elements):
    height, width = EMPTY.shape[:2]
    reach = 0.42 * width / max(math.cos(math.radians(angle_deg)), 0.8)
    things = [
        thing(
            0.5 + s * reach * math.cos(math.radians(angle_deg)) / width,
            0.5 - s * reach * math.sin(math.radians(angle_deg)) / height,
            area=0.01 + 0.005 * k,
        )
        for k, s in enumerate(np.linspace(-1, 1, n_elements + 1))
    ]
    value = found(EMPTY, things[0], things[1:]).value
    assert value.drawn_by == "arrangement"
    assert angle_difference_deg(value.angle_deg, angle_deg) < 0.5
    ends = sorted([things[0].centroid, things[-1].centroid])
    assert np.allclose(value.ends, ends, atol=0.005)


def test_a_mirrored_arrangement_has_the_mirrored_line():
    places = [(0.2, 0.8), (0.52, 0.55), (0.8, 0.2)]
    value = found(EMPTY, thing(*places[0], 0.1), [thing(*p) for p in places[1:]]).value
    mirrored = [(1 - x, y) for x, y in places]
    other = found(EMPTY, thing(*mirrored[0], 0.1), [thing(*p) for p in mirrored[1:]]).value
    assert other.angle_deg == pytest.approx(-value.angle_deg)
    assert other.strength == pytest.approx(value.strength)


def test_an_arrangement_leans_towards_its_larger_things():
    places = [(0.2, 0.8), (0.5, 0.45), (0.8, 0.2)]
    angles = []
    for middle_area in (0.002, 0.02, 0.2):
        subject, *others = (
            thing(x, y, middle_area if k == 1 else 0.02) for k, (x, y) in enumerate(places)
        )
        value = found(EMPTY, subject, others).value
        first, last = value.ends
        share = (0.5 - first.x) / (last.x - first.x)
        angles.append(first.y + share * (last.y - first.y))
    assert angles[0] > angles[1] > angles[2] > 0.45


@pytest.mark.parametrize(
    "places",
    [
        [(0.5, 0.5)],
        [(0.45, 0.5), (0.6, 0.4)],  # two things side by side
        [(0.2, 0.5), (0.5, 0.52), (0.8, 0.5)],  # a horizontal row
        [(0.5, 0.2), (0.5, 0.5), (0.5, 0.8)],  # a vertical row
        [(0.2, 0.25), (0.8, 0.3), (0.5, 0.8)],  # a triangle
        [(0.2, 0.2), (0.8, 0.2), (0.2, 0.8), (0.8, 0.8), (0.5, 0.5)],  # the five of a die
    ],
)
def test_other_arrangements_have_no_diagonal(places):
    subject, *others = (thing(*p) for p in places)
    assert found(EMPTY, subject, others).reason is Reason.NO_DIAGONAL


@pytest.mark.parametrize("n_things", [2, 3, 4, 5, 6])
def test_things_placed_at_random_rarely_make_a_line(n_things):
    random = np.random.default_rng(n_things)
    edges = find_line_segments(EMPTY)
    n_found = 0
    for _ in range(400):
        things = [thing(*random.uniform(0.1, 0.9, 2)) for _ in range(n_things)]
        quantity = measure_diagonal(EMPTY, things[0], things[1:], (), segments=edges)
        n_found += quantity.value is not None
    assert n_found / 400 <= 0.12


ROW = [(0.14, 0.8), (0.38, 0.61), (0.62, 0.39), (0.86, 0.2)]
ROW_DEG = math.degrees(math.atan2(0.6 * 500, 0.72 * 400))


@pytest.mark.parametrize("strays", [[(0.2, 0.25)], [(0.2, 0.25), (0.75, 0.75)], [(0.5, 0.9)] * 2])
@pytest.mark.parametrize("area", [0.005, 0.02])
def test_strays_do_not_hide_the_line_of_the_others(strays, area):
    subject, *others = (thing(*place) for place in ROW)
    value = found(EMPTY, subject, [*others, *(thing(*place, area) for place in strays)]).value
    assert value.drawn_by == "arrangement"
    assert value.angle_deg == pytest.approx(ROW_DEG, abs=2)
    assert np.allclose(value.ends, [ROW[0], ROW[-1]], atol=0.02)


def test_the_subject_is_never_a_stray():
    row = [thing(*place) for place in ROW]
    assert found(EMPTY, thing(0.2, 0.2, 0.08), row).reason is Reason.NO_DIAGONAL


def test_three_strays_are_too_many():
    subject, *others = (thing(*place) for place in ROW)
    strays = [thing(*place) for place in ((0.2, 0.25), (0.75, 0.75), (0.3, 0.9))]
    assert found(EMPTY, subject, others + strays).reason is Reason.NO_DIAGONAL


def test_without_a_subject_the_things_themselves_are_arranged():
    value = found(EMPTY, None, [thing(*place) for place in ROW]).value
    assert value.angle_deg == pytest.approx(ROW_DEG, abs=1)


@pytest.mark.parametrize(
    ("places", "angle_deg"),
    [
        ([(0.2, 0.25), (0.8, 0.75)], -math.degrees(math.atan2(0.5 * 500, 0.6 * 400))),
        ([(0.4, 0.45), (0.6, 0.55)], None),  # close together
        ([(0.1, 0.45), (0.6, 0.95)], None),  # in one corner
        ([(0.08, 0.12), (0.5, 0.55)], None),  # on one side of the middle
    ],
)
def test_two_things_make_a_line_if_they_stand_opposite_each_other(places, angle_deg):
    subject, other = (thing(*place) for place in places)
    value = found(EMPTY, subject, [other]).value
    assert (None if value is None else value.angle_deg) == (
        None if angle_deg is None else pytest.approx(angle_deg)
    )


def test_a_line_of_uncertain_things_is_uncertain():
    subject, *others = (thing(*place) for place in ROW)
    edges = find_line_segments(EMPTY)

    def confidence(of_subject, *of_others):
        how = {"subject_confidence": of_subject, "element_confidences": of_others}
        return measure_diagonal(EMPTY, subject, others, (), segments=edges, **how).confidence

    certain = measure_diagonal(EMPTY, subject, others, (), segments=edges).confidence
    assert confidence(1, 1, 1, 1) == pytest.approx(certain)
    assert confidence(0.4, 1, 1, 1) == pytest.approx(0.4 * certain)
    # Two of the three others are enough: 3 x 0.6 x 0.6 x 0.4 + 0.6 x 0.6 x 0.6.
    assert confidence(1, 0.6, 0.6, 0.6) == pytest.approx(0.648 * certain)


def test_the_confidence_of_a_stray_does_not_matter():
    subject, *others = (thing(*place) for place in ROW)
    stray = thing(0.2, 0.25, 0.03)  # larger than the others, so that it is tried first
    edges = find_line_segments(EMPTY)
    values = [
        measure_diagonal(
            EMPTY, subject, [stray, *others], (), segments=edges, element_confidences=[c, 1, 1, 1]
        ).confidence
        for c in (0.1, 0.9)
    ]
    assert values[0] == values[1]


def axis(angle_deg, length=0.5, elongation=3.0, centre=(0.5, 0.5)):
    """The axis of a thing in a frame of 400 by 500; the length is a share of the diagonal."""
    reach = length * math.hypot(400, 500) / 2
    x = reach * math.cos(math.radians(angle_deg)) / 400
    y = reach * math.sin(math.radians(angle_deg)) / 500
    ends = Point(centre[0] - x, centre[1] + y), Point(centre[0] + x, centre[1] - y)
    return MaskAxis(ends, angle_deg, length, elongation)


@pytest.mark.parametrize("angle_deg", SLANTED_DEG)
def test_a_long_thing_draws_a_line_by_its_axis(angle_deg):
    quantity = found(EMPTY, axes=[axis(angle_deg)])
    assert quantity.value.drawn_by == "edges"
    assert quantity.value.angle_deg == pytest.approx(angle_deg)
    for end in quantity.value.ends:
        assert min(end.x, 1 - end.x, end.y, 1 - end.y) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    "other",
    [
        axis(8.0),
        axis(83.0),
        axis(40.0, elongation=1.5),
        axis(40.0, length=0.29),
        axis(45.0, centre=(0.12, 0.12)),  # cuts off a corner
    ],
)
def test_a_level_a_round_and_a_short_thing_draw_no_line(other):
    assert found(EMPTY, axes=[other]).reason is Reason.NO_DIAGONAL


def test_a_longer_and_narrower_thing_is_stronger():
    def strength(**how):
        return found(EMPTY, axes=[axis(40.0, **how)]).value.strength

    assert strength(length=0.31) < strength(length=0.4)
    assert strength(elongation=1.9) < strength(elongation=2.1) <= strength(elongation=4)


def test_the_axis_of_a_tapering_thing_counts_and_not_its_sides():
    pixels = picture_with_bar(33.0, thickness=30.0)
    assert found(pixels, axes=[axis(40.0)]).value.angle_deg == pytest.approx(40.0)
    # A thing across the line is another thing.
    across = found(pixels, axes=[axis(-40.0, elongation=1.9)]).value
    assert across.angle_deg == pytest.approx(33.0, abs=0.5)


def unseen(subject=None, elements=(), pixels=EMPTY, **how):
    return measure_unseen_diagonals(pixels, subject, elements, (), **how)


def test_a_blank_picture_has_no_unseen_diagonal():
    assert unseen().rising == unseen().falling < 0.05


def test_two_things_that_fall_from_left_to_right_may_be_a_falling_diagonal():
    chances = unseen(thing(0.4, 0.42), [thing(0.6, 0.58)])
    assert chances.falling > 0.4
    assert chances.rising < 0.05
    mirrored = unseen(thing(0.6, 0.42), [thing(0.4, 0.58)])
    assert (mirrored.rising, mirrored.falling) == (chances.falling, chances.rising)


def test_a_somewhat_long_thing_may_be_a_diagonal():
    chances = [unseen(axes=[axis(35.0, elongation=e)]).rising for e in (1.4, 1.6, 1.7, 1.8)]
    assert chances == sorted(chances)
    assert chances[0] < 0.05
    assert chances[-1] > 0.4


def test_a_handle_that_points_at_the_subject_may_be_a_diagonal():
    assert unseen(leading_deg=[30.0]).rising > 0.4
    assert unseen(leading_deg=[30.0]).falling < 0.05
    assert unseen(leading_deg=[5.0, 88.0]) == unseen()


def test_a_fainter_line_is_less_likely_seen():
    chances = []
    for grey in (188, 180, 172, 160):
        image, draw = canvas(820, 1024)
        bar(draw, 35.0, (410, 512), 380, 12.0, (grey, grey, grey))
        chances.append(unseen(pixels=finish(image, noise=1.0)).rising)
    assert chances == sorted(chances)
    assert chances[0] < 0.1 < chances[-1]


def test_edges_and_arrangement_that_agree_reinforce_each_other():
    pixels = picture_with_bar(45.0, thickness=3.0)
    height, width = pixels.shape[:2]
    row = [thing(0.5 + s * 0.3, 0.5 - s * 0.3 * width / height) for s in (-1, 0, 1)]
    alone = found(pixels).value.strength
    together = found(pixels, row[0], row[1:]).value
    assert together.strength > alone
    assert together.angle_deg == pytest.approx(45, abs=0.5)


def test_things_that_only_lean_do_not_reinforce_an_edge():
    def edge_with(*things):
        image, draw = canvas(820, 1024)
        bar(draw, 45.0, (410, 512), 260, 3.0, (70, 80, 90))
        return measure_diagonal(finish(image), *things, ()) if things else found(finish(image))

    alone = edge_with()
    height, width = 1024, 820
    pair = [thing(0.5 + s * 0.1, 0.5 - s * 0.1 * width / height) for s in (-1, 1)]
    assert alone.reason is Reason.NO_DIAGONAL
    assert edge_with(pair[0], pair[1:]).reason is Reason.NO_DIAGONAL
