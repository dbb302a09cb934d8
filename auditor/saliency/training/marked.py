"""Photographs whose things were outlined by hand, as training data."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from auditor.saliency.training.composites import SIDE_PX, cores

Outline = list[list[float]]


@dataclass(frozen=True, slots=True)
class MarkedPhotographs:
    """Photographs with every placed thing outlined.

    Attributes
    ----------
    pictures : (n, SIDE_PX, SIDE_PX, 3) uint8 array
        sRGB.
    truths : (n, SIDE_PX, SIDE_PX, 3) uint8 array
        0 to 255: subject, all placed things, the cores of things.
    has_subject : (n,) bool array
        False where no one thing is the subject; its map is then not known.
    """

    pictures: NDArray[np.uint8]
    truths: NDArray[np.uint8]
    has_subject: NDArray[np.bool_]


def read_marked(folder: Path, marks: Path) -> MarkedPhotographs:
    """Read the photographs of a folder that a file of marks names.

    Parameters
    ----------
    folder : Path
        The photographs.
    marks : Path
        JSON: ``{file: {"subject": outline or null, "things": [{"name", "outline"}]}}``; an outline
        is a list of (x, y) in fractions of the frame.
    """
    pictures, truths, known = [], [], []
    for name, mark in sorted(json.loads(marks.read_text(encoding="utf-8")).items()):
        picture = Image.open(folder / name).convert("RGB").resize((SIDE_PX, SIDE_PX))
        things = [filled(thing["outline"]) for thing in mark["things"]]
        nothing = np.zeros((SIDE_PX, SIDE_PX), np.uint8)
        subject = filled(mark["subject"]) if mark["subject"] else nothing
        pictures.append(np.asarray(picture))
        truths.append(_planes(subject, things))
        known.append(mark["subject"] is not None)
    return MarkedPhotographs(np.stack(pictures), np.stack(truths), np.array(known))


def marked_names(marks: Path) -> frozenset[str]:
    """Names, without their endings, of the photographs that a file of marks describes."""
    return frozenset(Path(name).stem for name in json.loads(marks.read_text(encoding="utf-8")))


def filled(outline: Outline) -> NDArray[np.uint8]:
    """Mask of a polygon over the square frame, 0 or 255."""
    mask = Image.new("L", (SIDE_PX, SIDE_PX))
    scaled = [float(position) for position in (np.array(outline) * SIDE_PX).ravel()]
    ImageDraw.Draw(mask).polygon(scaled, fill=255)
    return np.asarray(mask)


def _planes(subject: NDArray[np.uint8], things: list[NDArray[np.uint8]]) -> NDArray[np.uint8]:
    """Truth planes; a thing that lies on the subject's dish belongs to the subject's mask too."""
    instances = [(mask > 0).astype(np.float32) for mask in (subject, *things) if mask.any()]
    every = np.max([subject, *things], axis=0)
    inner = cores(instances, *subject.shape) if instances else np.zeros(subject.shape)
    return np.stack([subject, every, (inner > 0) * np.uint8(255)], axis=-1).astype(np.uint8)
