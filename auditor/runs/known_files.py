"""Know again files that have not changed, without reading them.

A file is taken to be unchanged if its device, its number on that device, its size and its times are
what they were. Where that is not so (it was copied, moved or written again) and a known file had
the same size, its bytes are compared by their digest.
"""

from __future__ import annotations

import hashlib
import json
import stat
import time
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from auditor.photograph.camera_areas import CameraArea
from auditor.photograph.default_areas import CameraHead, read_head
from auditor.regular_file import open_regular
from auditor.runs.store import FileRow, Store

# A file that was written less than this before it was looked at may be written again within one
# step of its time stamp; FAT counts in steps of two seconds.
_UNSETTLED_NS = 2_000_000_000
_READ_AT_ONCE = 4  # files whose digest is taken at the same time: disks answer several at once
_BLOCK_BYTES = 1 << 20


@dataclass(frozen=True, slots=True)
class KnownFile:
    """What is known of a file before it is read.

    Attributes
    ----------
    identity : str or None
        By which it is known again; None if it was written just now, or cannot be looked at.
    n_bytes : int
    sha256 : str or None
        Of its bytes, if they are known.
    head : CameraHead
    """

    identity: str | None
    n_bytes: int
    sha256: str | None
    head: CameraHead


def look_at_files(
    folder: Path, files: Sequence[str], store: Store, *, fresh: bool
) -> dict[str, KnownFile]:
    """What is known of each file.

    Parameters
    ----------
    folder : Path
    files : sequence of str
        Relative to the folder.
    store : Store
    fresh : bool
        True to take nothing from the store.
    """
    found, in_doubt = {}, []
    for file in files:
        identity, n_bytes = _identity(folder / file)
        row = None if identity is None or fresh else store.file_row(identity)
        head = None if row is None else _head_of(row.head)
        if row is not None and head is not None:
            found[file] = KnownFile(identity, n_bytes, row.sha256, head)
            continue
        found[file] = KnownFile(identity, n_bytes, None, read_head(folder, file))
        if n_bytes and not fresh and store.has_file_of_size(n_bytes):
            in_doubt.append(file)
    with ThreadPoolExecutor(_READ_AT_ONCE) as threads:
        digests = list(threads.map(lambda file: _sha256(folder / file), in_doubt))
    for file, sha256 in zip(in_doubt, digests, strict=True):
        known = found[file]
        found[file] = KnownFile(known.identity, known.n_bytes, sha256, known.head)
        if sha256 is not None:
            remember_file(folder / file, found[file], sha256, store)
    return found


def remember_file(path: Path, known: KnownFile, sha256: str, store: Store) -> None:
    """Keep what is known of a file that had these bytes, unless it has changed since."""
    row = FileRow(sha256, _head_text(known.head))
    if known.identity is None:  # its size and bytes alone can be recognised
        store.put_file(sha256, known.n_bytes, row)
    elif _identity(path)[0] == known.identity:
        store.put_file(known.identity, known.n_bytes, row)


def heads_of(known: Mapping[str, KnownFile]) -> dict[str, CameraHead]:
    """The heads alone."""
    return {file: one.head for file, one in known.items()}


def _identity(path: Path) -> tuple[str | None, int]:
    """The identity of a regular file that is not being written, and its size."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None, 0
    if not stat.S_ISREG(found.st_mode):
        return None, 0
    age_ns = time.time_ns() - max(found.st_mtime_ns, found.st_ctime_ns)
    if age_ns < _UNSETTLED_NS:
        return None, found.st_size
    parts = (found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns, found.st_ctime_ns)
    return ":".join(map(str, parts)), found.st_size


def _sha256(path: Path) -> str | None:
    digest = hashlib.sha256()
    try:
        with open_regular(path) as file:
            while block := file.read(_BLOCK_BYTES):
                digest.update(block)
    except OSError:
        return None
    return digest.hexdigest()


def _head_text(head: CameraHead) -> str:
    area = head.area
    written = None if area is None else [area.source, area.written, area.width, area.height]
    return json.dumps([head.make, head.model, written])


def _head_of(text: str) -> CameraHead | None:
    """None if the text is not what `_head_text` writes."""
    try:
        make, model, area = json.loads(text)
        if area is None:
            return CameraHead(make, model)
        source, written, width, height = area
        return CameraHead(make, model, CameraArea(source, tuple(written), width, height))
    except (ValueError, TypeError):
        return None
