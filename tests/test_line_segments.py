"""Line segments: drawn edges are recovered at all angles, arcs are ignored, pieces are pooled."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor.geometry import Ellipse, Point, angle_difference_deg
from auditor.line_segments import (
    LineSegments,
    find_line_segments,
    pool_segments,
    without_rims,
)

SIDE = 480
ANGLES_DEG = np.arange(-87.5, 90, 12.7)


def half_plane(angle_deg, step=60.0, noise=3.0, blur_px=0.7, seed=0):
    """An edge through the middle of the frame with a profile in closed form."""
    x, y = np.meshgrid(np.arange(SIDE) + 0.5 - SIDE / 2, SIDE / 2 - np.arange(SIDE) - 0.5)
    angle = math.radians(angle_deg)
    across = (y * math.cos(angle) - x * math.sin(angle)) / (math.sqrt(2) * blur_px)
    profile = 120 + step / 2 * np.tanh(across * 2 / math.sqrt(math.pi))
    grey = profile[..., np.newaxis] + np.random.default_rng(seed).normal(0, noise, (SIDE, SIDE, 3))
    return np.clip(np.round(grey), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
@pytest.mark.parametrize("blur_px", [0.5, 1.5])
def test_an_edge_is_recovered(angle_deg, blur_px):
    segments = find_line_segments(half_plane(angle_deg, blur_px=blur_px))
    lines = pool_segments(segments, 5)
    assert angle_difference_deg(lines[0].angle_deg, angle_deg) < 0.15
    slope = math.radians(angle_deg)
    middle = segments.width / 2
    x, y = lines[0].centre[0] - middle, middle - lines[0].centre[1]
    assert abs(y * math.cos(slope) - x * math.sin(slope)) < 0.4
    chord = segments.width / max(abs(math.cos(slope)), abs(math.sin(slope)))
    assert lines[0].covered_px == pytest.approx(chord, rel=0.03)


@pytest.mark.parametrize("step", [50.0, 100.0, 160.0])
def test_contrast_is_the_height_of_the_step(step):
    segments = find_line_segments(half_plane(30.0, step=step, noise=0.0))
    longest = int(np.argmax(segments.lengths_px))
    # The ends of the profile, below the minimum gradient, are lost: more so for a fainter step.
    assert segments.contrasts[longest] == pytest.approx(step / 255, rel=0.15)


def test_a_known_diagonal_reads_45():
    segments = find_line_segments(half_plane(45.0))
    assert segments.angles_deg[np.argmax(segments.lengths_px)] == pytest.approx(45, abs=0.1)


def test_coloured_edges_of_equal_luminance_are_found():
    pixels = np.empty((SIDE, SIDE, 3), dtype=np.uint8)
    # Relative luminance 0.158 on both sides (IEC 61966-2-1).
    pixels[: SIDE // 2], pixels[SIDE // 2 :] = (200, 60, 60), (60, 120, 60)
    assert find_line_segments(pixels, SIDE).lengths_px.max() > 0.9 * SIDE


@pytest.mark.parametrize("radii", [(200, 200), (210, 120), (60, 60)])
def test_arcs_give_only_short_segments(radii):
    image = Image.new("RGB", (2 * SIDE, 2 * SIDE), (90, 90, 90))
    a, b = 2 * radii[0], 2 * radii[1]
    ImageDraw.Draw(image).ellipse((SIDE - a, SIDE - b, SIDE + a, SIDE + b), fill=(220, 220, 220))
    pixels = np.asarray(image.resize((SIDE, SIDE), Image.Resampling.BOX))
    segments = find_line_segments(pixels)
    assert segments.lengths_px.max(initial=0) < 0.5 * radii[0]
    size = SIDE * math.sqrt(2)
    rim = Ellipse(Point(0.5, 0.5), (radii[0] / size, radii[1] / size), 0.0)
    assert len(without_rims(segments, [rim])) == 0


def test_noise_and_soft_shadows_have_no_segments():
    noise = np.random.default_rng(1).normal(128, 6, (SIDE, SIDE, 3))
    assert (
        find_line_segments(np.clip(noise, 0, 255).astype(np.uint8)).lengths_px.max(initial=0) < 30
    )
    assert len(find_line_segments(half_plane(25.0, step=120, blur_px=25.0, noise=0.0))) == 0


def test_small_pictures_are_not_resized():
    segments = find_line_segments(half_plane(20.0), side_px=SIDE)
    assert (segments.width, segments.height) == (SIDE, SIDE)


# Whole blocks (3 and 2), blocks that come close enough, and blocks with a bilinear reduction.
@pytest.mark.parametrize("side_px", [SIDE // 3, SIDE // 2, 158, 205, 341, 400])
@pytest.mark.parametrize("angle_deg", [3.8, 20.0, -67.0, 86.0])
def test_a_reduced_edge_stays_whole(side_px, angle_deg):
    segments = find_line_segments(half_plane(angle_deg, noise=1.0), side_px)
    assert side_px <= segments.width <= side_px / 0.9
    chord = segments.width / max(
        abs(math.cos(math.radians(angle_deg))), abs(math.sin(math.radians(angle_deg)))
    )
    longest = int(np.argmax(segments.lengths_px))
    assert segments.lengths_px[longest] > 0.9 * chord
    assert angle_difference_deg(segments.angles_deg[longest], angle_deg) < 0.2


@pytest.mark.parametrize("size", [(700, 641), (1024, 683), (683, 1024), (640, 427)])
@pytest.mark.parametrize("side_px", [100, 341])
def test_the_frame_of_reduced_segments_has_the_proportions_of_the_picture(size, side_px):
    segments = find_line_segments(np.zeros((*size, 3), np.uint8), side_px)
    assert segments.width / segments.height == pytest.approx(size[1] / size[0])
    assert side_px <= max(segments.width, segments.height) <= side_px / 0.9


# Odd and even remainders beside whole blocks of 3, and a bilinear reduction.
@pytest.mark.parametrize("width", [1022, 1023, 1024, 700])
def test_a_mirrored_picture_has_the_mirrored_segments(width):
    rng = np.random.default_rng(4)
    image = Image.new("RGB", (width, 600), (150, 150, 150))
    draw = ImageDraw.Draw(image)
    for _ in range(12):
        ends = rng.uniform(0, 1, 4) * (width, 600, width, 600)
        draw.line(ends.tolist(), fill=tuple(rng.integers(0, 255, 3).tolist()), width=9)
    pixels = np.asarray(image)
    one = find_line_segments(pixels)
    other = find_line_segments(np.ascontiguousarray(pixels[:, ::-1]))
    assert len(one) == len(other) > 10
    order = np.lexsort(one.centres.T)
    turned = other.centres * (-1, 1) + (other.width, 0)
    mirrored = np.lexsort(turned.T)
    assert one.centres[order] == pytest.approx(turned[mirrored], abs=1e-6)
    assert one.lengths_px[order] == pytest.approx(other.lengths_px[mirrored], abs=1e-6)
    turns = one.angles_deg[order] + other.angles_deg[mirrored]
    assert np.mod(turns + 90, 180) - 90 == pytest.approx(np.zeros(len(one)), abs=1e-6)


def test_positions_in_a_reduced_picture_are_positions_in_the_frame():
    # An upright edge at 700 of 1024 px, whose blocks of 3 leave 4 px over.
    pixels = np.full((600, 1024, 3), 60, np.uint8)
    pixels[:, 700:] = 200
    segments = find_line_segments(pixels)
    place = segments.centres[np.argmax(segments.lengths_px), 0] / segments.width
    assert place == pytest.approx(700 / 1024, abs=2e-4)


def test_grain_is_no_edge_and_a_faint_edge_in_it_is_found():
    pixels = half_plane(35.0, step=12.0, noise=5.0)
    lines = pool_segments(find_line_segments(pixels, 240), 3)
    assert angle_difference_deg(lines[0].angle_deg, 35.0) < 0.5
    assert lines[0].covered_px > 120


def rods(*segments, width=400.0, height=300.0):
    """Segments from (x, y), angle, length, contrast."""
    places, angles, lengths, contrasts = (
        np.array([s[k] for s in segments], dtype=float) for k in range(4)
    )
    turns = np.radians(angles)
    directions = np.stack([np.cos(turns), -np.sin(turns)], axis=1)
    return LineSegments(width, height, places, directions, lengths, contrasts)


def test_pieces_of_a_line_are_pooled_and_parallels_are_not():
    # In a frame with a diagonal of 500 px lines 6 px apart are two.
    pieces = [((100, 150), 0.0, 60, 0.3), ((200, 152), 0.0, 60, 0.3), ((150, 151), 0.0, 80, 0.1)]
    lines = pool_segments(rods(*pieces, ((150, 165), 0.0, 50, 0.3)), 9)
    assert [round(line.covered_px) for line in lines] == [160, 50]
    # Weights 18, 18 and 8: the middle lies at (18 * 100 + 18 * 200 + 8 * 150) / 44.
    assert lines[0].centre == pytest.approx((150, 151))
    assert lines[0].contrast == pytest.approx((60 * 0.3 * 2 + 80 * 0.1) / 200)
    # The least squares line of the two outer rods by hand: 2 px down over 100 px, reduced because
    # the rods' own length adds to the spread along it.
    along = (18 * 50**2 * 2 + 18 * 60**2 / 12 * 2 + 8 * 80**2 / 12) / 44
    slope = math.degrees(math.atan2(18 * 50 * 1 * 2 / 44, along))
    assert lines[0].angle_deg == pytest.approx(-slope, abs=0.01)


def test_segments_across_a_line_are_not_pooled():
    lines = pool_segments(rods(((200, 150), 0.0, 90, 0.3), ((200, 150), 8.0, 30, 0.3)), 9)
    assert [line.angle_deg for line in lines] == pytest.approx([0, 8])


def test_the_strongest_lines_come_first_up_to_the_limit():
    far_apart = [((200, 30 + 40 * k), 0.0, 50 + 10 * k, 0.2) for k in range(6)]
    lines = pool_segments(rods(*far_apart), 3)
    assert [line.covered_px for line in lines] == [100, 90, 80]


@pytest.mark.parametrize("shape", [(8, 1200), (1500, 2), (1, 3000)])
def test_a_narrow_strip_is_reduced_without_segments(shape):
    pixels = np.tile(np.linspace(0, 255, shape[1]).astype(np.uint8), (shape[0], 1))
    # It only grows lighter from left to right and has no edge.
    assert len(find_line_segments(np.repeat(pixels[..., np.newaxis], 3, axis=2)).lengths_px) == 0
