"""A page that holds its pictures, so that it can be sent as one file."""

from __future__ import annotations

import re
from base64 import b64encode
from collections import Counter
from io import BytesIO
from pathlib import Path

from PIL import Image

from auditor.output.previews import PICTURES_FOLDER, SMALL_SIDE_PX, SMALL_SUFFIX

# A large picture stands on the page twice or more: as it is, then with marks, then with a crop.
# Sizes in pixels of the longer side; our choice, no source.
FIRST_SIDE_PX = 720  # fills half of a screen of 1440 at one device pixel a unit
SECOND_SIDE_PX = 560  # it is shown in greys under lines
MOST_WHOLE = 60  # of so many pictures the first is taken as it is, about 1024 px; 150 kB each
QUALITY = 78  # a fifth smaller than the previews; no visible loss at these sizes

_ADDRESS = re.compile(
    rf'(?<=\ssrc="){re.escape(PICTURES_FOLDER)}/([0-9]{{4,}}-[a-z0-9-]+\.jpg)(?=")'
)


def pictures_inside(page: str, pictures: Path) -> str:
    """Put the pictures of a page into it, as ``data:`` addresses.

    Parameters
    ----------
    page : str
        HTML that points at its pictures as ``src="pictures/0001-dish.jpg"``.
    pictures : Path
        The folder of the previews.

    Returns
    -------
    str
        About 150 kB a picture; one picture is in work at a time. The address of a picture that is
        lost, or that cannot be read, stays as it is.
    """
    names = set(_ADDRESS.findall(page))
    n_large = sum(not _is_small(name) for name in names)
    sides = {1: None if n_large <= MOST_WHOLE else FIRST_SIDE_PX, 2: SECOND_SIDE_PX}
    times: Counter[str] = Counter()

    def inside(found: re.Match[str]) -> str:
        name = found[1]
        times[name] += 1
        side = sides.get(times[name], SMALL_SIDE_PX)
        try:
            jpeg = _small(pictures / name) if _is_small(name) else _large(pictures / name, side)
        except OSError:
            return found[0]
        return _address(jpeg)

    return _ADDRESS.sub(inside, page)


def _is_small(name: str) -> bool:
    return name.endswith(f"{SMALL_SUFFIX}.jpg")


def _small(path: Path) -> bytes:
    """The picture of the contact sheet, or one made from the larger where it is lost."""
    if path.is_file():
        return path.read_bytes()
    larger = path.with_name(path.name.removesuffix(f"{SMALL_SUFFIX}.jpg") + ".jpg")
    return _reduced(larger, SMALL_SIDE_PX)


def _large(path: Path, side: int | None) -> bytes:
    return path.read_bytes() if side is None else _reduced(path, side)


def _reduced(path: Path, side: int) -> bytes:
    with Image.open(path) as picture:
        reduced = picture.convert("RGB")
    reduced.thumbnail((side, side), Image.Resampling.LANCZOS)
    data = BytesIO()
    reduced.save(data, format="JPEG", quality=QUALITY, optimize=True, progressive=True)
    return data.getvalue()


def _address(jpeg: bytes) -> str:
    return f"data:image/jpeg;base64,{b64encode(jpeg).decode('ascii')}"
