"""Check that an EXIF block contains what its directories announce.

piexif trusts every count in a directory: one damaged number can make it build a value of gigabytes.
So the directories are checked first, by the layout of TIFF 6.0 section 2, and a block with anything
that does not fit is not given to piexif.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

_BYTE_ORDERS = {b"II": "<", b"MM": ">"}
_HEADER_BYTES, _ENTRY_BYTES, _INLINE_BYTES = 8, 12, 4

# Bytes of one value of the field types 1 to 12 (TIFF 6.0 section 2).
_VALUE_BYTES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
# Tags whose value is the offset of another directory: EXIF, GPS, interoperability.
_DIRECTORY_TAGS = frozenset((0x8769, 0x8825, 0xA005))

_MOST_DIRECTORIES = 8  # the standard has five: the picture's, the thumbnail's and those three


def is_well_formed(block: bytes) -> bool:
    """True if every directory and every value lies within the block.

    Parameters
    ----------
    block : bytes
        Begins with the byte order mark, without ``Exif`` before it.
    """
    endian = _BYTE_ORDERS.get(block[:2])
    if endian is None or len(block) < _HEADER_BYTES:
        return False
    places = [int(struct.unpack_from(endian + "I", block, 4)[0])]
    for _ in range(_MOST_DIRECTORIES):
        if not places:
            return True
        try:
            places.extend(_checked_directory(block, places.pop(), endian))
        except (struct.error, ValueError):
            return False
    return False  # more directories than there can be: they point to each other in a circle


def _checked_directory(block: bytes, place: int, endian: str) -> Iterator[int]:
    """Offsets of the directories that this one points to; raises if a value does not fit."""
    (n_entries,) = struct.unpack_from(endian + "H", block, place)
    for start in range(place + 2, place + 2 + n_entries * _ENTRY_BYTES, _ENTRY_BYTES):
        tag, kind, count, value = struct.unpack_from(endian + "HHII", block, start)
        n_bytes = _VALUE_BYTES.get(kind, len(block)) * count
        if n_bytes > len(block) or (n_bytes > _INLINE_BYTES and value >= len(block)):
            raise ValueError("a value lies outside the block")
        if tag in _DIRECTORY_TAGS:
            yield value
    end = place + 2 + n_entries * _ENTRY_BYTES
    following = int.from_bytes(block[end : end + 4], "little" if endian == "<" else "big")
    if following and place == struct.unpack_from(endian + "I", block, 4)[0]:
        yield following
