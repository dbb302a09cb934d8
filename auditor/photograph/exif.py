"""Read EXIF (CIPA DC-008-2019): camera settings, subject position, creator.

Of a geographic position only its presence is kept; serial numbers, owners and the notes of camera
makers are never read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

import piexif
from PIL import Image

from auditor.photograph.exif_block import is_well_formed
from auditor.photograph.exif_limits import (
    EXPOSURE_TIMES_S,
    F_NUMBERS,
    FOCAL_LENGTHS_35MM_MM,
    FOCAL_LENGTHS_MM,
    ISO_SPEEDS,
    MOST_ELONGATED,
    kept_time,
)
from auditor.photograph.orientation import turned_size
from auditor.photograph.photograph import CameraSettings

_PREFIX = b"Exif\x00\x00"
_GPS_DIRECTORY = 0x8825
_GPS_LATITUDE, _GPS_LONGITUDE = 2, 4

_MAIN, _PHOTO = piexif.ImageIFD, piexif.ExifIFD

# Tag 0x8827 has 16 bits; this value means that the speed is in another tag (section 4.6.5).
_ISO_OVERFLOW = 65535

FULL_FRAME_DIAGONAL_MM = math.hypot(36, 24)
_MM_PER_UNIT = {2: 25.4, 3: 10.0}  # FocalPlaneResolutionUnit: inch (the default), centimetre
_DEFAULT_UNIT = 2

# The focal plane resolution is correct for the camera's own pixels only. A file that was reduced
# later often keeps it and would then seem to come from a smaller sensor, so a sensor size computed
# from it is used only if cameras with such a sensor exist. Width and height in millimetres; common
# practice of camera makers, from memory.
_SENSORS_MM = (
    (53.4, 40.0),
    (43.8, 32.9),
    (36.0, 24.0),
    (28.7, 19.0),
    (23.6, 15.7),
    (22.3, 14.9),
    (17.3, 13.0),
    (13.2, 8.8),
)
_SENSOR_TOLERANCE_FRACTION = 0.03  # makers differ by that much in sensors of the same name

_SAME_RATIO = 0.012  # relative difference of two ratios of sides, by whole pixels of small copies
_LARGEST_APEX = 32  # 2^32 s or its inverse: a larger value can only be a broken field
_LONGEST_TEXT = 300  # characters; a field of free text may be of any length


@dataclass(frozen=True, slots=True)
class ExifFields:
    """The directories of EXIF that are used, by tag number.

    Attributes
    ----------
    main, photo, interoperability : dict
        Of the picture (TIFF tags), of the exposure and of the rules that the file follows; empty if
        there is no readable EXIF.
    has_gps : bool
        True if there is a latitude or a longitude.
    """

    main: dict[int, Any] = field(default_factory=dict)
    photo: dict[int, Any] = field(default_factory=dict)
    interoperability: dict[int, Any] = field(default_factory=dict)
    has_gps: bool = False


def read_exif(image: Image.Image) -> ExifFields:
    """Fields of an opened picture's EXIF block; none if the block is broken."""
    has_gps = _has_position(image)
    fields = fields_before_pixels(image)
    return replace(fields, has_gps=has_gps or fields.has_gps)


def fields_before_pixels(image: Image.Image) -> ExifFields:
    """Fields of a picture of which only the head was read; EXIF behind the pixels is not found."""
    block = _block(image)
    try:
        directories = piexif.load(block) if is_well_formed(block) else {}
    except Exception:  # piexif raises any error on a broken field
        return ExifFields()
    place = directories.get("GPS", {})
    main, photo, interoperability = (
        directories.get(name, {}) for name in ("0th", "Exif", "Interop")
    )
    has_gps = _GPS_LATITUDE in place or _GPS_LONGITUDE in place
    return ExifFields(main, photo, interoperability, has_gps)


