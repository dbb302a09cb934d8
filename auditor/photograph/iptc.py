"""Read the two IPTC-IIM datasets that name a creator and a copyright holder.

IPTC-NAA Information Interchange Model 4.2, section 1.6: each dataset is the byte 1C, the record,
the number, a length of two bytes and the content. If the top bit of the length is set, its other
bits give the number of bytes of the actual length, which follows.
"""

from __future__ import annotations

from collections.abc import Iterator

from PIL import Image

BY_LINE, COPYRIGHT_NOTICE = (2, 80), (2, 116)

_MARK = 0x1C
_EXTENDED = 0x8000
_JPEG_RESOURCE = 0x0404  # the image resource with IIM in a JPEG's APP13
_TIFF_IPTC = 33723


def read_iptc(image: Image.Image) -> dict[tuple[int, int], bytes]:
    """First content of each dataset, by record and number; empty if there is none."""
    block = _block(image)
    if not isinstance(block, bytes):
        return {}
    datasets: dict[tuple[int, int], bytes] = {}
    for key, content in _datasets(block):
        datasets.setdefault(key, content)
    return datasets


def all_contents(image: Image.Image) -> dict[tuple[int, int], list[bytes]]:
    """Every content of each dataset, such as each keyword, in order; empty if there is none."""
    block = _block(image)
    contents: dict[tuple[int, int], list[bytes]] = {}
    for key, content in _datasets(block) if isinstance(block, bytes) else ():
        contents.setdefault(key, []).append(content)
    return contents


def _block(image: Image.Image) -> object:
    resources = image.info.get("photoshop")
    if isinstance(resources, dict):
        return resources.get(_JPEG_RESOURCE)
    tags = getattr(image, "tag_v2", None)
    return None if tags is None else tags.get(_TIFF_IPTC)


def _datasets(block: bytes) -> Iterator[tuple[tuple[int, int], bytes]]:
    position = 0
    while position + 5 <= len(block) and block[position] == _MARK:
        key = (block[position + 1], block[position + 2])
        length = int.from_bytes(block[position + 3 : position + 5], "big")
        position += 5
        if length & _EXTENDED:
            n_length_bytes = length - _EXTENDED
            length = int.from_bytes(block[position : position + n_length_bytes], "big")
            position += n_length_bytes
        yield key, block[position : position + length]
        position += length
