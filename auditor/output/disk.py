"""Writing files so that neither a full disk nor a power cut leaves half of one."""

from __future__ import annotations

import errno
import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

# The disk or the user's share of it is full, the file is too long for it, nothing may be written.
_OF_THE_DISK = frozenset((errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS))
# Pillow's words where a picture could not be written; it does not say why.
_ENCODER_FAILED = "encoder error"
# 2,000 previews (104 MB) on ext4 took 12.8 s one by one, 0.37 s with 8 at once, 0.37 s with 32.
_SYNCED_AT_ONCE = 8
# Answers of systems that cannot do it: network shares, and Windows for folders.
_CANNOT_SYNC = frozenset((errno.EINVAL, errno.ENOTSUP, errno.ENOSYS, errno.EBADF, errno.EACCES))


def is_about(error: OSError, directory: Path) -> bool:
    """Whether an error says that a folder, or the disk that it is on, cannot be written."""
    if error.errno in _OF_THE_DISK or _ENCODER_FAILED in str(error):
        return True
    named = [os.fsdecode(one) for one in (error.filename, error.filename2) if _is_path(one)]
    return any(_absolute(Path(one)).is_relative_to(_absolute(directory)) for one in named)


def _absolute(path: Path) -> Path:
    try:
        return path.absolute()
    except OSError:  # the current folder is gone
        return path


def _is_path(named: object) -> bool:
    return isinstance(named, str | bytes | os.PathLike)


def reason_of(error: OSError | ValueError) -> str:
    """What the system says of an error, in its words."""
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def write_beside(path: Path, content: str | bytes) -> None:
    """Write a file beside its place first, so that an earlier one stays whole if that fails.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    unfinished = path.with_name(f".{path.name}.part")
    try:
        write_synced(unfinished, content)
        unfinished.replace(path)
    except BaseException:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
        raise
    sync(path.parent)


def write_synced(path: Path, content: str | bytes) -> None:
    """Write a file, and wait until the disk has it; text in UTF-8, its line ends as they are."""
    path.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
    sync(path)


def sync(path: Path) -> None:
    """Wait until the disk has the content of a file, or the names in a folder.

    Raises
    ------
    OSError
        Where the disk reports that something was not written.
    """
    try:
        # Windows wants a file that can be written, and has no such call for folders.
        descriptor = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        if error.errno not in _CANNOT_SYNC:
            raise


def sync_all(path: Path) -> None:
    """Wait until the disk has a file, or a folder with all in it."""
    if path.is_dir() and not path.is_symlink():
        # The disk answers all that wait for it at once.
        with ThreadPoolExecutor(_SYNCED_AT_ONCE) as threads:
            for _ in threads.map(sync_all, sorted(path.iterdir())):
                pass
    sync(path)


def missing_folders(directory: Path) -> list[Path]:
    """The folder and those above it that do not exist yet, the innermost first."""
    return [folder for folder in (directory, *directory.parents) if not folder.exists()]


def remove_empty(folders: Sequence[Path]) -> None:
    """Remove folders, the innermost first, that were made for something that did not come to be."""
    with suppress(OSError):  # one that is not empty, or that is gone
        for folder in folders:
            folder.rmdir()
