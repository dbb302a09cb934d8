"""The steps of `auditor plan match`: read, measure, match, write, read again."""

from __future__ import annotations

import dataclasses
import os
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from auditor.comparison.by_content import is_open, match_by_content
from auditor.comparison.matching import Matches, match
from auditor.errors import InvalidPlanError, NothingToMeasureError, UnusableArgumentError
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.folder import pictures_in, printable_name
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Plan
from auditor.plan_match.naming import patterns_for
from auditor.plan_match.report import remark_of
from auditor.plan_match.writing import NamedFiles, read_text, with_files
from auditor.runs.measuring import Progress, measure_all
from auditor.runs.outcome import RefusedPicture
from auditor.runs.run import starting_run
from auditor.series.alike import join_alike
from auditor.series.duplicates import find_duplicates


@dataclass(frozen=True, slots=True)
class MatchRequest:
    """What to match.

    Attributes
    ----------
    folder : Path
        Of finished pictures.
    plan : Path
        Its file is changed.
    jobs : int
        Number of processes.
    store : Path or None
        Where measurements are remembered.
    """

    folder: Path
    plan: Path
    jobs: int
    store: Path | None


@dataclass(frozen=True, slots=True)
class MatchedPlan:
    """What was matched.

    Attributes
    ----------
    matches : Matches
    written : tuple of str
        Names of the shots into which pictures were written, in the order of the plan.
    refused : tuple of RefusedPicture
        Pictures that could not be measured.
    """

    matches: Matches
    written: tuple[str, ...]
    refused: tuple[RefusedPicture, ...]


def match_plan(request: MatchRequest, progress: Progress) -> MatchedPlan:
    """Match the pictures of a folder to the shots of a plan, and write them into the plan.

    Shots that have ``files`` stay as they are.

    Raises
    ------
    UnusableArgumentError
        The folder cannot be read, or the plan cannot be written.
    InvalidPlanError
        The plan has faults, or its shots are written in a form to which no line can be added.
    NothingToMeasureError
        No picture could be measured.
    """
    plan = read_plan(request.plan)
    text = read_text(request.plan)
    # Said before the pictures are measured.
    if not os.access(request.plan, os.W_OK):
        raise UnusableArgumentError(
            f"{printable_name(str(request.plan))}: this file is write-protected; allow writing it, "
            "or give a copy of it."
        )
    nameless = [n for n, shot in enumerate(plan.shots) if not shot.files]
    with_files(text, {n: NamedFiles(("*",)) for n in nameless}, str(request.plan))
    files = pictures_in(request.folder).files
    with starting_run(jobs=request.jobs, store=request.store) as run:
        outcomes = measure_all(request.folder, files, None, run, progress)
    pictures = [outcome.picture for outcome in outcomes]
    measured = [picture for picture in pictures if isinstance(picture, MeasuredPhotograph)]
    refused = tuple(picture for picture in pictures if isinstance(picture, RefusedPicture))
    if not measured:
        raise NothingToMeasureError(
            f"{printable_name(str(request.folder))}: no picture in it could be measured."
        )
    names = [picture.file for picture in pictures]
    alike = [group.files for group in join_alike(measured, find_duplicates(measured))]
    matches = match_by_content(plan, names, measured, alike)
    named = _named(plan, matches, names)
    if named:
        _write(request.plan, with_files(text, named, str(request.plan)), plan, matches, names)
    return MatchedPlan(matches, tuple(plan.shots[number].name for number in named), refused)


def _open_shots(plan: Plan) -> list[int]:
    return [number for number, shot in enumerate(plan.shots) if is_open(shot, plan)]


def _named(plan: Plan, matches: Matches, files: Sequence[str]) -> dict[int, NamedFiles]:
    """What is written into each shot without ``files`` that has a picture now."""
    named = {}
    for number in _open_shots(plan):
        own = matches.files_of[plan.shots[number].name]
        if own:
            remarks = (remark_of(file, matches.assumed[file]) for file in own)
            patterns = dict.fromkeys(patterns_for(own, files))
            named[number] = NamedFiles(
                tuple(patterns), tuple(remark for remark in remarks if remark)
            )
    return named


def _write(path: Path, text: str, plan: Plan, matches: Matches, files: Sequence[str]) -> None:
    """Write the plan beside its place, read it again, and put it there if it means the same."""
    place = path.resolve()
    unfinished = place.with_name(f".{place.name}.unfinished")
    try:
        unfinished.write_bytes(text.encode("utf-8"))
        _check(read_plan(unfinished), plan, matches, files, path)
        shutil.copymode(place, unfinished)
        unfinished.replace(place)
    except InvalidPlanError as error:
        raise _changes_meaning(path) from error
    except OSError as error:
        raise UnusableArgumentError(
            f"{printable_name(str(path))}: cannot be written ({error.strerror}); nothing in it "
            "was changed."
        ) from error
    finally:
        unfinished.unlink(missing_ok=True)


def _check(written: Plan, plan: Plan, matches: Matches, files: Sequence[str], path: Path) -> None:
    """Make sure that the plan means what it meant, and that its shots have their pictures."""
    same_shots = [
        dataclasses.replace(new, files=old.files)
        for new, old in zip(written.shots, plan.shots, strict=False)
    ]
    # Remarks name lines, which are others now.
    same = dataclasses.replace(written, shots=tuple(same_shots), remarks=plan.remarks)
    is_same = same == plan
    if not is_same or match(written, files).files_of != matches.files_of:
        raise _changes_meaning(path)


def _changes_meaning(path: Path) -> UnusableArgumentError:
    return UnusableArgumentError(
        f"{printable_name(str(path))}: the pictures cannot be written into it without changing "
        "what it says; two pictures may have names that differ only in upper and lower case. "
        "Nothing in it was changed."
    )
