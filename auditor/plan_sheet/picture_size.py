"""The size of a picture, as a person writes it."""

from __future__ import annotations

import re

from auditor.errors import UnusableArgumentError

# From a small preview to the largest camera; a picture of a narrower one is no use on set.
LEAST_SIDE_PX, MOST_SIDE_PX = 200, 20000
_SIZE = re.compile(r"\s*(\d{1,6})\s*[x\u00d7*]\s*(\d{1,6})\s*", re.IGNORECASE)


def size_from_text(text: str) -> tuple[int, int]:
    """Read width and height in pixels from ``"6000x4000"``.

    Raises
    ------
    UnusableArgumentError
        Where it is not written like that, or too small or too large.
    """
    written = _SIZE.fullmatch(text)
    if written is None:
        raise UnusableArgumentError(
            f"--size {text}: write width and height in pixels, as in 6000x4000"
        )
    width, height = int(written[1]), int(written[2])
    if min(width, height) < LEAST_SIDE_PX or max(width, height) > MOST_SIDE_PX:
        raise UnusableArgumentError(
            f"--size {text}: each side must be between {LEAST_SIDE_PX} and {MOST_SIDE_PX} pixels"
        )
    return width, height
