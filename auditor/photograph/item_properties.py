"""The colour properties of the main picture in an AVIF or HEIC file.

ISO/IEC 14496-12 (boxes, ``colr``) and ISO/IEC 23008-12 (``pitm``, ``iprp``). Only what leads to the
colour code points is read; the decoder reads the rest.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

_FULL_BOX_BYTES = 4  # version and flags
_CODE_POINTS = b"nclx"


def code_points(data: bytes) -> tuple[int, int] | None:
    """ColourPrimaries and TransferCharacteristics of the main picture; None without them."""
    try:
        return _code_points(memoryview(data))
    except (struct.error, IndexError):
        return None


def _code_points(data: memoryview) -> tuple[int, int] | None:
    meta = _first(data, b"meta")
    if meta is None:
        return None
    meta = meta[_FULL_BOX_BYTES:]
    main, properties = _first(meta, b"pitm"), _first(meta, b"iprp")
    if main is None or properties is None:
        return None
    item = struct.unpack_from(">H" if main[0] == 0 else ">I", main, _FULL_BOX_BYTES)[0]
    container, associations = _first(properties, b"ipco"), _first(properties, b"ipma")
    if container is None or associations is None:
        return None
    known = list(_boxes(container))
    for index in _property_indices(associations, item):
        kind, content = known[index - 1] if 0 < index <= len(known) else (b"", data[:0])
        if kind == b"colr" and bytes(content[:4]) == _CODE_POINTS:
            primaries, transfer = struct.unpack_from(">HH", content, 4)
            return (primaries, transfer)
    return None


def _property_indices(associations: memoryview, wanted: int) -> Iterator[int]:
    """Indices, from 1, of the properties of one item (``ipma``)."""
    version, has_wide_indices = associations[0], associations[3] & 1
    item_layout = ">I" if version else ">H"
    (n_entries,) = struct.unpack_from(">I", associations, _FULL_BOX_BYTES)
    place = _FULL_BOX_BYTES + 4
    for _ in range(n_entries):
        (item,) = struct.unpack_from(item_layout, associations, place)
        place += struct.calcsize(item_layout)
        n_properties = associations[place]
        layout = f">{n_properties}{'H' if has_wide_indices else 'B'}"
        values = struct.unpack_from(layout, associations, place + 1)
        place += 1 + struct.calcsize(layout)
        if item == wanted:
            # The upper bit says whether a reader must know the property.
            yield from (value & (0x7FFF if has_wide_indices else 0x7F) for value in values)


def _first(data: memoryview, kind: bytes) -> memoryview | None:
    return next((content for found, content in _boxes(data) if found == kind), None)


def _boxes(data: memoryview) -> Iterator[tuple[bytes, memoryview]]:
    """Type and content of each box; ends at one that does not fit."""
    start = 0
    while start + 8 <= len(data):
        size, kind = struct.unpack_from(">I4s", data, start)
        head = 8
        if size == 1:
            (size,) = struct.unpack_from(">Q", data, start + 8)
            head = 16
        end = len(data) if size == 0 else start + size
        if end < start + head or end > len(data):
            return
        yield kind, data[start + head : end]
        start = end
