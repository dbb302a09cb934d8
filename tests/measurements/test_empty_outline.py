"""The outline of the largest empty region: drawn shapes and what is recovered of them."""

import numpy as np
import pytest
from scipy import ndimage
from skimage.draw import polygon2mask

from auditor.geometry import Box, Point
from auditor.measurements.negative_space import measure_negative_space
from auditor.measurements.negative_space.outline import MOST_POINTS, outline_of
from auditor.measurements.whole_frame import in_whole_frame

HEIGHT, WIDTH = 96, 128
Y, X = np.mgrid[0:HEIGHT, 0:WIDTH]


def disc(x, y, radius):
    return (X - x) ** 2 + (Y - y) ** 2 < radius**2


def blobs(seed, n=6):
    """A frame with discs cut out of it, its largest connected part."""
    rng = np.random.default_rng(seed)
    empty = np.ones((HEIGHT, WIDTH), dtype=bool)
    for _ in range(n):
        empty &= ~disc(rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT), rng.uniform(6, 26))
    labels, _ = ndimage.label(empty)
    return labels == np.bincount(labels.ravel())[1:].argmax() + 1


SHAPES = {
    "frame": np.ones((HEIGHT, WIDTH), dtype=bool),
    "left half": X < 64,
    "corner": (X < 60) | (Y < 30),
    "disc": disc(64, 48, 40),
    "around a disc": ~disc(64, 48, 30),
    "around two": ~(disc(30, 40, 16) | disc(95, 55, 20)),
    "slanted": X + Y < 120,
} | {f"blobs {seed}": blobs(seed) for seed in range(8)}


def area(rings):
    """Of the region within the first ring and without the others, by the shoelace formula."""
    sizes = [
        abs(sum(a.x * b.y - b.x * a.y for a, b in zip(ring, ring[1:] + ring[:1], strict=True))) / 2
        for ring in rings
    ]
    return sizes[0] - sum(sizes[1:])


def filled(rings, height=HEIGHT, width=WIDTH):
    """The region by the even-odd rule, drawn by another hand."""
    inside = np.zeros((height, width), dtype=bool)
    for ring in rings:
        # polygon2mask counts from the centre of a pixel.
        corners = [(point.y * height - 0.5, point.x * width - 0.5) for point in ring]
        inside ^= polygon2mask((height, width), corners)
    return inside


@pytest.mark.parametrize("name", SHAPES)
def test_a_drawn_shape_is_recovered(name):
    drawn = SHAPES[name]
    rings = outline_of(drawn)
    assert area(rings) == pytest.approx(drawn.mean(), abs=0.012)
    found = filled(rings)
    assert (found & drawn).sum() / (found | drawn).sum() > 0.95
    assert sum(len(ring) for ring in rings) <= MOST_POINTS
    assert all(0 <= value <= 1 for ring in rings for point in ring for value in point)


@pytest.mark.parametrize("name", SHAPES)
def test_what_is_left_out_is_never_deeper_inside_than_the_outline_may_be_off(name):
    drawn = SHAPES[name]
    depth = ndimage.distance_transform_edt(~drawn)
    assert depth[filled(outline_of(drawn))].max(initial=0.0) <= 3.0  # cells, of 128


def test_a_plain_frame_has_its_four_corners():
    (ring,) = outline_of(SHAPES["frame"])
    assert sorted(ring) == [(0, 0), (0, 1), (1, 0), (1, 1)]


def test_holes_come_after_the_ring_around_all_largest_first():
    outer, *holes = outline_of(SHAPES["around two"])
    assert sorted(outer) == [(0, 0), (0, 1), (1, 0), (1, 1)]
    assert len(holes) == 2
    middles = [np.mean(hole, axis=0)[0] * WIDTH for hole in holes]
    assert middles == pytest.approx([95, 30], abs=2)


def test_a_speck_is_no_hole_and_nothing_has_no_outline():
    speck = np.ones((HEIGHT, WIDTH), dtype=bool)
    speck[40:42, 50:52] = False
    assert len(outline_of(speck)) == 1
    assert outline_of(np.zeros((HEIGHT, WIDTH), dtype=bool)) == ()


@pytest.mark.parametrize("seed", range(4))
def test_a_crowd_keeps_its_outline_short(seed):
    empty = blobs(seed, n=20)
    rings = outline_of(empty)
    # Nothing is simplified beyond two cells, however many points that takes.
    assert sum(len(ring) for ring in rings) <= 2 * MOST_POINTS
    assert area(rings) == pytest.approx(empty.mean(), abs=0.02)


@pytest.mark.parametrize(
    ("column", "row", "radius"), [(300, 200, 90), (90, 300, 60), (500, 60, 100)]
)
def test_the_outline_of_a_picture_leaves_its_subject_out(column, row, radius):
    y, x = np.mgrid[0:400, 0:600]
    subject = (x - column) ** 2 + (y - row) ** 2 < radius**2
    pixels = np.full((400, 600, 3), 180, dtype=np.uint8)
    pixels[subject] = (200, 60, 20)
    space = measure_negative_space(pixels, subject, subject.astype(np.float32)).value
    empty = filled(space.largest_region_outline, 400, 600)
    assert (empty & subject).sum() / subject.sum() < 0.03
    assert not empty[row, column]
    assert empty.mean() == pytest.approx(space.largest_region_fraction, abs=0.01)


def test_the_outline_moves_with_the_picture_in_its_border():
    ring = (Point(0.0, 0.0), Point(1.0, 0.0), Point(1.0, 1.0))
    (moved,) = in_whole_frame((ring,), Box(0.1, 0.2, 0.9, 0.8), 600, 400)
    assert np.array(moved) == pytest.approx(np.array([(0.1, 0.2), (0.9, 0.2), (0.9, 0.8)]))
