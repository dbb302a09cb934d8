"""The bytes of a picture's file: in memory, or read from the disk where they are asked for.

A TIFF may be hundreds of megabytes, of which a decoder needs one strip at a time. Files of the
other kinds are read whole: they are compressed, and their checks look at every byte.
"""

from __future__ import annotations

import hashlib
import os
from io import BufferedReader


class FileBytes:
    """The bytes of an open file; a slice of them is read when it is asked for.

    Parameters
    ----------
    stream : binary file
        Open for reading as long as this is used.
    """

    def __init__(self, stream: BufferedReader) -> None:
        self.stream = stream
        self._n_bytes = os.fstat(stream.fileno()).st_size

    def __len__(self) -> int:
        """Number of bytes."""
        return self._n_bytes

    def __getitem__(self, place: slice) -> bytes:
        """The bytes of a slice without a step; fewer at the end of the file."""
        start, stop, _ = place.indices(self._n_bytes)
        self.stream.seek(start)
        return self.stream.read(max(0, stop - start))


Content = bytes | FileBytes


def sha256_of(content: Content) -> str:
    """SHA-256 of all bytes, hexadecimal; raises `OSError` if the disk fails."""
    if isinstance(content, bytes):
        return hashlib.sha256(content).hexdigest()
    content.stream.seek(0)
    return hashlib.file_digest(content.stream, "sha256").hexdigest()
