"""The Orientation tag, drawn and recovered: CIPA DC-008 section 4.6.4."""

import numpy as np
import pytest
from PIL import Image

from auditor.geometry import Box, Point
from auditor.photograph.orientation import turned_box, turned_point
from tests.photograph.pictures import encoded, read

# The sides of the displayed picture on which the first stored row and the first stored column are,
# from the table of the standard.
_FIRST_ROW_AND_COLUMN = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}
_FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "TIFF")


def _with_orientation(picture, orientation, kind, **options):
    exif = Image.Exif()
    exif[0x0112] = orientation
    return encoded(picture, kind, exif=exif, **options)


def _marked():
    """Grey, but for a red first row and a blue first column (24 pixels each), red over blue."""
    picture = np.full((160, 240, 3), 128, np.uint8)
    picture[:, :24] = (0, 0, 255)
    picture[:24, 24:] = (255, 0, 0)
    return Image.fromarray(picture)


def _side_of(pixels, channel):
    """The side of the picture on which a colour is."""
    others = [c for c in range(3) if c != channel]
    strong = (pixels[..., channel] > 180) & (pixels[..., others].max(axis=-1) < 90)
    rows, columns = np.nonzero(strong)
    x = (columns.mean() + 0.5) / pixels.shape[1] - 0.5
    y = (rows.mean() + 0.5) / pixels.shape[0] - 0.5
    if abs(x) > abs(y):
        return "left" if x < 0 else "right"
    return "top" if y < 0 else "bottom"


@pytest.mark.parametrize("kind", _FORMATS)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_first_row_and_column_are_on_the_sides_that_the_standard_names(tmp_path, kind, orientation):
    photograph = read(tmp_path, _with_orientation(_marked(), orientation, kind))
    assert (photograph.width, photograph.height) == ((240, 160) if orientation < 5 else (160, 240))
    assert photograph.pixels.shape[:2] == (photograph.height, photograph.width)
    row, column = _FIRST_ROW_AND_COLUMN[orientation]
    assert (_side_of(photograph.pixels, 0), _side_of(photograph.pixels, 2)) == (row, column)


@pytest.mark.parametrize("compression", [None, "tiff_lzw"])
def test_a_tiff_is_turned_once_whatever_its_compression(tmp_path, compression):
    options = {} if compression is None else {"compression": compression}
    photograph = read(tmp_path, _with_orientation(_marked(), 6, "TIFF", **options))
    assert photograph.pixels.shape[:2] == (240, 160)
    assert _side_of(photograph.pixels, 0) == "right"


@pytest.mark.parametrize("value", [0, 9, 255])
def test_a_value_outside_the_standard_turns_nothing(tmp_path, value):
    photograph = read(tmp_path, _with_orientation(_marked(), value, "JPEG"))
    assert (photograph.width, photograph.height) == (240, 160)
    assert _side_of(photograph.pixels, 0) == "top"


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_position_turns_with_the_pixels(tmp_path, orientation):
    picture = np.zeros((100, 150, 3), np.uint8)
    picture[20:30, 105:120] = 255
    data = _with_orientation(Image.fromarray(picture), orientation, "PNG")
    pixels = read(tmp_path, data).pixels
    rows, columns = np.nonzero(pixels[..., 0])
    height, width = pixels.shape[:2]
    box = turned_box(Box(105 / 150, 0.2, 120 / 150, 0.3), orientation)
    drawn = (columns.min() / width, rows.min() / height)
    assert (box.left, box.top) == pytest.approx(drawn)
    drawn = ((columns.max() + 1) / width, (rows.max() + 1) / height)
    assert (box.right, box.bottom) == pytest.approx(drawn)


def test_a_point_keeps_its_place_without_a_turn():
    assert turned_point(Point(0.2, 0.7), 1) == (0.2, 0.7)
