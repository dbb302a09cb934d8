"""Find the pictures of a set that are crops of the same photograph."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box
from auditor.measurements.keypoints import DecodedKeypoints, decode_keypoints, decode_lightness
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.alike import AlikePictures
from auditor.series.crops.framing import Frame, Framing, MatchedPlaces, fit_framing
from auditor.series.crops.matching import MatchedPair, match_keypoints
from auditor.series.crops.overlap import Comparison, ReducedPicture, compare_overlap

LEAST_MATCHES = 3
"""Keypoints that must agree on one scale and offset before two pictures are compared."""

SMALLEST_SCALE = 0.3
"""Of the longest side of one picture in the other; less leaves too few cells to compare."""

# Chosen on 480 crops of 901 photographs (40 of each of three folders, with four seeds), among
# frames of the same food on the same table. The same photograph: correlation at least 0.989,
# detail at least 0.985 in all but one, worst block at most 0.5 in all but one. Another frame:
# detail at most 0.984, but for one that is nearly the same as the whole. Checked on 160 crops of
# 167 other photographs, of dishes (tests/benchmarks/check_crops.py): all found, and nothing else.
LEAST_CORRELATION = 0.985
LEAST_DETAIL_CORRELATION = 0.985
LARGEST_BLOCK_DIFFERENCE = 0.5

LARGEST_SHARED_OF_WHOLE = 0.97
"""Share of the frame. With more of it the picture is the same, not a crop."""

LEAST_SHARED_OF_CROP = 0.6
"""Share of the frame; less than all where both were cropped from one photograph, such as a wide and
a square version. With less of it two frames of a panorama could be meant (no source)."""

WHOLLY_SHARED = 0.98
"""Share of the frame from which on the crop lies in the whole. Fits were off by up to 0.006 on each
side, on the crops above."""

WHOLE_FRAME = Box(0.0, 0.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class CroppedPicture:
    """Two pictures that show one photograph in two framings.

    Attributes
    ----------
    whole, crop : str
        Their files; the whole shows more of the photograph.
    box : Box
        What both show, in the frame of the whole.
    crop_box : Box
        The same in the frame of the crop: all of it, unless each shows something that the other
        does not.
    """

    whole: str
    crop: str
    box: Box
    crop_box: Box


@dataclass(frozen=True, slots=True)
class _Found:
    """A crop, and what it is chosen by among the frames that are nearly the same."""

    pair: CroppedPicture
    of: frozenset[int]
    detail_correlation: float


def find_crops(
    measured: Sequence[MeasuredPhotograph], alike: Sequence[AlikePictures]
) -> tuple[CroppedPicture, ...]:
    """Find all pairs of pictures that show one photograph in two framings.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    alike : sequence of AlikePictures
        Pictures that are nearly the same are not compared with each other. Of several that are the
        whole or the crop of one other picture, the one that shows the same best stands for all.

    Returns
    -------
    tuple of CroppedPicture
        In the order of the set, by the earlier picture of each pair.
    """
    labels = _labels(measured, alike)
    points = [decode_keypoints(picture.keypoints.points) for picture in measured]
    best: dict[frozenset[int], _Found] = {}
    for pair in match_keypoints(points, labels, LEAST_MATCHES):
        found = _found(pair, points, measured, labels)
        if found is None:
            continue
        other = best.get(found.of)
        if other is None or found.detail_correlation > other.detail_correlation:
            best[found.of] = found
    pairs = [found.pair for found in best.values()]
    places = {picture.file: place for place, picture in enumerate(measured)}
    return tuple(
        sorted(
            _without_crops_of_other_frames(pairs, labels, places),
            key=lambda pair: sorted((places[pair.whole], places[pair.crop])),
        )
    )


def _without_crops_of_other_frames(
    pairs: Sequence[CroppedPicture], labels: NDArray[np.intp], places: Mapping[str, int]
) -> Iterator[CroppedPicture]:
    """Pairs but those of a crop of one frame and a crop of another that is nearly the same.

    Each of the two shows its own frame best, so that they are not of one photograph.
    """
    wholes: dict[str, dict[int, str]] = {}
    for pair in pairs:
        wholes.setdefault(pair.crop, {})[int(labels[places[pair.whole]])] = pair.whole
    for pair in pairs:
        own, others = wholes.get(pair.whole, {}), wholes[pair.crop]
        if all(others.get(label, whole) == whole for label, whole in own.items()):
            yield pair


def _labels(
    measured: Sequence[MeasuredPhotograph], alike: Sequence[AlikePictures]
) -> NDArray[np.intp]:
    """A number for each picture, the same for pictures that are nearly the same."""
    labels = {picture.file: place for place, picture in enumerate(measured)}
    # Groups of near-duplicates first: a copy then follows the first copy into its group.
    for group in sorted(alike, key=lambda group: group.same_file):
        for file in group.files[1:]:
            labels[file] = labels[group.files[0]]
    return np.array(list(labels.values()), dtype=np.intp)


def _found(
    pair: MatchedPair,
    points: Sequence[DecodedKeypoints],
    measured: Sequence[MeasuredPhotograph],
    labels: NDArray[np.intp],
) -> _Found | None:
    first, second = measured[pair.first], measured[pair.second]
    frames = _frame(first), _frame(second)
    framing = fit_framing(
        _places(points[pair.first], pair.first_points, frames[0]),
        _places(points[pair.second], pair.second_points, frames[1]),
        LEAST_MATCHES,
    )
    if framing is None or not SMALLEST_SCALE <= framing.scale <= 1 / SMALLEST_SCALE:
        return None
    comparison = compare_overlap(_reduced(first), _reduced(second), framing)
    if comparison is None or not _is_same_photograph(comparison):
        return None
    cropped = _cropped(first, second, comparison.framing)
    if cropped is None:
        return None
    of = frozenset((int(labels[pair.first]), int(labels[pair.second])))
    return _Found(cropped, of, comparison.detail_correlation)


def _is_same_photograph(comparison: Comparison) -> bool:
    return (
        comparison.correlation >= LEAST_CORRELATION
        and comparison.detail_correlation >= LEAST_DETAIL_CORRELATION
        and comparison.block_difference <= LARGEST_BLOCK_DIFFERENCE
    )


def _cropped(
    one: MeasuredPhotograph, another: MeasuredPhotograph, framing: Framing
) -> CroppedPicture | None:
    """Which picture is the whole and what it shares; None where neither is a crop."""
    first, second = one, another
    first_frame, second_frame = _frame(first), _frame(second)
    box = _in_frame(framing.shared(first_frame, second_frame), first_frame)
    other = _in_frame(framing.inverse().shared(second_frame, first_frame), second_frame)
    # The smaller a share of a picture is shared, the more of the photograph it shows.
    if box.area_fraction > other.area_fraction:
        first, second, box, other = second, first, other, box
    if box.area_fraction > LARGEST_SHARED_OF_WHOLE or other.area_fraction < LEAST_SHARED_OF_CROP:
        return None
    is_within = other.area_fraction >= WHOLLY_SHARED
    return CroppedPicture(
        first.file,
        second.file,
        _with_border(box, first),
        WHOLE_FRAME if is_within else _with_border(other, second),
    )


def _with_border(box: Box, picture: MeasuredPhotograph) -> Box:
    """A box within a picture's border, in fractions of the frame with it."""
    inside = _inside(picture)
    across, down = inside.right - inside.left, inside.bottom - inside.top
    return Box(
        inside.left + across * box.left,
        inside.top + down * box.top,
        inside.left + across * box.right,
        inside.top + down * box.bottom,
    )


def _inside(picture: MeasuredPhotograph) -> Box:
    """The picture within its border, where its keypoints lie."""
    border = None if picture.border is None else picture.border.value
    return WHOLE_FRAME if border is None else border.inside


def _in_frame(box: Box, frame: Frame) -> Box:
    """A box in fractions of the frame, from fractions of its longest side."""
    return Box(
        box.left / frame.width,
        box.top / frame.height,
        box.right / frame.width,
        box.bottom / frame.height,
    )


def _frame(picture: MeasuredPhotograph) -> Frame:
    inside = _inside(picture)
    width = picture.width * (inside.right - inside.left)
    height = picture.height * (inside.bottom - inside.top)
    longest = max(width, height)
    return Frame(width / longest, height / longest)


def _reduced(picture: MeasuredPhotograph) -> ReducedPicture:
    return ReducedPicture(decode_lightness(picture.keypoints.lightness), _frame(picture))


def _places(points: DecodedKeypoints, chosen: NDArray[np.int64], frame: Frame) -> MatchedPlaces:
    return MatchedPlaces(
        points.x[chosen] * frame.width, points.y[chosen] * frame.height, points.scale[chosen]
    )
