"""The training data of the network, on the device, mixed into batches."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from auditor.saliency.training.augmentation import (
    Batch,
    augmented,
    on_backgrounds,
    subjects,
    without_subject,
)
from auditor.saliency.training.composite_workers import ReplayBuffer, random_indices
from auditor.saliency.training.photographs import (
    is_whole,
    read_dominant,
    read_objects,
    read_outlined,
    read_salient,
    salient_names,
)
from auditor.saliency.training.tables import read_tables

# Pictures of each kind in a batch: unchanged salient photographs; their subjects and outlined
# objects on the backgrounds of others; photographs of one dominant object; of outlined tableware;
# scenes composed from cut-outs; rendered tables.
PARTS = {
    "salient": 20,
    "recombined": 12,
    "dominant": 2,
    "outlined": 4,
    "composite": 12,
    "table": 14,
}
UNOUTLINED_WEIGHT = 0.2  # pixels outside all outlines may still show a thing on the table


class TrainingData:
    """All training data; `include_validation` adds the validation photographs."""

    def __init__(self, data: Path, replay: ReplayBuffer, device: torch.device) -> None:
        training, validation, _ = salient_names(data / "salient")
        self._replay = replay
        self.validation = read_salient(data / "salient", validation)
        read = read_salient(data / "salient", training)
        pictures, masks = (np.concatenate(both) for both in zip(read, self.validation, strict=True))
        self._salient = _planes(pictures, masks, device)
        parts = zip(*(planes.split(50) for planes in self._salient), strict=True)
        self._without_subject = torch.cat([without_subject(p, m) for p, m in parts])
        whole = np.flatnonzero(is_whole(masks))
        objects = read_objects(data / "coco")
        # Objects first, so that the validation subjects come last and can be added later.
        self._subjects = subjects(
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
        n_whole = len(objects[0]) + int((whole < len(training)).sum())
        self._n_salient = torch.tensor(float(len(training)), device=device)
        self._n_subjects = torch.tensor(float(n_whole), device=device)

    def include_validation(self) -> None:
        """Use the validation photographs for training from now on."""
        self._n_salient.fill_(len(self._salient[0]))
        self._n_subjects.fill_(len(self._subjects.pictures))

    def batch(self) -> Batch:
        """Make a mixed, augmented batch; no operation waits for the device."""
        with torch.no_grad():
            pictures, truths = self._replay.draw(PARTS["composite"])
            parts = [_known(pictures, truths)]
            picked = _random_indices(self._tables[0], PARTS["table"])
            parts.append(_known(self._tables[0][picked], self._tables[1][picked]))
            picked = random_indices(self._n_salient, PARTS["salient"])
            parts.append(_known_subject(self._salient[0][picked], self._salient[1][picked]))
            parts.append(self._recombined(PARTS["recombined"]))
            picked = _random_indices(self._dominant[0], PARTS["dominant"])
            parts.append(_known_subject(self._dominant[0][picked], self._dominant[1][picked]))
            picked = _random_indices(self._outlined[0], PARTS["outlined"])
            parts.append(_known_things(self._outlined[0][picked], self._outlined[1][picked]))
            return augmented(
                Batch(
                    torch.cat([part.pictures for part in parts]),
                    torch.cat([part.truths for part in parts]),
                    torch.cat([part.weights for part in parts]),
                )
            )

    def _recombined(self, n: int) -> Batch:
        backgrounds = self._without_subject[random_indices(self._n_salient, n)].float() / 255
        places = random_indices(self._n_subjects, n)
        pictures, alpha = on_backgrounds(self._subjects, places, backgrounds)
        return _known_subject(pictures * 255, alpha * 255)


def _random_indices(planes: Tensor, n: int) -> Tensor:
    return torch.randint(len(planes), (n,), device=planes.device)


def _planes(
    pictures: NDArray[np.uint8], masks: NDArray[np.uint8], device: torch.device
) -> tuple[Tensor, Tensor]:
    """(n, 3, h, w) pictures and (n, 1, h, w) masks on the device."""
    moved = torch.from_numpy(np.ascontiguousarray(pictures.transpose(0, 3, 1, 2))).to(device)
    return moved, torch.from_numpy(masks).to(device)[:, None]


def _known(pictures: Tensor, truths: Tensor) -> Batch:
    return Batch(pictures.float() / 255, truths.float() / 255, torch.ones_like(truths.float()))


def _known_subject(pictures: Tensor, masks: Tensor) -> Batch:
    """Photographs with a known subject; the subject is also a thing, other things are unknown."""
    subject = masks.float() / 255
    nothing = torch.zeros_like(subject)
    truths = torch.cat([subject, subject, nothing], 1)
    weights = torch.cat([torch.ones_like(subject), subject, nothing], 1)
    return Batch(pictures.float() / 255, truths, weights)


def _known_things(pictures: Tensor, masks: Tensor) -> Batch:
    """Photographs with outlined things; the subject is unknown."""
    things = masks.float() / 255
    nothing = torch.zeros_like(things)
    truths = torch.cat([nothing, things, nothing], 1)
    weights = torch.cat([nothing, UNOUTLINED_WEIGHT + (1 - UNOUTLINED_WEIGHT) * things, nothing], 1)
    return Batch(pictures.float() / 255, truths, weights)
