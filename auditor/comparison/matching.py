"""Find the pictures of each shot by the patterns of the plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from auditor.plan.file_patterns import claims_file
from auditor.plan.shot_plan import Plan, Shot


@dataclass(frozen=True, slots=True)
class Assumed:
    """What a picture that no shot names was taken for, by what it shows.

    Attributes
    ----------
    shot : str or None
        None for no shot of the plan.
    probability : float
        That it is so, in [0, 1].
    second : str or None
        The next likely answer; None for no shot of the plan.
    second_probability : float
    """

    shot: str | None
    probability: float
    second: str | None
    second_probability: float


@dataclass(frozen=True, slots=True)
class BetterFit:
    """A shot that a picture fits clearly better than its own.

    Attributes
    ----------
    shot, better : str
        Its own, by its name, and the other one.
    ratio : float
        How many times as likely it is a picture of the other one, by what it shows.
    """

    shot: str
    better: str
    ratio: float


@dataclass(frozen=True, slots=True)
class Matches:
    """The pictures of each shot. A shot claims a file if one of its patterns fits it.

    Attributes
    ----------
    files_of : dict of str to tuple of str
        Files of each shot, by its name, in the order of the set.
    shot_of : dict of str to Shot
        The shot of each file; of several that claim it, the first in the plan.
    unplanned : tuple of str
        Files that no shot claims.
    claimed_twice : dict of str to tuple of str
        Names of the shots, for each file that several claim.
    missing : tuple of str
        Names of shots without a picture.
    claimed_by : dict of str to str
        Missing shots that claim a file which an earlier shot has: their names, with the name of
        that shot (of the first such file, if there are several).
    assumed : mapping of str to Assumed
        Files that were matched by what they show, those that were left over among them.
    fits_better : mapping of str to BetterFit
        Files that fit another shot clearly better than the one that claims them.
    """

    files_of: dict[str, tuple[str, ...]]
    shot_of: dict[str, Shot]
    unplanned: tuple[str, ...]
    claimed_twice: dict[str, tuple[str, ...]]
    missing: tuple[str, ...]
    claimed_by: dict[str, str]
    assumed: Mapping[str, Assumed] = field(default_factory=dict)
    fits_better: Mapping[str, BetterFit] = field(default_factory=dict)


def match(plan: Plan, files: Sequence[str]) -> Matches:
    """Find the shot of each file (a relative path with ``/``).

    A pattern without ``/`` is compared with the file's name alone, any other with its path; upper
    and lower case are the same. ``*`` stands for any characters, ``?`` for one; all others are
    themselves. A file belongs to one shot only, the first in the plan that claims it. So a shot is
    missing its picture if earlier shots have all the files that it claims.
    """
    claims = {file: tuple(shot for shot in plan.shots if claims_file(shot, file)) for file in files}
    shot_of = {file: shots[0] for file, shots in claims.items() if shots}
    files_of = files_by_shot(plan, list(claims), shot_of)
    missing = tuple(name for name, own in files_of.items() if not own)
    return Matches(
        files_of=files_of,
        shot_of=shot_of,
        unplanned=tuple(file for file, shots in claims.items() if not shots),
        claimed_twice={
            file: tuple(shot.name for shot in shots)
            for file, shots in claims.items()
            if len(shots) > 1
        },
        missing=missing,
        claimed_by=_claimed_by(missing, claims.values()),
    )


def files_by_shot(
    plan: Plan, files: Sequence[str], shot_of: Mapping[str, Shot]
) -> dict[str, tuple[str, ...]]:
    """Files of each shot, by its name, in the order of the set."""
    own: dict[str, list[str]] = {shot.name: [] for shot in plan.shots}
    for file in files:
        if file in shot_of:
            own[shot_of[file].name].append(file)
    return {name: tuple(found) for name, found in own.items()}


def _claimed_by(missing: Sequence[str], claims: Iterable[Sequence[Shot]]) -> dict[str, str]:
    """For each missing shot that claims a file, the name of the shot that has it."""
    holders: dict[str, str] = {}
    for first, *others in (shots for shots in claims if shots):
        for shot in others:
            if shot.name in missing:
                holders.setdefault(shot.name, first.name)
    return holders
