"""Line segments: drawn edges recovered over all angles; arcs are none; pieces are pooled."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor.geometry import Ellipse, Point, angle_difference_deg
from auditor.line_segments import find_line_segments, pool_segments, without_rims

SIDE = 480
ANGLES_DEG = np.arange(-87.5, 90, 12.7)


def half_plane(angle_deg, step=60.0, noise=3.0, blur_px=0.7, seed=0):
    """An edge through the middle of the frame, its profile known in closed form."""
    x, y = np.meshgrid(np.arange(SIDE) + 0.5 - SIDE / 2, SIDE / 2 - np.arange(SIDE) - 0.5)
    angle = math.radians(angle_deg)
    across = (y * math.cos(angle) - x * math.sin(angle)) / (math.sqrt(2) * blur_px)
    profile = 120 + step / 2 * np.tanh(across * 2 / math.sqrt(math.pi))
    grey = profile[..., np.newaxis] + np.random.default_rng(seed).normal(0, noise, (SIDE, SIDE, 3))
    return np.clip(np.round(grey), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
@pytest.mark.parametrize("blur_px", [0.5, 1.5])
def test_an_edge_is_recovered(angle_deg, blur_px):
    lines = pool_segments(find_line_segments(half_plane(angle_deg, blur_px=blur_px)), 5)
    assert angle_difference_deg(lines[0].angle_deg, angle_deg) < 0.15
    slope = math.radians(angle_deg)
    x, y = lines[0].centre[0] - SIDE / 2, SIDE / 2 - lines[0].centre[1]
    assert abs(y * math.cos(slope) - x * math.sin(slope)) < 0.5
    chord = SIDE / max(abs(math.cos(slope)), abs(math.sin(slope)))
    assert lines[0].covered_px == pytest.approx(chord, rel=0.03)


@pytest.mark.parametrize("step", [50.0, 100.0, 160.0])
def test_contrast_is_the_height_of_the_step(step):
    segments = find_line_segments(half_plane(30.0, step=step, noise=0.0))
    longest = int(np.argmax(segments.lengths_px))
    # The feet of the profile, below the least gradient, are lost: the more of a fainter step.
    assert segments.contrasts[longest] == pytest.approx(step / 255, rel=0.15)


def test_a_known_diagonal_reads_45():
    segments = find_line_segments(half_plane(45.0))
    assert segments.angles_deg[np.argmax(segments.lengths_px)] == pytest.approx(45, abs=0.1)


def test_coloured_edges_of_equal_luminance_are_seen():
    pixels = np.empty((SIDE, SIDE, 3), dtype=np.uint8)
    # Relative luminance 0.158 on both sides (IEC 61966-2-1).
    pixels[: SIDE // 2], pixels[SIDE // 2 :] = (200, 60, 60), (60, 120, 60)
    assert find_line_segments(pixels).lengths_px.max() > 0.9 * SIDE


@pytest.mark.parametrize("radii", [(200, 200), (210, 120), (60, 60)])
def test_arcs_leave_only_crumbs(radii):
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


def test_large_pictures_are_reduced_and_small_ones_taken_as_they_are():
    small = find_line_segments(half_plane(20.0))
    assert (small.width, small.height) == (SIDE, SIDE)
    large = find_line_segments(np.repeat(np.repeat(half_plane(20.0), 3, axis=0), 3, axis=1))
    assert max(large.width, large.height) < 3 * SIDE
    assert large.angles_deg[np.argmax(large.lengths_px)] == pytest.approx(20, abs=0.3)
