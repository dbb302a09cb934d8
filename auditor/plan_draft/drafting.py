"""The steps of a draft: find the files, read or measure each, put the shots in order."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Literal

from auditor.errors import NothingToMeasureError
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan_draft.draft import PlanDraft, ShotDraft
from auditor.plan_draft.from_pictures import see_as_set, shots_of_pictures
from auditor.plan_draft.names import title_of, unique
from auditor.plan_draft.pages import Page, read_if_drawn, shots_of_page
from auditor.plan_draft.phrases import (
    heading_of_both,
    heading_of_pictures,
    heading_of_sketches,
)
from auditor.plan_draft.series_part import share_entries, share_equal
from auditor.plan_draft.sources import Source, find_sources
from auditor.runs.measuring import Progress, measure_all
from auditor.runs.outcome import Outcome
from auditor.runs.run import Run, starting_run
from auditor.runs.workers import PICTURE_LIMIT_S, Lost

LOST = {
    Lost.KILLED: (
        "the process that read it was killed twice, most often because the memory was full. Close"
        " other programs, or export the picture smaller."
    ),
    Lost.TOO_SLOW: (
        f"reading it took longer than {PICTURE_LIMIT_S:.0f} seconds. Export the picture smaller."
    ),
}

Kind = Literal["sketch", "pictures"]


@dataclass(frozen=True, slots=True)
class DraftRequest:
    """What to make a draft of.

    Attributes
    ----------
    arguments : tuple of Path
        Pages, pictures and folders of them.
    kind : str or None
        What all files are; None recognises each.
    jobs : int
        Number of processes that measure.
    store : Path or None
        Where measurements are remembered.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    """

    arguments: tuple[Path, ...]
    kind: Kind | None
    jobs: int
    store: Path | None
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class Drafted:
    """A draft, and what became of the files.

    Attributes
    ----------
    draft : PlanDraft
    pages : tuple of Page
        The drawn pages that were read.
    refusals : tuple of str
        One message for each file that could not be read.
    """

    draft: PlanDraft
    pages: tuple[Page, ...]
    refusals: tuple[str, ...]


@dataclass(slots=True)
class _Read:
    """What was read of each file."""

    pages: dict[Source, Page] = field(default_factory=dict)
    pictures: dict[Source, MeasuredPhotograph] = field(default_factory=dict)
    refusals: dict[Source, str] = field(default_factory=dict)


def make_draft(request: DraftRequest, progress: Progress) -> Drafted:
    """Make a draft; nothing is written.

    Parameters
    ----------
    request : DraftRequest
    progress : callable
        Called with the number of files done, their total, and the file just finished.

    Raises
    ------
    UnusableArgumentError
        A file or folder is not there, or is no picture by its name.
    NothingToMeasureError
        No file could be read; the message has one line for each.
    """
    sources = find_sources(request.arguments)
    read = _Read()
    progress(0, len(sources), "")
    with starting_run(jobs=request.jobs, store=request.store, fresh=request.fresh) as run:
        if request.kind != "pictures":
            _read_pages(sources, request, run, read, progress)
        pictures = [one for one in sources if one not in read.pages and one not in read.refusals]
        _measure(pictures, run, read, progress, len(sources))
    refusals = tuple(read.refusals[source] for source in sources if source in read.refusals)
    if not read.pages and not read.pictures:
        raise NothingToMeasureError("\n".join(refusals))
    return Drafted(
        _draft(sources, read),
        tuple(read.pages[one] for one in sources if one in read.pages),
        refusals,
    )


def _read_pages(
    sources: Sequence[Source], request: DraftRequest, run: Run, read: _Read, progress: Progress
) -> None:
    """Read the files that are drawn pages; the finished pictures are measured later."""
    read_one = partial(read_if_drawn, is_known=request.kind == "sketch")
    paths = [source.path for source in sources]
    # Closed here, not when it is collected: after an interrupt no process may still be at work.
    with closing(run.workers.spread(read_one, paths, PICTURE_LIMIT_S)) as results:
        for index, found in results:
            source = sources[index]
            if isinstance(found, Page):
                read.pages[source] = found
            elif isinstance(found, str):
                read.refusals[source] = found
            elif isinstance(found, Lost):
                read.refusals[source] = f"{source.shown}: {LOST[found]}"
            progress(len(read.pages) + len(read.refusals), len(sources), source.shown)


def _measure(
    sources: Sequence[Source], run: Run, read: _Read, progress: Progress, n_all: int
) -> None:
    """Measure the finished pictures, those of one folder together."""
    n_done = n_all - len(sources)
    for folder in dict.fromkeys(source.folder for source in sources):
        own = [source for source in sources if source.folder == folder]
        files = [source.file for source in own]
        outcomes = measure_all(folder, files, None, run, _continued(progress, n_done, n_all))
        for source, outcome in zip(own, outcomes, strict=True):
            _keep(source, outcome, read)
        n_done += len(own)


def _continued(progress: Progress, n_before: int, n_all: int) -> Progress:
    """Progress over all files, for a part of them."""
    return lambda done, _total, name: progress(n_before + done, n_all, name)


def _keep(source: Source, outcome: Outcome, read: _Read) -> None:
    picture = outcome.picture
    if isinstance(picture, MeasuredPhotograph):
        # Of several folders two files may have one name.
        read.pictures[source] = replace(picture, file=source.shown)
    else:
        read.refusals[source] = f"{source.shown}: {picture.message}"


def _draft(sources: Sequence[Source], read: _Read) -> PlanDraft:
    pictured = [source for source in sources if source in read.pictures]
    seen = see_as_set([read.pictures[source] for source in pictured])
    made = shots_of_pictures(seen, [source.path for source in pictured])
    shot_of = dict(zip(pictured, made, strict=True))
    shots: list[ShotDraft] = []
    for source in sources:
        if source in read.pages:
            shots += shots_of_page(read.pages[source], is_only=len(read.pages) == 1)
        elif source in shot_of:
            shots.append(shot_of[source])
    names = unique([shot.name for shot in shots])
    shots = [replace(shot, name=name) for shot, name in zip(shots, names, strict=True)]
    shared = share_equal(shots) if read.pages else share_entries(shots, seen)
    return PlanDraft(
        _heading(list(read.pages.values()), [source.path.name for source in pictured]),
        title_of([source.path for source in sources if source not in read.refusals]),
        shared.series,
        shared.shots,
    )


def _heading(pages: Sequence[Page], pictures: Sequence[str]) -> tuple[str, ...]:
    if not pages:
        return heading_of_pictures(pictures)
    if pictures:
        return heading_of_both(len(pages), len(pictures))
    n_frames = sum(len(page.frames) for page in pages)
    return heading_of_sketches([page.path.name for page in pages], n_frames)
