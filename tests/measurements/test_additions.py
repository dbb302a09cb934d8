"""Borders and writing drawn onto pictures, and recovered."""

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont
from scipy.ndimage import gaussian_filter, label, maximum_filter

from auditor.measurements.additions import filled, measure_additions
from auditor.measurements.additions.border import find_border
from auditor.measurements.additions.candidates import candidates, stroke_images
from auditor.measurements.additions.row_features import FEATURE_NAMES
from auditor.measurements.additions.shapes import find_shapes
from auditor.measurements.additions.strokes import Strokes
from auditor.measurements.additions.writing import find_writing

WIDTH, HEIGHT = 600, 400


def scene(seed=3, contrast=60.0):
    """A picture without lines or letters: soft blobs of several sizes, and some noise."""
    rng = np.random.default_rng(seed)
    shape = (HEIGHT, WIDTH, 3)
    blobs = sum(gaussian_filter(rng.normal(size=shape), (s, s, 0)) * s for s in (4, 12, 40))
    pixels = 120 + contrast * blobs / blobs.std() / 2 + rng.normal(0, 3, shape)
    return np.clip(np.rint(pixels), 0, 255).astype(np.uint8)


def framed(pixels, left, top, right, bottom, colour):
    """The picture with a border of these widths in px."""
    rows, columns = pixels.shape[:2]
    frame = np.empty((rows + top + bottom, columns + left + right, 3), dtype=np.uint8)
    frame[:] = colour
    frame[top : top + rows, left : left + columns] = pixels
    return frame


def written(pixels, text, at, size, ink, opacity=1.0):
    """The picture with a line of writing, and where its letters are."""
    layer = Image.new("L", (pixels.shape[1], pixels.shape[0]))
    ImageDraw.Draw(layer).text(at, text, font=ImageFont.load_default(size), fill=255)
    letters = np.asarray(layer) / 255
    share = opacity * letters[..., None]
    mixed = pixels * (1 - share) + np.array(ink) * share
    return np.rint(mixed).astype(np.uint8), letters > 0.5


@pytest.mark.parametrize("colour", [(255, 255, 255), (0, 0, 0), (190, 170, 60)])
@pytest.mark.parametrize(
    "widths", [(6, 6, 6, 6), (30, 30, 30, 30), (20, 20, 20, 70), (0, 40, 0, 40), (0, 0, 0, 50)]
)
def test_a_drawn_border_is_recovered(widths, colour):
    left, top, right, bottom = widths
    found = find_border(framed(scene(), left, top, right, bottom, colour))
    width, height = WIDTH + left + right, HEIGHT + top + bottom
    expected = (left / width, top / height, 1 - right / width, 1 - bottom / height)
    assert found is not None
    assert found.border.inside == pytest.approx(expected, abs=2 / 400)
    assert found.border.hex == "#" + "".join(f"{value:02x}" for value in colour)
    assert not found.border.has_round_corners


def test_no_border_leaves_too_little_to_measure():
    assert find_border(framed(scene()[:30, :30], 15, 15, 15, 15, (255, 255, 255))) is None


def test_a_border_within_a_border_is_one():
    thin = framed(scene(), 3, 3, 3, 3, (0, 0, 0))
    found = find_border(framed(thin, 25, 25, 25, 25, (255, 255, 255)))
    assert found.rows.start == pytest.approx(28, abs=2)
    assert found.border.hex == "#ffffff"


def test_rounded_corners_belong_to_the_border():
    pixels = framed(scene(), 20, 20, 20, 20, (255, 255, 255))
    mask = Image.new("L", (WIDTH + 40, HEIGHT + 40))
    ImageDraw.Draw(mask).rounded_rectangle((20, 20, WIDTH + 19, HEIGHT + 19), 24, fill=255)
    pixels[np.asarray(mask) == 0] = 255
    found = find_border(pixels)
    assert found.border.has_round_corners
    # A square less the quarter of a circle, at each corner.
    assert found.corners.sum() == pytest.approx(4 * 24**2 * (1 - np.pi / 4), rel=0.35)


def test_a_plain_background_is_no_border():
    pixels = np.full((HEIGHT, WIDTH, 3), 255, dtype=np.uint8)
    rows, columns = np.mgrid[:HEIGHT, :WIDTH]
    dish = ((columns - 300) / 280) ** 2 + ((rows - 200) / 180) ** 2 < 1
    pixels[dish] = scene()[dish]
    assert find_border(pixels) is None
    assert find_border(scene()) is None
    assert find_border(np.full((HEIGHT, WIDTH, 3), 200, dtype=np.uint8)) is None


def test_an_uneven_strip_along_an_edge_is_no_border():
    pixels = scene()
    # The far edge of a table, lit from one side.
    pixels[:60] = np.linspace(60, 90, WIDTH)[None, :, None].astype(np.uint8)
    assert find_border(pixels) is None


