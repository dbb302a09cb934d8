"""The training data of the network, on the device, mixed into batches.

All of it permits commercial use; ``MODEL.md`` lists the terms.
"""

from __future__ import annotations

from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from auditor.saliency.training.augmentation import (
    Batch,
    Subjects,
    augmented,
    on_backgrounds,
    subjects,
    without_subject,
)
from auditor.saliency.training.backgrounds import background
from auditor.saliency.training.composite_workers import ReplayBuffer
from auditor.saliency.training.composites import SIDE_PX
from auditor.saliency.training.marked import MarkedPhotographs, marked_names, read_marked
from auditor.saliency.training.objects import read_objects
from auditor.saliency.training.photographs import read_backgrounds
from auditor.saliency.training.tables import read_tables

N_DRAWN_BACKGROUNDS = 3000
VALIDATION_STEP = 12  # every so many tables are kept for validation

# Pictures of each kind in a batch: photographs marked by hand; their dishes on other backgrounds;
# objects of all kinds on backgrounds; scenes composed from cut-outs; rendered tables.
PARTS = {"marked": 12, "dish": 6, "object": 10, "composite": 14, "table": 22}


@dataclass(frozen=True, slots=True)
class Sources:
    """Where the training data lie.

    Attributes
    ----------
    data : Path
        Folder with ``food/`` (photographs), ``tables/`` and, if `with_objects`, ``objects/`` and
        ``grounds/`` (photographs without a main subject).
    marks : Path
        Outlines of what is on the photographs, for `read_marked`.
    with_objects : bool
    """

    data: Path
    marks: Path
    with_objects: bool = True


class TrainingData:
    """All training data, on a device."""

    def __init__(self, sources: Sources, replay: ReplayBuffer, device: torch.device) -> None:
        self._replay = replay
        self._parts = dict(PARTS)
        marked = read_marked(sources.data / "food", sources.marks)
        self._marked = _planes(marked.pictures, marked.truths, device)
        self._knows_subject = torch.from_numpy(marked.has_subject).to(device)
        self._dishes = _dishes(marked, device)
        self._backgrounds = _backgrounds(sources, marked, device)
        if sources.with_objects:
            self._objects = _subjects(*read_objects(sources.data / "objects"), device)
        else:
            self._parts["composite"] += self._parts.pop("object")
        pictures, truths = read_tables(sources.data / "tables")
        kept = np.arange(len(pictures)) % VALIDATION_STEP == 0
        self.validation = pictures[kept], truths[kept][..., 0]
        self._tables = _planes(pictures[~kept], truths[~kept], device)

    def batch(self) -> Batch:
        """Make a mixed, augmented batch; no operation waits for the device."""
        with torch.no_grad():
            parts = [getattr(self, f"_{kind}_part")(n) for kind, n in self._parts.items()]
            return augmented(
                Batch(
                    torch.cat([part.pictures for part in parts]),
                    torch.cat([part.truths for part in parts]),
                    torch.cat([part.weights for part in parts]),
                )
            )

    def _marked_part(self, n: int) -> Batch:
        picked = _random_indices(self._marked[0], n)
        batch = _known(self._marked[0][picked], self._marked[1][picked])
        batch.weights[:, 0] *= self._knows_subject[picked].float()[:, None, None]
        return batch

    def _dish_part(self, n: int) -> Batch:
        return self._on_backgrounds(self._dishes, n)

    def _object_part(self, n: int) -> Batch:
        return self._on_backgrounds(self._objects, n)

    def _composite_part(self, n: int) -> Batch:
        return _known(*self._replay.draw(n))

    def _table_part(self, n: int) -> Batch:
        picked = _random_indices(self._tables[0], n)
        return _known(self._tables[0][picked], self._tables[1][picked])

    def _on_backgrounds(self, available: Subjects, n: int) -> Batch:
        grounds = self._backgrounds[_random_indices(self._backgrounds, n)].float() / 255
        places = _random_indices(available.pictures, n)
        pictures, alpha = on_backgrounds(available, places, grounds)
        return _known_subject(pictures * 255, alpha * 255)


