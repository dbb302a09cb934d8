"""Compare the subject with the truth of photographs, rendered tables and marked dishes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.geometry import Box, Point, Region, describe_mask, distance_fraction
from auditor.measurements.subject import TOLERANCE, FoundSubject, measure_subject
from auditor.saliency.finder import SubjectMaps
from auditor.saliency.network import trained_finder
from auditor.saliency.training.photographs import salient_names
from auditor.saliency.training.scores import figures
from tests.benchmarks.check_subject_figures import Answers, calibration

SUBJECT_INDEX = 1  # in the masks of rendered tables
GOOD_OVERLAP = 0.5  # intersection over union of boxes: the usual limit for a hit


@dataclass(frozen=True)
class Known:
    """A picture and the mask of its subject, (H, W) bool."""

    name: str
    picture: Image.Image
    mask: NDArray[np.bool_]


def validation_photographs(data: Path) -> Iterator[Known]:
    """The salient photographs for validation."""
    return _photographs(data / "salient", salient_names(data / "salient")[1])


def test_photographs(data: Path) -> Iterator[Known]:
    """The salient photographs for the final test."""
    return _photographs(data / "salient", salient_names(data / "salient")[2])


def _photographs(folder: Path, names: list[str]) -> Iterator[Known]:
    for name in names:
        picture = Image.open(folder / "images" / f"{name}.jpg").convert("RGB")
        mask = Image.open(folder / "masks" / f"{name}.png").convert("L").resize(picture.size)
        yield Known(name, picture, np.asarray(mask) > 127)


def tables(folder: Path) -> Iterator[Known]:
    """Rendered tables of truth.json, with their masks."""
    for name in json.loads((folder / "truth.json").read_text(encoding="utf-8")):
        picture = Image.open(folder / name).convert("RGB")
        shown = Image.open((folder / "masks" / name).with_suffix(".png"))
        yield Known(name, picture, np.asarray(shown) == SUBJECT_INDEX)


def find(picture: Image.Image) -> tuple[SubjectMaps, FoundSubject]:
    """The finder's maps in the frame, and the subject measured from them."""
    maps = trained_finder().find(np.asarray(picture)).in_frame(*picture.size)
    return maps, measure_subject(maps.subject, maps.elements)


def map_at_size(maps: SubjectMaps, size: tuple[int, int]) -> NDArray[np.float32]:
    """The subject map resized to a picture."""
    return np.asarray(Image.fromarray(maps.subject).resize(size, Image.Resampling.BILINEAR))


def check_known(known: Iterable[Known]) -> dict[str, str]:
    """Results for the reported subject and for its map."""
    answers, found_maps, truths = Answers(), [], []
    for one in known:
        maps, subject = find(one.picture)
        truth = describe_mask(one.mask)
        if truth is None:
            raise ValueError(f"{one.name}: the mask is empty")
        answers.add(
            _distance(subject.region.value, truth.centroid, one.picture.size),
            subject.region.confidence,
        )
        found_maps.append(map_at_size(maps, one.picture.size))
        truths.append(one.mask)
    of_map = figures(found_maps, truths)
    return answers.rows() | {
        "map's centroid, mean": f"{of_map['centroid_mean']:.4f}",
        "map's centroid, median": f"{of_map['centroid_median']:.4f}",
        "F of the map": f"{of_map['f_measure']:.3f}",
        "mean absolute error of the map": f"{of_map['mean_absolute_error']:.3f}",
    }


def check_dishes(folder: Path, marks: Path) -> dict[str, str]:
    """Results on photographs of dishes whose subject is marked by a box.

    The centre of a box is not a centroid, so it is compared with both the centre of the box found
    and the centroid found, which the program reports.
    """
    by_centroid, centre_errors, overlaps = Answers(), [], []
    for name, box in read_marks(marks).items():
        picture = Image.open(folder / name).convert("RGB")
        subject = find(picture)[1].region
        by_centroid.add(_distance(subject.value, box.centre, picture.size), subject.confidence)
        if subject.value is not None:
            centre = subject.value.bbox.centre
            centre_errors.append(distance_fraction(centre, box.centre, *picture.size))
            overlaps.append(overlap(subject.value.bbox, box))
    centres, confidences = np.array(centre_errors), np.array(by_centroid.confidences)
    well_overlapped = np.mean(np.array(overlaps) > GOOD_OVERLAP)
    by_box = calibration(confidences[~np.isnan(confidences)], centres <= TOLERANCE)
    return by_centroid.rows() | {
        "box's centre, mean": f"{centres.mean():.4f}",
        "box's centre, median": f"{np.median(centres):.4f}",
        f"box's centre within {TOLERANCE}": f"{(centres <= TOLERANCE).mean():.3f}",
        "calibration error by box's centre": by_box,
        "overlap of boxes, median": f"{np.median(overlaps):.3f}",
        f"overlap of boxes over {GOOD_OVERLAP}": f"{well_overlapped:.3f}",
    }


def read_marks(file: Path) -> dict[str, Box]:
    """The boxes of a file {"NAME.jpg": {"box": [left, top, right, bottom]}}, in fractions."""
    marks = json.loads(file.read_text(encoding="utf-8"))
    return {name: Box(*mark["box"]) for name, mark in marks.items() if mark.get("box")}


def overlap(a: Box, b: Box) -> float:
    """Intersection over union of two boxes."""
    common = Box(
        max(a.left, b.left), max(a.top, b.top), min(a.right, b.right), min(a.bottom, b.bottom)
    ).area_fraction
    return common / (a.area_fraction + b.area_fraction - common)


def _distance(found: Region | None, true: Point, size: tuple[int, int]) -> float | None:
    return None if found is None else distance_fraction(found.centroid, true, *size)
