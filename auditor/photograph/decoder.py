"""The calls of the decoders: the only code whose errors mean that the file is damaged.

A damaged file can raise nearly any error in a decoder, so all errors of these calls refuse the
picture. Our own code is outside: an error in it must not be blamed on the picture.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph.containers import (
    AVIF,
    HEAD_BYTES,
    HEIF,
    JPEG,
    PNG,
    TIFF,
    declared_size_px,
    png_without_metadata,
    recognise,
)
from auditor.photograph.decoder_messages import decoder_messages_logged
from auditor.photograph.file_bytes import Content, FileBytes
from auditor.photograph.memory_limit import refuse_costly, refuse_costly_frame
from auditor.photograph.orientation import orientation_of
from auditor.photograph.pillow_limits import pillow_limits_raised
from auditor.photograph.refusals import refusal_after
from auditor.reasons import RefusalReason
from auditor.regular_file import open_regular

# Kinds whose decoders write to standard error.
_WITH_MESSAGES = frozenset((TIFF, AVIF, HEIF))

# Codecs of libtiff that go on after an error: they only report it, and Pillow raises nothing.
_ONLY_REPORTED = ("Fax", "JPEGLib: ")

# Pillow logs errors about heads of files. Without any handler Python would write them to standard
# error; they still reach every handler that a program sets.
logging.getLogger("PIL").addHandler(logging.NullHandler())


@contextmanager
def opened(data: Content, kind: str) -> Iterator[Image.Image]:
    """The picture with its header read and nothing decoded yet.

    Parameters
    ----------
    data : Content
        The file.
    kind : str
        As `auditor.photograph.containers.recognise` named it.

    Raises
    ------
    UnreadablePictureError
        The header cannot be read, the library that reads it is not installed, or it would take too
        much memory for the size that the header declares.
    """
    with refusing_what_fails(data, kind):
        # Some libraries take memory for the pixels as soon as they are opened.
        refuse_costly_frame(declared_size_px(data, kind) or (0, 0), kind, data)
        image = _open(data.stream if isinstance(data, FileBytes) else io.BytesIO(data), kind)
    with image:
        yield image


@contextmanager
def opened_head(path: Path) -> Iterator[Image.Image]:
    """A picture on the disk with its header read, and little more of the file than that.

    This runs outside the measuring processes, so that only containers are opened that Pillow reads
    in Python: a broken file could end a library of another language, and the audit with it.

    Raises
    ------
    Exception
        Any error of a decoder or of the disk; ValueError if the file is no such picture.
    """
    with open_regular(path) as stream:
        kind = recognise(stream.read(HEAD_BYTES))
        if kind not in (JPEG, PNG, TIFF):
            raise ValueError("not a picture whose header Pillow reads")
        stream.seek(0)
        with _open(stream, kind) as image:
            yield image


def load(
    image: Image.Image, data: Content, kind: str, *, size_px: tuple[int, int], file: str
) -> int:
    """Decode the pixels of an opened picture.

    Parameters
    ----------
    image : Image
    data, kind : Content, str
        As for `opened`.
    size_px : tuple of int
        Width and height that are enough; a JPEG may be decoded at half the size or less, down to
        this one.
    file : str
        Name for the log.

    Returns
    -------
    int
        EXIF orientation of the stored frame, 1 to 8.

    Raises
    ------
    UnreadablePictureError
        The pixels cannot be decoded, or that would take too much memory.
    """
    size = image.size
    if kind == JPEG:
        image.draft(None, size_px)
    refuse_costly(image, size, kind, data)
    if kind not in _WITH_MESSAGES:
        with pillow_limits_raised():
            return _load(image, data, kind)
    with pillow_limits_raised(), decoder_messages_logged(file) as messages:
        orientation = _load(image, data, kind)
    reported = next((line for line in messages if line.startswith(_ONLY_REPORTED)), None)
    if reported is not None:
        raise refusal_after(OSError(reported.partition(": ")[2]), data, kind)
    return orientation


def _load(image: Image.Image, data: Content, kind: str) -> int:
    if kind == TIFF:
        # Before the pixels: a TIFF turns itself while it is loaded and forgets how.
        orientation = orientation_of(image)
        with refusing_what_fails(data, kind):
            image.load()
        return orientation
    with refusing_what_fails(data, kind):
        if kind == PNG:
            _load_png(image, data)
        else:
            image.load()
    # After the pixels: to look for EXIF in a PNG, Pillow decodes all of it. `orientation_of` would
    # hide the error of a damaged one, and Pillow does not raise it a second time.
    return orientation_of(image)


def _load_png(image: Image.Image, data: Content) -> None:
    """Decode a PNG; metadata behind its pixels may be broken, the pixels may not."""
    try:
        image.load()
    except MemoryError:
        raise
    except Exception:
        _compare_with_pixels_alone(image, data)
    else:
        # The first frame of an animation may be smaller than the picture that the header declares.
        if getattr(image, "is_animated", False):
            _compare_with_pixels_alone(image, data)


def _compare_with_pixels_alone(image: Image.Image, data: Content) -> None:
    """Raise an error unless a PNG without its metadata and later frames has the same pixels."""
    with _open(io.BytesIO(png_without_metadata(data[:])), PNG) as pixels:
        pixels.load()
        image.load()
        # Pillow may have stopped before the last row, and does not say so a second time.
        if image.mode != pixels.mode or image.tobytes() != pixels.tobytes():
            raise OSError("its pixels end early")


@contextmanager
def refusing_what_fails(data: Content, kind: str) -> Iterator[None]:
    """Any error of a decoder's call in this block refuses the picture."""
    try:
        yield
    except UnreadablePictureError:
        raise
    except Exception as error:
        raise refusal_after(error, data, kind) from error


def _open(stream: IO[bytes], kind: str) -> Image.Image:
    if kind == HEIF:
        return _open_heif(stream)
    with pillow_limits_raised():
        return Image.open(stream, formats=(kind,))


def _open_heif(stream: IO[bytes]) -> Image.Image:
    try:
        from pillow_heif import HeifImageFile
    except ImportError as error:
        raise UnreadablePictureError(
            RefusalReason.UNSUPPORTED,
            "HEIC pictures need an addition to this program: pip install auditor[heif]",
        ) from error
    image: Image.Image = HeifImageFile(stream)
    return image
