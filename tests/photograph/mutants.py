"""Damage files in many ways, each time the same with the same seed."""

from __future__ import annotations

import struct
from collections.abc import Callable, Mapping

import numpy as np

from tests.photograph.pictures import with_checksums

Random = np.random.Generator
_HEAD_BYTES = 700
_EXTREME = (0, 1, 0x7F, 0x80, 0xFF, 0x7FFF, 0x8000, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF)
_SIZES = (0, 1, 2, 47, 255, 4096, 17_000, 30_000, 65_000, 65_535, 400_000, 2**31 - 1, 2**32 - 1)
_METADATA = (b"Exif\0\0", b"<x:xmpmeta", b"acsp", b"8BIM", b"http://ns.adobe.com", b"MPF\0")
_BOXES_OF_SIZE = (b"ispe", b"pixi", b"clap", b"irot", b"ipma", b"iloc", b"iinf", b"pitm", b"colr")


def _place(random: Random, data: bytes | bytearray, below: int | None = None) -> int:
    return int(random.integers(min(len(data), below or len(data))))


def _flipped(random: Random, data: bytes, below: int | None = None) -> bytes:
    changed = bytearray(data)
    for _ in range(random.integers(1, 9)):
        changed[_place(random, data, below)] ^= 1 << int(random.integers(8))
    return bytes(changed)


def _flipped_in_head(random: Random, data: bytes) -> bytes:
    return _flipped(random, data, _HEAD_BYTES)


def _truncated(random: Random, data: bytes) -> bytes:
    return data[: _place(random, data)]