@pytest.mark.parametrize("ink", [(255, 255, 255), (0, 0, 0)])
@pytest.mark.parametrize("at", [(20, 360), (180, 350), (330, 20)])
def test_a_caption_is_found_where_it_was_drawn(at, ink):
    pixels, letters = written(scene(), "Recipes of the house", at, 22, ink)
    (line,) = find_writing(pixels)
    assert line.mask[letters].mean() > 0.9
    rows, columns = letters.nonzero()
    left, top = line.writing.corners[0]
    right, bottom = line.writing.corners[2]
    assert left == pytest.approx(columns.min() / WIDTH, abs=0.03)
    assert right == pytest.approx(columns.max() / WIDTH, abs=0.03)
    assert top == pytest.approx(rows.min() / HEIGHT, abs=0.03)
    assert bottom == pytest.approx(rows.max() / HEIGHT, abs=0.03)


def test_a_half_transparent_watermark_is_found():
    pixels, letters = written(scene(), "Sample only", (120, 170), 56, (255, 255, 255), 0.5)
    found = find_writing(pixels)
    assert found
    assert found[0].mask[letters].mean() > 0.7


def test_a_picture_without_writing_has_none():
    for seed in range(3):
        assert find_writing(scene(seed)) == []
        assert find_writing(scene(seed, contrast=140.0)) == []


def test_soft_print_in_the_scene_is_no_writing():
    pixels, _ = written(scene(), "Recipes of the house", (150, 180), 26, (245, 240, 230))
    # As a lens sees a label out of focus.
    assert find_writing(gaussian_filter(pixels, (2.5, 2.5, 0))) == []


def test_the_larger_picture_shows_the_same():
    pixels, _ = written(scene(), "Recipes of the house", (180, 350), 22, (255, 255, 255))
    large = np.asarray(Image.fromarray(pixels).resize((1000, 667), Image.Resampling.LANCZOS))
    (line,), (other,) = find_writing(pixels), find_writing(large)
    assert other.writing.corners[0] == pytest.approx(line.writing.corners[0], abs=0.03)


def test_what_is_filled_in_is_like_its_surroundings():
    pixels = np.full((40, 60, 3), (200, 120, 40), dtype=np.uint8)
    mask = np.zeros((40, 60), dtype=bool)
    mask[10:30, 20:40] = True
    changed = pixels.copy()
    changed[mask] = 0
    assert np.array_equal(filled(changed, mask), pixels)
    assert np.array_equal(filled(pixels, np.zeros_like(mask)), pixels)


def test_filling_in_continues_a_gradient():
    ramp = np.broadcast_to(np.linspace(50, 200, 90)[None, :, None], (50, 90, 3))
    pixels = np.rint(ramp).astype(np.uint8)
    mask = np.zeros((50, 90), dtype=bool)
    mask[15:35, 30:50] = True
    changed = np.where(mask[..., None], 255, pixels).astype(np.uint8)
    assert np.abs(filled(changed, mask).astype(float) - pixels).max() < 12


def test_additions_say_what_is_left_to_measure():
    pixels, _ = written(scene(), "Recipes of the house", (180, 350), 22, (255, 255, 255))
    additions = measure_additions(framed(pixels, 20, 20, 20, 20, (0, 0, 0)))
    assert additions.border.confidence > 0.9
    assert len(additions.writing) == 1
    assert additions.writing[0].confidence > 0.9
    shape = (additions.rows.stop - additions.rows.start,
             additions.columns.stop - additions.columns.start)  # fmt: skip
    assert additions.mask.shape == shape
    assert additions.mask.any()


def test_every_number_of_a_row_has_its_name():
    pixels, _ = written(scene(), "Recipes of the house", (180, 350), 22, (255, 255, 255))
    found = list(candidates(stroke_images(pixels)))
    assert found
    assert {len(one.features) for one in found} == {len(FEATURE_NAMES)}


@pytest.mark.parametrize("joined", [False, True])
def test_shapes_are_the_connected_parts_of_the_strokes(joined):
    drawn = gaussian_filter(np.random.default_rng(5).normal(size=(120, 160)), 2) > 0.07
    plane = np.zeros(drawn.shape, dtype=np.uint8)
    shapes = find_shapes(Strokes(plane, plane, plane, drawn), joined=joined)
    near = maximum_filter(drawn, 3) if joined else drawn
    parts = label(near)[0] * drawn
    places, owners = shapes.pixels_of(np.ones(shapes.count, dtype=bool))
    assert shapes.count > 5
    for number in range(shapes.count):
        own = places[owners == number]
        part = parts == parts.ravel()[own[0]]
        assert np.array_equal(np.flatnonzero(part), own)
        assert shapes.area[number] == own.size
        rows, columns = part.nonzero()
        box = (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)
        of = (shapes.left, shapes.top, shapes.right, shapes.bottom)
        assert tuple(side[number] for side in of) == box
