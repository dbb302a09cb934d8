"""The picture for the live view: where it is transparent, and what is seen on any picture."""

import numpy as np
import pytest
from PIL import Image

from auditor.errors import UnusableArgumentError
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.lettering import Lettering
from auditor.plan_sheet.picture import Canvas, paint
from auditor.plan_sheet.picture_size import size_from_text

TEXT = (
    '[[shot]]\nname = "one"\nfiles = ["*"]\naspect_ratio = "{}"\ntechnique = "rule of thirds"\n'
    'subject = {{ at = "upper left", size = 0.1 }}\nlight = {{ from = "left" }}\n'
)


@pytest.fixture
def painted(plan_of):
    def draw(ratio, size):
        drawing = draw_shot(plan_of(TEXT.format(ratio)).shots[0], Lettering(21))
        return paint(drawing, size), Canvas.around(drawing, size)

    return draw


def over(picture, grey):
    """The picture laid over a plain one, as (H, W) lightness."""
    below = Image.new("RGBA", picture.size, (grey, grey, grey, 255))
    below.alpha_composite(picture)
    return np.asarray(below.convert("L"), dtype=float)


def test_the_picture_has_the_size_of_the_live_view(painted):
    picture, _ = painted("4:5", (1200, 800))
    assert (picture.size, picture.mode) == ((1200, 800), "RGBA")


@pytest.mark.parametrize(
    ("ratio", "size", "crop"),
    [
        ("4:5", (1200, 800), (280, 0, 920, 800)),
        ("16:9", (800, 800), (0, 175, 800, 625)),
        ("3:2", (1200, 800), (0, 0, 1200, 800)),
    ],
)
def test_everything_lies_within_the_planned_crop_which_is_outlined(painted, ratio, size, crop):
    picture, canvas = painted(ratio, size)
    alpha = np.asarray(picture)[..., 3]
    rows, columns = np.nonzero(alpha > 128)
    found = columns.min(), rows.min(), columns.max() + 1, rows.max() + 1
    assert found == pytest.approx(crop, abs=6)
    assert (canvas.left, canvas.top) == pytest.approx(crop[:2], abs=0.6)
    # Along the middle of the upper side there is a line.
    top, middle = crop[1], (crop[0] + crop[2]) // 2
    assert alpha[top : top + 6, middle - 60 : middle - 40].max(axis=0).min() > 200


def test_most_of_it_is_transparent(painted):
    alpha = np.asarray(painted("4:5", (1200, 800))[0])[..., 3]
    assert (alpha == 0).mean() > 0.8


@pytest.mark.parametrize("grey", [0, 60, 128, 200, 255])
def test_lines_are_seen_on_dark_and_on_light_pictures(painted, grey):
    picture, canvas = painted("4:5", (1800, 1200))
    seen = over(picture, grey)
    # Across the lower line of the thirds, away from everything else.
    row = round(canvas.top + 2 / 3 * 1200)
    column = round(canvas.left + 0.5 * 960)
    across = seen[row - 12 : row + 12, column]
    assert across.max() - across.min() > 90
    # And across the right side of the subject, below the upper line.
    outline = seen[round(canvas.top + 445), round(canvas.left + 380) : round(canvas.left + 620)]
    assert outline.max() - outline.min() > 90


def test_the_place_in_words_is_pale(painted):
    picture, canvas = painted("4:5", (1800, 1200))
    seen = over(picture, 60)
    inside = seen[round(canvas.top) + 20, round(canvas.left) + 300]
    outside = seen[round(canvas.top) + 1180, round(canvas.left) + 300]
    assert outside == 60
    assert 60 < inside < 140


def test_bands_join_without_a_seam(painted):
    picture, canvas = painted("4:5", (1800, 1200))
    alpha = np.asarray(picture)[..., 3]
    # An upright line of the thirds passes through every band with the same opacity.
    column = round(canvas.left + 2 / 3 * 960)
    line = alpha[500:1100, column - 3 : column + 3].max(axis=1)
    assert line.min() == line.max() == 255


@pytest.mark.parametrize(
    ("text", "size"), [("6000x4000", (6000, 4000)), (" 800 X 600", (800, 600))]
)
def test_a_size_is_read(text, size):
    assert size_from_text(text) == size


@pytest.mark.parametrize(
    "text", ["6000", "x", "6000x", "axb", "0x0", "100x9000", "6000x40000", "-1x2"]
)
def test_a_wrong_size_is_refused(text):
    with pytest.raises(UnusableArgumentError, match="--size"):
        size_from_text(text)
