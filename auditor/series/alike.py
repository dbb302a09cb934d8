"""Pictures that are nearly the same: pairs of near-duplicates joined to groups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from auditor.connected import connected_groups
from auditor.measurements.measured_photograph import MeasuredPhotograph


@dataclass(frozen=True, slots=True)
class AlikePictures:
    """Two or more pictures that are nearly the same.

    Attributes
    ----------
    files : tuple of str
        In the order of the set.
    same_file : bool
        True if they are equal in every byte.
    """

    files: tuple[str, ...]
    same_file: bool


def join_alike(
    measured: Sequence[MeasuredPhotograph], duplicates: Sequence[tuple[str, str]]
) -> tuple[AlikePictures, ...]:
    """Join pairs of near-duplicates to groups, in the order of the set.

    Copies of one file make a group of their own. If other pictures are nearly the same as they
    are, the first copy stands for all copies in the group of these.
    """
    found = []
    for members in _joined(measured, duplicates):
        copies: dict[str, list[str]] = {}
        for picture in members:
            copies.setdefault(picture.sha256, []).append(picture.file)
        found += [
            AlikePictures(tuple(files), same_file=True)
            for files in copies.values()
            if len(files) > 1
        ]
        if len(copies) > 1:
            firsts = tuple(files[0] for files in copies.values())
            found.append(AlikePictures(firsts, same_file=False))
    return tuple(found)


def _joined(
    measured: Sequence[MeasuredPhotograph], duplicates: Sequence[tuple[str, str]]
) -> list[list[MeasuredPhotograph]]:
    """Pictures connected by pairs, directly or through others; without those in no pair."""
    if not duplicates:
        return []
    place = {picture.file: number for number, picture in enumerate(measured)}
    ends = np.array([[place[first], place[second]] for first, second in duplicates]).T
    label = connected_groups(len(place), *ends)
    groups: dict[int, list[MeasuredPhotograph]] = {}
    for picture, number in zip(measured, label.tolist(), strict=True):
        groups.setdefault(number, []).append(picture)
    return [members for members in groups.values() if len(members) > 1]
