"""Shots from finished pictures, one a picture, compared as an audit of their set compares them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan_draft.draft import ShotDraft
from auditor.plan_draft.from_picture import entries_of
from auditor.plan_draft.names import patterns, readable
from auditor.plan_draft.proof import SeenPicture
from auditor.series.series import describe_series


def see_as_set(measured: Sequence[MeasuredPhotograph]) -> list[SeenPicture]:
    """The pictures with what their set makes known of their colour temperatures.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
        No two with the same `file`.
    """
    if not measured:
        return []
    known = {one.file: one.quantity for one in describe_series(measured).colour_temperatures}
    return [SeenPicture(one, known.get(one.file)) for one in measured]


def shots_of_pictures(seen: Sequence[SeenPicture], paths: Sequence[Path]) -> list[ShotDraft]:
    """A shot for each picture, which is at the path of the same number."""
    return [
        ShotDraft(readable(path.name), (pattern,) if pattern else (), entries_of(picture))
        for picture, path, pattern in zip(seen, paths, patterns(paths), strict=True)
    ]
