"""The examples of rules that come with this package."""

from __future__ import annotations

from pathlib import Path

from auditor.errors import UnusableArgumentError

FOLDER = Path(__file__).parent / "examples"
NAMES = ("client", "portfolio", "web")


def example_path(path: Path) -> Path | None:
    """The file of an example that is named in place of a path; None for a path.

    A file of the user's own always goes first, and a path with an ending or a folder is never
    taken for a name.
    """
    name = str(path)
    return FOLDER / f"{name}.toml" if name in NAMES and not path.exists() else None


def example_text(name: str) -> str:
    """The text of an example.

    Raises
    ------
    UnusableArgumentError
        There is none of that name.
    """
    if name not in NAMES:
        raise UnusableArgumentError(
            f"{name}: there is no example of that name; there are {', '.join(NAMES)}."
        )
    return (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