def _blocks_swapped(random: Random, data: bytes) -> bytes:
    length = int(random.integers(1, max(2, min(4096, len(data) // 4))))
    first, second = sorted(_place(random, data) for _ in range(2))
    second = max(second, first + length)
    return (
        data[:first]
        + data[second : second + length]
        + data[first + length : second]
        + data[first : first + length]
        + data[second + length :]
    )


def _inserted(random: Random, data: bytes) -> bytes:
    place = _place(random, data)
    return data[:place] + random.bytes(int(random.integers(1, 300))) + data[place:]


def _lost(random: Random, data: bytes) -> bytes:
    place = _place(random, data)
    return data[:place] + data[place + int(random.integers(1, 5000)) :]


def _overwritten(random: Random, data: bytes) -> bytes:
    place, length = _place(random, data), int(random.integers(1, 3000))
    byte = random.choice(np.array([0, 255, 128, -1]))
    new = random.bytes(length) if byte < 0 else bytes((int(byte),)) * length
    return data[:place] + new[: len(data) - place] + data[place + length :]


def _extreme_number(random: Random, data: bytes) -> bytes:
    layout = str(random.choice(["<H", ">H", "<I", ">I"]))
    length = struct.calcsize(layout)
    value = int(random.choice(np.array(_EXTREME))) % (1 << 8 * length)
    place = _place(random, data, _HEAD_BYTES if random.random() < 0.8 else None)
    return data[:place] + struct.pack(layout, value) + data[place + length :]


def _metadata_changed(random: Random, data: bytes) -> bytes:
    places = [data.find(mark) for mark in _METADATA]
    places = [place for place in places if place >= 0]
    if not places:
        return _extreme_number(random, data)
    start = int(random.choice(np.array(places)))
    changed = _flipped(random, data[start : start + 400])
    if random.random() < 0.5:
        changed = _extreme_number(random, changed)[: len(changed)]
    return _right_checksums(data[:start] + changed + data[start + len(changed) :])


def _lying_size(random: Random, data: bytes) -> bytes:
    """Another width, height or number of bits where the kind of file has them."""
    width, height = (int(random.choice(np.array(_SIZES))) for _ in range(2))
    changed = bytearray(data)
    if data[:2] == b"\xff\xd8":
        frame = next((data.find(mark) for mark in (b"\xff\xc0", b"\xff\xc2") if mark in data), 0)
        struct.pack_into(">HH", changed, frame + 5, height & 0xFFFF, width & 0xFFFF)
    elif data[1:4] == b"PNG":
        struct.pack_into(">II", changed, 16, width, height)
        if random.random() < 0.3:
            changed[24 + int(random.integers(5))] = int(random.choice(np.array([0, 1, 3, 8, 16])))
    elif data[:2] in (b"II", b"MM"):
        return _lying_tiff(random, data)
    elif data[:4] == b"RIFF" and b"VP8X" in data[:40]:
        changed[24:27] = (width & 0xFFFFFF).to_bytes(3, "little")
        changed[27:30] = (height & 0xFFFFFF).to_bytes(3, "little")
    elif data[:4] == b"RIFF":
        struct.pack_into("<HH", changed, 26, width & 0xFFFF, height & 0xFFFF)
    else:
        box = str(random.choice([name.decode() for name in _BOXES_OF_SIZE])).encode()
        place = data.find(box)
        if place >= 0:
            struct.pack_into(">II", changed, min(place + 8, len(data) - 8), width, height)
    return _right_checksums(bytes(changed))


def _lying_tiff(random: Random, data: bytes) -> bytes:
    """One entry of the first directory gets another type, number or value."""
    order = "<" if data[:2] == b"II" else ">"
    (directory,) = struct.unpack_from(order + "I", data, 4)
    (n_entries,) = struct.unpack_from(order + "H", data, directory)
    entry = directory + 2 + 12 * int(random.integers(n_entries))
    changed = bytearray(data)
    match int(random.integers(4)):
        case 0:
            struct.pack_into(order + "H", changed, entry + 2, int(random.integers(0, 20)))
        case 1:
            count = int(random.choice(np.array(_EXTREME)))
            struct.pack_into(order + "I", changed, entry + 4, count)
        case 2:  # also an offset of strips, or a directory that leads to itself
            places = (*_SIZES, directory, 8, len(data) - 4)
            struct.pack_into(order + "I", changed, entry + 8, int(random.choice(np.array(places))))
        case _:
            tag = int(random.choice(np.array([256, 257, 258, 259, 262, 273, 277, 278, 279, 284])))
            struct.pack_into(order + "H", changed, entry, tag)
    return bytes(changed)


def _damage_under_right_checksums(random: Random, data: bytes) -> bytes:
    change = (_flipped, _lost, _overwritten)[int(random.integers(3))]
    return _right_checksums(change(random, data))


def _segment_repeated(random: Random, data: bytes) -> bytes:
    """A part of the file many times over: scans of a JPEG, chunks, boxes, frames."""
    start = _place(random, data)
    if data[:2] == b"\xff\xd8" and random.random() < 0.5:
        start = max(0, data.find(b"\xff\xda"))
    part = data[start : start + int(random.integers(1, 2000))]
    return data[:start] + part * int(random.integers(2, 40)) + data[start:]


def _right_checksums(data: bytes) -> bytes:
    return with_checksums(data) if data[1:4] == b"PNG" else data


CHANGES: dict[str, Callable[[Random, bytes], bytes]] = {
    "bits flipped": _flipped,
    "bits flipped in the head": _flipped_in_head,
    "cut off": _truncated,
    "blocks swapped": _blocks_swapped,
    "bytes inserted": _inserted,
    "bytes lost": _lost,
    "overwritten": _overwritten,
    "an extreme number": _extreme_number,
    "metadata changed": _metadata_changed,
    "a size that is not true": _lying_size,
    "damaged under right checksums": _damage_under_right_checksums,
    "a part repeated": _segment_repeated,
    "spliced": lambda _, data: data,  # `mutant` has the other file
}


def mutant(number: int, seed: int, files: Mapping[str, bytes]) -> tuple[str, str, bytes]:
    """One damaged file.

    Parameters
    ----------
    number, seed : int
        The same two make the same file.
    files : mapping of str to bytes
        Good files, by their names.

    Returns
    -------
    tuple of str, str and bytes
        The name of the good file, what was done to it, and the result.
    """
    random = np.random.default_rng((seed, number))
    names = sorted(files)
    name = names[number % len(names)]
    what = list(CHANGES)[int(random.integers(len(CHANGES)))]
    data = files[name]
    if what == "spliced":
        other = files[names[int(random.integers(len(names)))]]
        data = data[: _place(random, data)] + other[_place(random, other) :]
    else:
        data = CHANGES[what](random, data)
    if random.random() < 0.25:  # twice as bad
        data = _extreme_number(random, data) if len(data) > _HEAD_BYTES else data
    return name, what, data
