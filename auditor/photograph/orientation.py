"""Turn a stored frame into the displayed frame by the Orientation tag of EXIF.

For each value from 1 to 8, CIPA DC-008 section 4.6.4 (tag 0x0112, the same as in TIFF 6.0) names
the sides of the picture on which the first row and the first column of the stored pixels are.
"""

from __future__ import annotations

from PIL import Image

from auditor.geometry import Box, Point

UPRIGHT = 1
_ORIENTATION_TAG = 0x0112
_FIRST_TRANSPOSED = 5  # from this value on, width and height change places

_TURNS: dict[int, Image.Transpose] = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,  # counter-clockwise here, so a quarter turn clockwise
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def orientation_of(image: Image.Image) -> int:
    """Orientation of a picture, 1 to 8; 1 if it is missing or cannot be read.

    A PNG must be loaded before: Pillow looks for EXIF behind its pixels and decodes them for that,
    and the error of a damaged picture would be hidden here.
    """
    try:
        value = image.getexif().get(_ORIENTATION_TAG, UPRIGHT)
    except Exception:  # Pillow raises any error on a broken field
        return UPRIGHT
    return value if isinstance(value, int) and value in _TURNS else UPRIGHT


def turn(image: Image.Image, orientation: int) -> Image.Image:
    """The picture as displayed."""
    method = _TURNS.get(orientation)
    return image if method is None else image.transpose(method)


def turned_size(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    """Width and height after the turn, or before it if the size given is that after the turn."""
    width, height = size
    return (height, width) if orientation >= _FIRST_TRANSPOSED else (width, height)


def turned_point(point: Point, orientation: int) -> Point:
    """A position of the stored frame in the displayed frame, both as fractions."""
    x, y = point
    return {
        2: Point(1 - x, y),
        3: Point(1 - x, 1 - y),
        4: Point(x, 1 - y),
        5: Point(y, x),
        6: Point(1 - y, x),
        7: Point(1 - y, 1 - x),
        8: Point(y, 1 - x),
    }.get(orientation, point)


def turned_box(box: Box, orientation: int) -> Box:
    """A box of the stored frame in the displayed frame."""
    a = turned_point(Point(box.left, box.top), orientation)
    b = turned_point(Point(box.right, box.bottom), orientation)
    return Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))
