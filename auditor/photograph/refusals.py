"""Explain to the photographer why a decoder failed."""

from __future__ import annotations

from PIL import Image, UnidentifiedImageError

from auditor.errors import UnreadablePictureError
from auditor.photograph.containers import TIFF, declared_size_px, is_cut_short
from auditor.photograph.file_bytes import Content
from auditor.reasons import RefusalReason

# What Pillow says where the memory was full: in its reader, and its number in that of libtiff.
_OUT_OF_MEMORY = ("out of memory", "decoder error -9")


def too_little_memory() -> UnreadablePictureError:
    """The refusal of a picture that needs more memory than there is to read or measure it."""
    return UnreadablePictureError(
        RefusalReason.TOO_LARGE,
        "The picture needs more memory than there is to decode and measure it; close other programs"
        " or use fewer processes (--jobs), or export it smaller.",
    )


def refusal_after(error: Exception, data: Content, kind: str) -> UnreadablePictureError:
    """The refusal of a file that a decoder could not decode.

    Parameters
    ----------
    error : Exception
        What the decoder raised.
    data : Content
        The file.
    kind : str
        As `auditor.photograph.containers.recognise` named it.
    """
    is_bomb = isinstance(error, MemoryError | Image.DecompressionBombError)
    if is_bomb or any(words in str(error) for words in _OUT_OF_MEMORY):
        return too_little_memory()
    size = declared_size_px(data, kind)
    if size is not None and min(size) == 0:
        return UnreadablePictureError(
            RefusalReason.NO_PIXELS,
            "The file describes a picture that is 0 pixels wide or high; export it again.",
        )
    if is_cut_short(data, kind) or "truncated" in str(error).lower():
        return UnreadablePictureError(
            RefusalReason.TRUNCATED,
            "The file ends before the picture does, as after an interrupted copy; "
            "copy or export it again.",
        )
    if kind == TIFF and size is not None and isinstance(error, UnidentifiedImageError):
        return UnreadablePictureError(
            RefusalReason.UNSUPPORTED,
            "This layout of TIFF (its bits, channels or compression) is not read here; "
            "export it again as TIFF with 8 or 16 bits per channel, or as JPEG.",
        )
    return UnreadablePictureError(
        RefusalReason.DAMAGED,
        f"The {kind} picture's data is damaged ({_message_of(error)}); copy or export it again.",
    )


def _message_of(error: Exception) -> str:
    """The decoder's own message, unless it is empty or about the inside of a program."""
    message = str(error).strip()
    is_internal = "object at 0x" in message or not isinstance(error, OSError | SyntaxError)
    return "it cannot be decoded" if not message or is_internal else message
