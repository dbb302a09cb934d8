"""What this run has written, for the last sentence of one that is stopped after it."""

from __future__ import annotations

from pathlib import Path

_written: list[Path] = []


def nothing_written_yet() -> None:
    """Forget what an earlier run in this process has written."""
    _written.clear()


def note_written(path: Path) -> None:
    """Remember that a file or folder of the user is changed from now on."""
    _written[:] = [path]


def last_written() -> Path | None:
    """What was written last; None if nothing of the user was changed."""
    return _written[-1] if _written else None
