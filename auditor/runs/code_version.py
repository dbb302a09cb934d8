"""The version of everything that a measurement depends on besides the picture itself."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

# Folders and modules of this package from which pictures are read and measured. A test compares
# them with what these import.
MEASURING_ROOMS = (
    "accepted.py",
    "colorimetry",
    "colour_signature",
    "connected.py",
    "errors.py",
    "geometry.py",
    "golden_spiral.py",
    "line_segments",
    "mask_axis.py",
    "measurements",
    "numpy_parts.py",
    "photograph",
    "quantity.py",
    "reasons.py",
    "regular_file.py",
    "safe_text.py",
    "saliency",
    "vocabulary",
)
MEASURING_LIBRARIES = (
    "defusedxml",
    "numpy",
    "piexif",
    "pillow",
    "pillow-heif",
    "scikit-image",
    "scipy",
)

# What changes a picture before it is measured once more.
CORRECTING_ROOMS = ("corrections",)

# What makes the small pictures.
PREVIEW_ROOMS = ("output/previews.py",)

# What looks at files for the rules of a hand-over.
EXAMINING_ROOMS = (
    "delivery/examining.py",
    "delivery/file_facts.py",
    "delivery/halos.py",
    "delivery/metadata.py",
)

# Code that makes weights is not run by a measurement; the weights themselves are read.
_NOT_READ = frozenset(("__pycache__", "training"))


@cache
def code_version() -> str:
    """Digest of the code, the weights and tables beside it, and the versions of the libraries."""
    digest = _digest_of(MEASURING_ROOMS)
    for library in MEASURING_LIBRARIES:
        digest.update(f"{library} {_version(library)}".encode())
    return digest.hexdigest()


@cache
def correcting_version() -> str:
    """Version of a picture that was changed and measured again."""
    return _version_with(CORRECTING_ROOMS)


@cache
def preview_version() -> str:
    """Version of a small picture."""
    return _version_with(PREVIEW_ROOMS)


@cache
def corrected_version() -> str:
    """Version of a small picture of a changed picture."""
    return _version_with((*CORRECTING_ROOMS, *PREVIEW_ROOMS))


@cache
def examining_version() -> str:
    """Version of what was found in a file for the rules of a hand-over."""
    return _version_with(EXAMINING_ROOMS)


def _version_with(rooms: Sequence[str]) -> str:
    """Digest of some rooms and of all that they stand on."""
    digest = _digest_of(rooms)
    digest.update(code_version().encode())
    return digest.hexdigest()


def _digest_of(rooms: Sequence[str]) -> hashlib._Hash:
    digest = hashlib.sha256()
    root = Path(__file__).parents[1]
    for file in sorted(path for room in rooms for path in _files(root / room)):
        digest.update(file.relative_to(root).as_posix().encode())
        digest.update(file.read_bytes())
    return digest


def _files(room: Path) -> list[Path]:
    if room.is_file():
        return [room]
    return [
        path
        for path in room.rglob("*")
        if path.is_file() and not _NOT_READ.intersection(path.relative_to(room).parts)
    ]


def _version(library: str) -> str:
    """An optional library that is not installed has no version."""
    try:
        return version(library)
    except PackageNotFoundError:
        return "not installed"
