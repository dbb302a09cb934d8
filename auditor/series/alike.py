"""Pictures that are nearly the same, pairs joined to groups."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredImageRecord

TWICE = 2


@dataclass(frozen=True, slots=True)
class Alike:
    """Pictures in the order of the set; `same_file` where they agree in every byte."""

    files: tuple[str, ...]
    same_file: bool


def alike_groups(record: AuditRecord) -> tuple[Alike, ...]:
    """Join the pairs of near-duplicates to groups; copies of one file are a group of their own.

    Where a group holds copies of a file and other frames, the first copy stands for all.
    """
    hashes = {i.file: i.sha256 for i in record.images if isinstance(i, MeasuredImageRecord)}
    order = {image.file: place for place, image in enumerate(record.images)}
    found = []
    for joined in _joined(record.series.duplicates):
        copies: dict[str, list[str]] = {}
        for file in sorted(joined, key=lambda file: order.get(file, len(order))):
            copies.setdefault(hashes.get(file, file), []).append(file)
        found += [Alike(tuple(files), same_file=True) for files in copies.values() if files[1:]]
        if len(copies) > 1:
            found.append(Alike(tuple(files[0] for files in copies.values()), same_file=False))
    return tuple(found)


def same_file_words(n: int) -> str:
    """Say that `n` pictures are one file."""
    times = "twice" if n == TWICE else f"{n} times"
    return f"The same file {times}"


def _joined(pairs: Iterable[tuple[str, str]]) -> list[set[str]]:
    """Connected groups, in the order in which they are first met."""
    groups: list[set[str]] = []
    for pair in pairs:
        touched = [group for group in groups if not group.isdisjoint(pair)]
        if not touched:
            groups.append(set(pair))
            continue
        touched[0].update(pair, *touched[1:])
        groups = [group for group in groups if not any(group is other for other in touched[1:])]
    return groups
