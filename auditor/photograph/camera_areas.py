"""Areas of EXIF that tell where the subject is: SubjectArea and SubjectLocation (CIPA DC-008)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import piexif

from auditor.photograph.exif import ExifFields, numbers

# Fractions of the frame's sides. Phones write by default an area of about 0.55 by 0.44 in the
# middle of the frame (from memory); an area that a finger points at is smaller.
CENTRAL_TOLERANCE = 0.02
CENTRAL_SIDE = 0.3

_CIRCLE_VALUES, _RECTANGLE_VALUES, _POINT_VALUES = 3, 4, 2  # SubjectArea, CIPA DC-008 4.6.5


@dataclass(frozen=True, slots=True)
class CameraArea:
    """An area that a camera wrote into EXIF.

    Attributes
    ----------
    source : str
        As for `ImageRegion`.
    written : tuple of float
        Centre, then nothing, a diameter, or width and height; in pixels.
    width, height : float
        Of the frame that the camera wrote, in pixels.
    """

    source: str
    written: tuple[float, ...]
    width: float
    height: float

    @property
    def centre(self) -> tuple[float, float]:
        """In pixels."""
        return (self.written[0], self.written[1])

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in pixels; 0 for a point."""
        extent = self.written[2:] or (0.0,)
        return (extent[0], extent[-1])

    @property
    def is_central_default(self) -> bool:
        """True if nobody need have pointed at anything: a large area in the middle of the frame.

        It may lie in a frame turned by 90 degrees: some programs turn the pixels and leave it.
        """
        frame = (self.width, self.height)
        return any(
            all(
                abs(at / side - 0.5) <= CENTRAL_TOLERANCE and extent / side >= CENTRAL_SIDE
                for at, extent, side in zip(self.centre, self.size, sides, strict=True)
            )
            for sides in (frame, frame[::-1])
        )


def camera_areas(fields: ExifFields, width: int, height: int) -> Iterator[CameraArea]:
    """Areas of EXIF: pixels of the frame that the camera wrote, from its upper left corner.

    Parameters
    ----------
    fields : ExifFields
    width, height : int
        Size of the stored frame, which holds where the camera's own is not given.
    """
    photo = fields.photo
    sides = (
        next(iter(numbers(photo.get(piexif.ExifIFD.PixelXDimension))), 0) or width,
        next(iter(numbers(photo.get(piexif.ExifIFD.PixelYDimension))), 0) or height,
    )
    area = numbers(photo.get(piexif.ExifIFD.SubjectArea))
    if len(area) in (_POINT_VALUES, _CIRCLE_VALUES, _RECTANGLE_VALUES):
        yield CameraArea("EXIF SubjectArea", area, *sides)
    location = numbers(photo.get(piexif.ExifIFD.SubjectLocation))
    if len(location) == _POINT_VALUES:
        yield CameraArea("EXIF SubjectLocation", location, *sides)