def camera_settings(fields: ExifFields) -> CameraSettings:
    """The camera settings in EXIF; None for each that is missing or impossible."""
    main, photo = fields.main, fields.photo
    focal_length_mm = FOCAL_LENGTHS_MM.kept(positive(photo.get(_PHOTO.FocalLength)))
    return CameraSettings(
        make=text(main.get(_MAIN.Make)),
        model=text(main.get(_MAIN.Model)),
        lens=text(photo.get(_PHOTO.LensModel)),
        focal_length_mm=focal_length_mm,
        focal_length_35mm=FOCAL_LENGTHS_35MM_MM.kept(_focal_length_35mm(photo, focal_length_mm)),
        exposure_time_s=EXPOSURE_TIMES_S.kept(_exposure_time_s(photo)),
        f_number=F_NUMBERS.kept(_f_number(photo)),
        iso=_iso(photo),
        taken=_taken(fields),
        has_gps=fields.has_gps,
    )


def exposed_ratio(
    fields: ExifFields, stored_size: tuple[int, int], orientation: int
) -> float | None:
    """Ratio of the sides of the frame that the camera wrote, if the picture was cropped later.

    Programs that crop a picture often leave the size in EXIF as the camera wrote it.

    Parameters
    ----------
    fields : ExifFields
    stored_size : tuple of int
        Width and height of the picture in pixels before it is turned.
    orientation : int
        EXIF orientation of the stored frame, 1 to 8.

    Returns
    -------
    float or None
        Width over height as displayed; None without a size, and where it is the picture's own, of
        its shape, smaller, or longer than any camera's.
    """
    width, height = (
        next(iter(numbers(fields.photo.get(tag))), 0.0)
        for tag in (_PHOTO.PixelXDimension, _PHOTO.PixelYDimension)
    )
    if width <= 0 or height <= 0 or width * height < stored_size[0] * stored_size[1]:
        return None
    exposed = width / height
    if max(exposed, 1 / exposed) > MOST_ELONGATED:
        return None
    shapes = (exposed, 1 / exposed)  # a program may have turned the pixels
    if any(abs(s * stored_size[1] / stored_size[0] - 1) <= _SAME_RATIO for s in shapes):
        return None
    is_turned = turned_size((1, 2), orientation) != (1, 2)
    return 1 / exposed if is_turned else exposed


def text(value: object) -> str | None:
    """Text of a field, as UTF-8 if that is valid, else as Latin-1; None if it is empty.

    In EXIF, a NUL ends a text, and a NUL separates the two holders of a copyright.
    """
    if not isinstance(value, bytes):
        return None
    try:
        decoded = value.decode("utf-8")
    except UnicodeDecodeError:
        decoded = value.decode("latin-1")
    parts = ("".join(c for c in part if c.isprintable()).strip() for part in decoded.split("\0"))
    return ", ".join(part for part in parts if part)[:_LONGEST_TEXT] or None


def numbers(value: object) -> tuple[float, ...]:
    """Numbers of a field; empty if it has none.

    piexif gives an integer, a pair (numerator, denominator) or a tuple of either. A pair looks like
    two integers; `positive` is for fields that are known to be rational.
    """
    items = value if isinstance(value, tuple) else (value,)
    return tuple(float(item) for item in items if isinstance(item, int | float))


def positive(value: object) -> float | None:
    """The value of a rational field; None if it is not finite and greater than zero."""
    if not isinstance(value, tuple) or len(value) != 2:  # a rational is a pair
        return None
    pair = numbers(value)
    if len(pair) != len(value) or pair[1] == 0:
        return None
    ratio = pair[0] / pair[1]
    return ratio if ratio > 0 else None


def _block(image: Image.Image) -> bytes:
    block = image.info.get("exif")
    if not isinstance(block, bytes) and image.format == "TIFF":
        try:
            block = image.getexif().tobytes()
        except Exception:  # broken tags of the TIFF itself raise any error
            block = None
    return block.removeprefix(_PREFIX) if isinstance(block, bytes) else b""