def _dishes(marked: MarkedPhotographs, device: torch.device) -> Subjects:
    """The subjects that the frame does not cut."""
    masks = marked.truths[..., 0]
    edges = [masks[:, 0], masks[:, -1], masks[:, :, 0], masks[:, :, -1]]
    whole = marked.has_subject & (np.max([edge.max(axis=1) for edge in edges], axis=0) < 128)
    return _subjects(marked.pictures[whole], masks[whole], device)


def _subjects(
    pictures: NDArray[np.uint8], masks: NDArray[np.uint8], device: torch.device
) -> Subjects:
    return subjects(*_planes(pictures, masks[..., np.newaxis], device))


def _backgrounds(sources: Sources, marked: MarkedPhotographs, device: torch.device) -> Tensor:
    """Backgrounds without a main subject: drawn, photographed, and photographs without theirs."""
    grounds = sources.data / "grounds"
    photographs = read_backgrounds(sources.data / "food", marked_names(sources.marks))
    seeds = range(N_DRAWN_BACKGROUNDS)
    with Pool(initializer=_share, initargs=(photographs,)) as workers:
        drawn = np.stack(workers.map(_drawn, seeds, chunksize=50))
    every = [_planes(drawn, drawn[..., :1], device)[0]]
    pictures, things = _planes(marked.pictures, marked.truths[..., 1:2], device)
    parts = zip(pictures.split(50), things.split(50), strict=True)
    emptied = torch.cat([without_subject(picture, thing) for picture, thing in parts])
    # As often as all drawn ones together.
    every += [emptied] * max(1, N_DRAWN_BACKGROUNDS // len(emptied) // 2)
    if sources.with_objects and grounds.is_dir():
        seen = np.stack([_byte_picture(p) for p in read_backgrounds(grounds, side_px=SIDE_PX)])
        every += [_planes(seen, seen[..., :1], device)[0]] * (N_DRAWN_BACKGROUNDS // len(seen) // 4)
    return torch.cat(every)


_shared: list[NDArray[np.float32]] = []


def _share(photographs: list[NDArray[np.float32]]) -> None:
    _shared[:] = photographs


def _drawn(seed: int) -> NDArray[np.uint8]:
    rng = np.random.default_rng([1, seed])
    elevation = float(rng.uniform(5, 90))
    return _byte_picture(background(rng, SIDE_PX, SIDE_PX, elevation, _shared)[0])


def _byte_picture(picture: NDArray[np.float32]) -> NDArray[np.uint8]:
    return np.clip(np.rint(picture * 255), 0, 255).astype(np.uint8)


def _random_indices(planes: Tensor, n: int) -> Tensor:
    return torch.randint(len(planes), (n,), device=planes.device)


def _planes(
    pictures: NDArray[np.uint8], truths: NDArray[np.uint8], device: torch.device
) -> tuple[Tensor, Tensor]:
    """(n, channels, h, w) pictures and truths on the device."""
    first, second = (
        torch.from_numpy(np.ascontiguousarray(array.transpose(0, 3, 1, 2))).to(device)
        for array in (pictures, truths)
    )
    return first, second


def _known(pictures: Tensor, truths: Tensor) -> Batch:
    return Batch(pictures.float() / 255, truths.float() / 255, torch.ones_like(truths.float()))


def _known_subject(pictures: Tensor, masks: Tensor) -> Batch:
    """Pictures with a known subject; the subject is also a thing, other things are unknown."""
    subject = masks.float() / 255
    nothing = torch.zeros_like(subject)
    truths = torch.cat([subject, subject, nothing], 1)
    weights = torch.cat([torch.ones_like(subject), subject, nothing], 1)
    return Batch(pictures.float() / 255, truths, weights)
