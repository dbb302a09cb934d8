"""One decoded picture with its metadata: the input of all measurements."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box


@dataclass(frozen=True, slots=True)
class CameraSettings:
    """The camera settings in EXIF (CIPA DC-008); None for each that is missing.

    A geographic position is never kept: `has_gps` is True if the file contains one. `exposed_ratio`
    is the width over the height, as displayed, of the frame that the camera wrote; None if it is
    unknown or the picture still has it.
    """

    make: str | None = None
    model: str | None = None
    lens: str | None = None
    focal_length_mm: float | None = None
    focal_length_35mm: float | None = None
    exposure_time_s: float | None = None
    f_number: float | None = None
    iso: int | None = None
    taken: str | None = None
    has_gps: bool = False
    exposed_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class ImageRegion:
    """A region of the picture named in its metadata, in the frame as displayed.

    Attributes
    ----------
    box : Box
        Fractions of the displayed frame.
    source : str
        ``"EXIF SubjectArea"``, ``"EXIF SubjectLocation"``, ``"MWG region"`` or ``"IPTC region"``.
    name : str or None
        As written in the metadata.
    is_point : bool
        True if the metadata give a position without a size (the box is then empty).
    """

    box: Box
    source: str
    name: str | None = None
    is_point: bool = False

    @property
    def is_by_camera(self) -> bool:
        """True if a camera wrote it; people and programs use the other standards."""
        return self.source.startswith("EXIF")


@dataclass(frozen=True, slots=True)
class Photograph:
    """A decoded picture.

    Attributes
    ----------
    file : str
        Path relative to the folder, with ``/``.
    width, height : int
        Full size in pixels as displayed (after the EXIF orientation).
    sha256 : str
        Of the file's bytes, hexadecimal.
    colour_profile : str
        Name of the embedded profile; without one the encoding that the file states and where, as
        ``"Adobe RGB (1998) (EXIF, R03)"``, or ``"sRGB (assumed)"``.
    camera : CameraSettings
    regions : tuple of ImageRegion
        The subjects of the picture according to its metadata.
    creator, copyright : str or None
    pixels : (H, W, 3) uint8 array
        sRGB as displayed, longest side at most `WORKING_SIDE_PX`.
    detail : (H, W, 3) uint8 array
        The same picture with more pixels, longest side at most `DETAIL_SIDE_PX`, for sharpness.
    undecoded_fraction : float
        Share of a JPEG that its decoder made up because the data are missing, in [0, 1].
    """

    file: str
    width: int
    height: int
    sha256: str
    colour_profile: str
    camera: CameraSettings
    regions: tuple[ImageRegion, ...]
    creator: str | None
    copyright: str | None
    pixels: NDArray[np.uint8]
    detail: NDArray[np.uint8]
    undecoded_fraction: float = 0.0


WORKING_SIDE_PX = 1024  # enough for every measurement but sharpness: a rim is still 100 px wide
DETAIL_SIDE_PX = 4096  # more than half the long side of a 36-megapixel frame, so seen at 50 %