def _has_position(image: Image.Image) -> bool:
    """True if Pillow finds a position; it reads blocks that piexif refuses."""
    try:
        place = image.getexif().get_ifd(_GPS_DIRECTORY)
    except Exception:  # Pillow raises any error on a broken field
        return False
    return _GPS_LATITUDE in place or _GPS_LONGITUDE in place


def _exposure_time_s(photo: dict[int, Any]) -> float | None:
    time_s = positive(photo.get(_PHOTO.ExposureTime))
    if time_s is not None:
        return time_s
    speed = _apex(photo.get(_PHOTO.ShutterSpeedValue))
    return None if speed is None else 2.0**-speed


def _f_number(photo: dict[int, Any]) -> float | None:
    f_number = positive(photo.get(_PHOTO.FNumber))
    if f_number is not None:
        return f_number
    aperture = _apex(photo.get(_PHOTO.ApertureValue))
    return None if aperture is None else 2.0 ** (aperture / 2)


def _apex(value: object) -> float | None:
    """An APEX value (annex C), which may be zero or negative."""
    pair = numbers(value)
    if len(pair) != 2 or pair[1] == 0:  # a rational is a pair
        return None
    ratio = pair[0] / pair[1]
    return ratio if abs(ratio) <= _LARGEST_APEX else None


def _iso(photo: dict[int, Any]) -> int | None:
    speed = next(iter(numbers(photo.get(_PHOTO.ISOSpeedRatings))), 0)
    if speed == _ISO_OVERFLOW:
        wide = (_PHOTO.RecommendedExposureIndex, _PHOTO.ISOSpeed)
        speed = next((n for tag in wide for n in numbers(photo.get(tag)) if n > 0), speed)
    return None if ISO_SPEEDS.kept(speed) is None else int(speed)


def _taken(fields: ExifFields) -> str | None:
    written = text(fields.photo.get(_PHOTO.DateTimeOriginal))
    written = written or text(fields.main.get(_MAIN.DateTime))
    try:
        taken = kept_time(datetime.strptime(written or "", "%Y:%m:%d %H:%M:%S"))
    except ValueError:
        return None
    return None if taken is None else taken.isoformat()


def _focal_length_35mm(photo: dict[int, Any], focal_length_mm: float | None) -> float | None:
    """Focal length that has the same diagonal angle of view on 36 by 24 mm.

    The tag's value is an integer, and 0 if unknown (section 4.6.5).
    """
    given = next(iter(numbers(photo.get(_PHOTO.FocalLengthIn35mmFilm))), 0.0)
    if given > 0:
        return given
    diagonal_mm = _sensor_diagonal_mm(photo)
    if focal_length_mm is None or diagonal_mm is None:
        return None
    return focal_length_mm * FULL_FRAME_DIAGONAL_MM / diagonal_mm


def _sensor_diagonal_mm(photo: dict[int, Any]) -> float | None:
    unit = next(iter(numbers(photo.get(_PHOTO.FocalPlaneResolutionUnit))), _DEFAULT_UNIT)
    mm_per_unit = _MM_PER_UNIT.get(int(unit))
    sides_mm = [
        _side_mm(photo.get(pixels), photo.get(resolution), mm_per_unit)
        for pixels, resolution in (
            (_PHOTO.PixelXDimension, _PHOTO.FocalPlaneXResolution),
            (_PHOTO.PixelYDimension, _PHOTO.FocalPlaneYResolution),
        )
    ]
    long_mm, short_mm = max(sides_mm), min(sides_mm)
    known = any(
        abs(long_mm / width - 1) <= _SENSOR_TOLERANCE_FRACTION
        and abs(short_mm / height - 1) <= _SENSOR_TOLERANCE_FRACTION
        for width, height in _SENSORS_MM
    )
    return math.hypot(long_mm, short_mm) if known else None


def _side_mm(pixels: object, resolution: object, mm_per_unit: float | None) -> float:
    """A sensor's side in millimetres; 0 if unknown."""
    n_pixels = next(iter(numbers(pixels)), 0.0)
    per_unit = positive(resolution)
    return n_pixels / per_unit * mm_per_unit if per_unit and mm_per_unit else 0.0
