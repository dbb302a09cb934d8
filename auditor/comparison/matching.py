"""Which picture belongs to which shot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.plan.file_patterns import claims_file
from auditor.plan.shot_plan import Plan, Shot


@dataclass(frozen=True, slots=True)
class Matches:
    """Pictures given to shots by pattern.

    Attributes
    ----------
    files_of : dict of str to tuple of str
        Files of each shot, by its name, in the order given.
    shot_of : dict of str to Shot
        The shot of each file that has one; the first in the plan where several claim it.
    unplanned : tuple of str
        Files that no shot claims.
    claimed_twice : dict of str to tuple of str
        Files that several shots claim, with the names of these.
    missing : tuple of str
        Names of shots without a picture.
    """

    files_of: dict[str, tuple[str, ...]]
    shot_of: dict[str, Shot]
    unplanned: tuple[str, ...]
    claimed_twice: dict[str, tuple[str, ...]]
    missing: tuple[str, ...]


def match(plan: Plan, files: Sequence[str]) -> Matches:
    """Give files (relative paths with ``/``) to the shots of a plan.

    A pattern without ``/`` is held against the file's name alone, any other against its path;
    upper and lower case are the same. ``*`` stands for any characters, ``?`` for one, nothing
    else is special. A file belongs to one shot: the first in the plan that claims it; a shot all
    of whose files went to earlier shots is missing its picture.
    """
    claims = {file: tuple(shot for shot in plan.shots if claims_file(shot, file)) for file in files}
    shot_of = {file: shots[0] for file, shots in claims.items() if shots}
    files_of = {
        shot.name: tuple(file for file in claims if shot_of.get(file) is shot)
        for shot in plan.shots
    }
    return Matches(
        files_of=files_of,
        shot_of=shot_of,
        unplanned=tuple(file for file, shots in claims.items() if not shots),
        claimed_twice={
            file: tuple(shot.name for shot in shots)
            for file, shots in claims.items()
            if len(shots) > 1
        },
        missing=tuple(name for name, own in files_of.items() if not own),
    )
