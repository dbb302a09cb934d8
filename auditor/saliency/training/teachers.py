"""All that the network learns from, on the device, mixed into batches."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from auditor.saliency.training.augmentation import (
    Batch,
    augmented,
    emptied,
    set_on_grounds,
    subjects,
)
from auditor.saliency.training.feeding import Replay, any_of
from auditor.saliency.training.photographs import (
    is_whole,
    read_dominant,
    read_objects,
    read_outlined,
    read_salient,
    salient_names,
)
from auditor.saliency.training.tables import read_tables

# Pictures of each kind in a batch: salient photographs as they are; their subjects and outlined
# objects on the grounds of others; photographs of one dominant object; of outlined tableware;
# scenes composed from cut-outs; rendered tables.
PARTS = {
    "salient": 20,
    "regrounded": 12,
    "dominant": 2,
    "outlined": 4,
    "composite": 12,
    "table": 14,
}
UNOUTLINED_WEIGHT = 0.2  # what nobody outlined may still be a thing on the table


class Teachers:
    """All teachers; the photographs for choosing join in with `join_choosing`."""

    def __init__(self, data: Path, replay: Replay, device: torch.device) -> None:
        learn, choose, _ = salient_names(data / "salient")
        self._replay = replay
        self.choosing = read_salient(data / "salient", choose)
        read = read_salient(data / "salient", learn)
        pictures, masks = (np.concatenate(both) for both in zip(read, self.choosing, strict=True))
        self._salient = _planes(pictures, masks, device)
        self._emptied = torch.cat(
            [emptied(p, m) for p, m in zip(*(t.split(50) for t in self._salient), strict=True)]
        )
        whole = np.flatnonzero(is_whole(masks))
        objects = read_objects(data / "coco")
        # Objects first, so that the subjects for choosing come last and can join in later.
        self._lifted = subjects(
            *_planes(
                np.concatenate([objects[0], pictures[whole]]),
                np.concatenate([objects[1], masks[whole]]),
                device,
            )
        )
        self._dominant = _planes(*read_dominant(data / "coco"), device)
        self._outlined = _planes(*read_outlined(data / "coco"), device)
        self._tables = [
            torch.from_numpy(planes.transpose(0, 3, 1, 2)).to(device)
            for planes in read_tables(data / "tables")
        ]
        n_whole = len(objects[0]) + int((whole < len(learn)).sum())
        self._n_salient = torch.tensor(float(len(learn)), device=device)
        self._n_lifted = torch.tensor(float(n_whole), device=device)

    def join_choosing(self) -> None:
        """Learn from the photographs for choosing too, from now on."""
        self._n_salient.fill_(len(self._salient[0]))
        self._n_lifted.fill_(len(self._lifted.pictures))

    def batch(self) -> Batch:
        """A mixed batch, augmented; nothing in it waits for the device."""
        with torch.no_grad():
            pictures, truths = self._replay.draw(PARTS["composite"])
            parts = [_known(pictures, truths)]
            picked = _any(self._tables[0], PARTS["table"])
            parts.append(_known(self._tables[0][picked], self._tables[1][picked]))
            picked = any_of(self._n_salient, PARTS["salient"])
            parts.append(_subjects(self._salient[0][picked], self._salient[1][picked]))
            parts.append(self._regrounded(PARTS["regrounded"]))
            picked = _any(self._dominant[0], PARTS["dominant"])
            parts.append(_subjects(self._dominant[0][picked], self._dominant[1][picked]))
            picked = _any(self._outlined[0], PARTS["outlined"])
            parts.append(_things(self._outlined[0][picked], self._outlined[1][picked]))
            return augmented(
                Batch(
                    torch.cat([part.pictures for part in parts]),
                    torch.cat([part.truths for part in parts]),
                    torch.cat([part.weights for part in parts]),
                )
            )

    def _regrounded(self, n: int) -> Batch:
        grounds = self._emptied[any_of(self._n_salient, n)].float() / 255
        pictures, alpha = set_on_grounds(self._lifted, any_of(self._n_lifted, n), grounds)
        return _subjects(pictures * 255, alpha * 255)


def _any(planes: Tensor, n: int) -> Tensor:
    return torch.randint(len(planes), (n,), device=planes.device)


def _planes(
    pictures: NDArray[np.uint8], masks: NDArray[np.uint8], device: torch.device
) -> tuple[Tensor, Tensor]:
    """(n, 3, h, w) pictures and (n, 1, h, w) masks on the device."""
    moved = torch.from_numpy(np.ascontiguousarray(pictures.transpose(0, 3, 1, 2))).to(device)
    return moved, torch.from_numpy(masks).to(device)[:, None]


def _known(pictures: Tensor, truths: Tensor) -> Batch:
    return Batch(pictures.float() / 255, truths.float() / 255, torch.ones_like(truths.float()))


def _subjects(pictures: Tensor, masks: Tensor) -> Batch:
    """Photographs whose subject is known; where there is a subject there is a thing."""
    subject = masks.float() / 255
    nothing = torch.zeros_like(subject)
    truths = torch.cat([subject, subject, nothing], 1)
    weights = torch.cat([torch.ones_like(subject), subject, nothing], 1)
    return Batch(pictures.float() / 255, truths, weights)


def _things(pictures: Tensor, masks: Tensor) -> Batch:
    """Photographs whose things are outlined; which of them is the subject nobody said."""
    things = masks.float() / 255
    nothing = torch.zeros_like(things)
    truths = torch.cat([nothing, things, nothing], 1)
    weights = torch.cat([nothing, UNOUTLINED_WEIGHT + (1 - UNOUTLINED_WEIGHT) * things, nothing], 1)
    return Batch(pictures.float() / 255, truths, weights)
