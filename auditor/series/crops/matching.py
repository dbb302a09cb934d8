"""Which keypoints of different pictures look the same, without comparing each with each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.keypoints import PATCH_STEPS, DecodedKeypoints

Indices = NDArray[np.int64]

N_KEY_WAVES = 20
"""Waves of a patch whose signs make its key. Of 14406 keypoints of 100 photographs each is then
found under the keys of one other on average."""

N_UNSURE_WAVES = 5
"""Of these, the waves nearest to their median, whose signs are tried both ways. Three of four
keypoints of a crop are then found under the key of the same keypoint of the whole picture."""

MOST_OF_ONE_KEY = 64
"""Keypoints. What more of them share (the corner of a check, the weave of a cloth) tells pictures
hardly apart, and would cost the square of its number."""

MOST_PARTNERS = 8
"""Pictures with which each is compared further, those with the most keypoints in common: a series
of a hundred frames of one table has keypoints in common in all its pairs."""

LARGEST_PATCH_DIFFERENCE = 0.4
"""Between patches of unit norm. Of the keypoints that a crop shares with the whole picture nine of
ten differ by less, of others one in a thousand."""

_LOOKED_UP_AT_ONCE = 32768  # keypoints: bounds the memory of a large set


@dataclass(frozen=True, slots=True)
class MatchedPair:
    """Two pictures with keypoints that look the same.

    Attributes
    ----------
    first, second : int
        The pictures, by their places in the set; the first comes earlier.
    first_points, second_points : (N,) int array
        The keypoints of each, by their places in the picture.
    """

    first: int
    second: int
    first_points: Indices
    second_points: Indices


def match_keypoints(
    pictures: Sequence[DecodedKeypoints], labels: NDArray[np.integer], least: int
) -> Iterator[MatchedPair]:
    """Find all pairs of pictures with at least `least` keypoints that look the same.

    Parameters
    ----------
    pictures : sequence of DecodedKeypoints
    labels : (len(pictures),) int array
        Pictures of the same label are not compared.
    least : int
    """
    counts = np.array([len(points.x) for points in pictures], dtype=np.int64)
    if counts.sum() == 0:
        return
    starts = np.cumsum(counts) - counts
    owners = np.repeat(np.arange(len(pictures)), counts)
    patches = np.concatenate([points.patch for points in pictures])
    is_dark = np.concatenate([points.is_dark for points in pictures])
    earlier, later = _matches(patches, is_dark, labels[owners])
    pair = owners[earlier] * len(pictures) + owners[later]
    order = np.argsort(pair, kind="stable")
    pair, earlier, later = pair[order], earlier[order], later[order]
    edges = np.flatnonzero(np.diff(pair, prepend=-1, append=-1))
    sizes = np.diff(edges)
    first, second = np.divmod(pair[edges[:-1]], len(pictures))
    for place in np.flatnonzero((sizes >= least) & _best_of_either(first, second, sizes)).tolist():
        own = slice(edges[place], edges[place + 1])
        yield MatchedPair(
            int(first[place]),
            int(second[place]),
            earlier[own] - starts[first[place]],
            later[own] - starts[second[place]],
        )


def _best_of_either(first: Indices, second: Indices, sizes: Indices) -> NDArray[np.bool_]:
    """Which pairs are among the `MOST_PARTNERS` with the most matches of one of their pictures."""
    picture = np.concatenate([first, second])
    order = np.lexsort((-np.tile(sizes, 2), picture))
    counts = np.bincount(picture)
    rank = np.empty(len(picture), dtype=np.int64)
    rank[order] = np.arange(len(picture)) - np.repeat(np.cumsum(counts) - counts, counts)
    of_first, of_second = rank.reshape(2, -1)
    return np.asarray((of_first < MOST_PARTNERS) | (of_second < MOST_PARTNERS))


def _matches(
    patches: NDArray[np.int8], is_dark: NDArray[np.bool_], labels: NDArray[np.integer]
) -> tuple[Indices, Indices]:
    """Pairs of keypoints that look the same, each once, the earlier first."""
    values = patches.astype(np.float32) / np.float32(PATCH_STEPS)
    key_waves = values[:, :N_KEY_WAVES] - np.median(values[:, :N_KEY_WAVES], axis=0)
    worths = np.int64(1) << np.arange(N_KEY_WAVES)
    keys = (key_waves > 0) @ worths + (is_dark.astype(np.int64) << N_KEY_WAVES)
    by_key = np.argsort(keys, kind="stable")
    # Where the keypoints of each possible key start in `by_key`.
    starts = np.searchsorted(keys[by_key], np.arange(2 ** (N_KEY_WAVES + 1) + 1))
    unsure = np.argsort(np.abs(key_waves), axis=1, kind="stable")[:, :N_UNSURE_WAVES]
    bits = np.ascontiguousarray(worths[unsure].T)
    tried, found = keys.copy(), []
    for turn in range(2**N_UNSURE_WAVES):
        if turn:  # as a Gray code counts: one sign changes each time, and all are tried
            tried ^= bits[(turn & -turn).bit_length() - 1]
        for start in range(0, len(keys), _LOOKED_UP_AT_ONCE):
            some = np.arange(start, min(start + _LOOKED_UP_AT_ONCE, len(keys)))
            one, other = _under_keys(some, tried[some], starts, by_key)
            apart = labels[one] != labels[other]
            one, other = one[apart], other[apart]
            near = _squared_difference(values, one, other) <= LARGEST_PATCH_DIFFERENCE**2
            one, other = one[near], other[near]
            found.append(np.minimum(one, other) * len(keys) + np.maximum(one, other))
    earlier, later = np.divmod(np.unique(np.concatenate(found)), len(keys))
    return earlier, later


def _under_keys(
    looked_up: Indices, keys: Indices, starts: Indices, by_key: Indices
) -> tuple[Indices, Indices]:
    """Each keypoint that is looked up beside each of those that have its key."""
    first = starts[keys]
    counts = starts[keys + 1] - first
    counts[counts > MOST_OF_ONE_KEY] = 0
    one = np.repeat(looked_up, counts)
    places = np.arange(len(one)) + np.repeat(first - (np.cumsum(counts) - counts), counts)
    return one, by_key[places]


def _squared_difference(
    values: NDArray[np.float32], one: Indices, other: Indices
) -> NDArray[np.float32]:
    difference = values[one] - values[other]
    squared: NDArray[np.float32] = np.einsum("ij,ij->i", difference, difference)
    return squared
