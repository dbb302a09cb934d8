"""Which pictures of a folder have an area that their camera writes into every picture.

Phones write a SubjectArea whether or not anybody has pointed at something. An area that returns in
at least half of a camera's pictures says nothing about any of them. Areas are compared as they are
written and as fractions of the frame, as it is stored and as it would lie turned by 90 degrees:
some programs turn the pixels of a picture and leave the area as it was.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
import piexif
from numpy.typing import NDArray

from auditor.photograph.camera_areas import CameraArea, camera_areas
from auditor.photograph.decoder import opened_head
from auditor.photograph.exif import fields_before_pixels, text

MIN_N_PICTURES = 3  # with one area: two may be of one thing from one stand. No source
MIN_SHARE = 0.5  # of the camera's pictures; in some the photographer pointed at a thing. No source
SAME_FRACTION = 0.01  # of the frame: more than rounding to pixels in small copies. No source


class CameraHead(NamedTuple):
    """What the head of a picture says of its camera.

    Attributes
    ----------
    make, model : str or None
    area : CameraArea or None
        The first area that the camera wrote.
    """

    make: str | None = None
    model: str | None = None
    area: CameraArea | None = None


def read_head(folder: Path, file: str) -> CameraHead:
    """What the head of a file says; nothing if it cannot be read."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of odd metadata, which measuring reads again
            with opened_head(folder / file) as image:
                fields, size = fields_before_pixels(image), image.size
    except Exception:  # measuring will say what is wrong with the file
        return CameraHead()
    make, model = (
        text(fields.main.get(tag)) for tag in (piexif.ImageIFD.Make, piexif.ImageIFD.Model)
    )
    return CameraHead(make, model, next(iter(camera_areas(fields, *size)), None))


def default_areas(heads: Mapping[str, CameraHead]) -> frozenset[str]:
    """The pictures of which EXIF names an area that their camera writes into every picture.

    Parameters
    ----------
    heads : mapping of str to CameraHead
        Of the pictures of one folder, by file.
    """
    if len(heads) < MIN_N_PICTURES:
        return frozenset()
    of_camera: dict[object, list[tuple[str, CameraArea | None]]] = {}
    for file, head in heads.items():
        of_camera.setdefault((head.make, head.model), []).append((file, head.area))
    return frozenset(file for pictures in of_camera.values() for file in _defaults(pictures))


def _defaults(pictures: Sequence[tuple[str, CameraArea | None]]) -> Iterator[str]:
    """Those of one camera's pictures whose area returns in enough of the others."""
    named = [(file, area) for file, area in pictures if area is not None]
    least = max(MIN_N_PICTURES, MIN_SHARE * len(pictures))
    if len(named) < least:
        return
    lying = np.array([_fractions(area) for _, area in named])
    for file, area in named:
        is_same = np.array([other.written == area.written for _, other in named])
        for way in _fractions(area):
            apart = np.abs(lying - way).max(axis=-1)
            is_same |= apart.min(axis=-1) <= SAME_FRACTION
        if np.count_nonzero(is_same) >= least:
            yield file


def _fractions(area: CameraArea) -> NDArray[np.float64]:
    """Centre and size, (2, 4): as fractions of the frame as stored and turned by 90 degrees."""
    frame = (area.width, area.height)
    turned = frame[::-1]
    return np.array([[*area.centre, *area.size] / np.array(sides * 2) for sides in (frame, turned)])
