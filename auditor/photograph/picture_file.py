"""Open the file of a picture, or refuse it: it cannot be read, is empty, too large, no picture."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from auditor.errors import UnreadablePictureError
from auditor.photograph.containers import HEAD_BYTES, TIFF, recognise, recognise_foreign
from auditor.photograph.file_bytes import Content, FileBytes, sha256_of
from auditor.photograph.memory_limit import refuse_large_file
from auditor.reasons import RefusalReason
from auditor.regular_file import NotAFileError, open_regular


class PictureFile(NamedTuple):
    """A file with its kind, as `auditor.photograph.containers.recognise` names it, and SHA-256."""

    content: Content
    kind: str
    sha256: str


@contextmanager
def opened_file(path: Path) -> Iterator[PictureFile]:
    """The file of a picture; a TIFF stays on the disk and is open during the block.

    Raises
    ------
    UnreadablePictureError
        The file cannot be read, is empty, is larger than one picture may be, or is not a picture
        of a kind that is read here.
    """
    try:
        stream = open_regular(path)
    except (OSError, ValueError) as error:
        raise _unreadable(error) from error
    with stream:
        try:
            file = _examined(FileBytes(stream))
        except (OSError, ValueError) as error:
            raise _unreadable(error) from error
        yield file


def _examined(file: FileBytes) -> PictureFile:
    """Read what must be read of a file; its size is looked at first."""
    if not len(file):
        raise UnreadablePictureError(
            RefusalReason.EMPTY_FILE,
            "The file is empty, as after an interrupted copy; copy or export it again.",
        )
    kind = _kind_of(file[:HEAD_BYTES])
    refuse_large_file(len(file))
    content = file if kind == TIFF else file[:]
    return PictureFile(content, kind, sha256_of(content))


def _unreadable(error: OSError | ValueError) -> UnreadablePictureError:
    if isinstance(error, NotAFileError):
        return UnreadablePictureError(
            RefusalReason.NOT_A_FILE,
            "It has a picture's name, but it is a pipe, a socket, a device or a folder, or a link "
            "to one; move it elsewhere, or put the picture in its place.",
        )
    if isinstance(error, PermissionError):
        return UnreadablePictureError(
            RefusalReason.NO_PERMISSION,
            "You do not have permission to read the file; give yourself read permission.",
        )
    if isinstance(error, FileNotFoundError):
        return UnreadablePictureError(
            RefusalReason.VANISHED,
            "The file is no longer there; it was moved, renamed or deleted, or it is a link to a "
            "file that does not exist. Put it back or run the audit again.",
        )
    if isinstance(error, OSError) and error.errno == errno.ELOOP:
        return UnreadablePictureError(
            RefusalReason.VANISHED,
            "It is a link that leads back to itself, so there is no file. Put the picture in "
            "its place, or remove it.",
        )
    # Without the path that the system's own message has: nobody else need know it.
    why = error.strerror if isinstance(error, OSError) and error.strerror else error
    return UnreadablePictureError(
        RefusalReason.DISK_FAULT,
        f"The file could not be read from the disk ({why}); check the disk or the network "
        "and copy the file again.",
    )


def _kind_of(head: bytes) -> str:
    kind = recognise(head)
    if kind is not None:
        return kind
    foreign = recognise_foreign(head)
    if foreign is not None:
        raise UnreadablePictureError(
            RefusalReason.UNSUPPORTED,
            f"The file is a {foreign} picture, whatever its name, and such pictures are not read "
            "here; export it as JPEG, PNG or TIFF.",
        )
    raise UnreadablePictureError(
        RefusalReason.NOT_A_PICTURE,
        "The file is not a picture, although its name suggests one; "
        "export the picture again or move the file elsewhere.",
    )
