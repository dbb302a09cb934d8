"""Each picture compared with all others together: which change makes it most likely.

Two pictures of one table may have a corner of cloth in common, or nothing. All other pictures
together show more: every plate and every food of the menu in its colours. Taken as a density, they
say how likely the colours of one more picture are. If that picture was developed differently, all
its colours become more likely at once when the change is undone. A food that no other picture shows
stays unlikely whatever change is undone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from auditor.colour_signature.neutral_plane import cone_ratios_from_plane
from auditor.colour_signature.signature import (
    DUV_BIN,
    N_DUV_BINS,
    N_STEPS_EV,
    N_WARMTH_BINS,
    SHAPE,
    WARMTH_BIN_MIRED,
    ColourSignature,
)
from auditor.progress_calls import Progress, silent
from auditor.series.colour.likeliest_change import (
    Density,
    KindOfChange,
    LikeliestChange,
    likeliest_change,
)
from auditor.series.colour.smoothing import smooth

# Hue around neutral, and the binary logarithm of the distance from it, which desaturation changes.
N_HUES = 24
N_STRENGTHS, STRENGTHS_PER_OCTAVE = 48, 8
WEAKEST_MIRED = 8.0  # grain moves a grey about as far from neutral
SMOOTHING_BINS = (1.0, 0.8, 1.2)  # grain and fall-off spread one surface over about a bin
SMOOTHING_STRENGTH_BINS = (1.0, 1.0, 1.5)

# Size of a change that costs half of `COST_OF_CHANGE` (no source).
EXPECTED_MIRED, EXPECTED_OCTAVES = 40.0, 1.0
# In a larger set that is described again, pictures that were not changed keep what was found of
# them: a few others hardly change what all of them show (our choice, no source).
ALL_AGAIN_UP_TO = 256
LEAST_WEIGHT = 1e-12  # keeps a quotient finite where a picture has no usable colour


@dataclass(frozen=True, slots=True)
class FoundChanges:
    """The changes of some pictures of a set.

    Attributes
    ----------
    signatures : sequence of ColourSignature
        Of all pictures.
    together : float64 array
        Sum of what they show, before it is smoothed.
    of : mapping of int to LikeliestChange
        By the place of the picture.
    """

    signatures: Sequence[ColourSignature]
    together: NDArray[np.float64]
    of: Mapping[int, LikeliestChange]


def changes_of_white(
    signatures: Sequence[ColourSignature],
    asked: Sequence[int] | None = None,
    earlier: FoundChanges | None = None,
    progress: Progress = silent,
) -> FoundChanges:
    """How much warmer some of two or more pictures are than the others.

    Parameters
    ----------
    signatures : sequence of ColourSignature
        Of all pictures.
    asked : sequence of int or None
        The pictures that are asked for, by their places; None for all.
    earlier : FoundChanges or None
        Of the same set before some pictures were changed. In a set of more than `ALL_AGAIN_UP_TO`
        what was found then of the other pictures is taken over.
    progress : callable
    """
    everyone = range(len(signatures))
    return _changes(signatures, _WARMTH, everyone if asked is None else asked, earlier, progress)


def changes_of_saturation(
    signatures: Sequence[ColourSignature],
    earlier: FoundChanges | None = None,
    progress: Progress = silent,
) -> FoundChanges:
    """How much more saturated each of two or more pictures is than the others.

    `earlier` and `progress` are as in `changes_of_white`.
    """
    return _changes(signatures, _STRENGTH, range(len(signatures)), earlier, progress)


def _strengths(signature: ColourSignature) -> Density:
    """Histogram of lightness, hue and strength, weighted by strength.

    A change of strength shows most in strong colours.
    """
    shape = _STRENGTH.shape
    into, strength = _strength_bins()
    bins, weights = signature.counts()
    places = into[bins]
    held = places >= 0
    flat = np.bincount(
        places[held], weights[held] * strength[bins[held]], minlength=int(np.prod(shape))
    )
    return np.asarray(flat, dtype=np.float32).reshape(shape)


_WARMTH = KindOfChange(
    WARMTH_BIN_MIRED,
    20,
    EXPECTED_MIRED,
    SHAPE,
    is_round=False,
    histogram=ColourSignature.histogram,
    smoothing_bins=SMOOTHING_BINS,
)
_STRENGTH = KindOfChange(
    1 / STRENGTHS_PER_OCTAVE,
    14,
    EXPECTED_OCTAVES,
    (N_STEPS_EV, N_HUES, N_STRENGTHS),
    is_round=True,
    histogram=_strengths,
    smoothing_bins=SMOOTHING_STRENGTH_BINS,
)


@cache
def _strength_bins() -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """For each bin of a signature its bin of hue and strength, or -1, and its strength in mired."""
    step, duv, warmth = np.unravel_index(np.arange(int(np.prod(SHAPE))), SHAPE)
    plane = np.stack(
        [
            (warmth - N_WARMTH_BINS // 2) * WARMTH_BIN_MIRED,
            (duv - N_DUV_BINS // 2) * DUV_BIN,
        ],
        axis=-1,
    )
    ratios = cone_ratios_from_plane(plane)
    mired = np.linalg.norm(cone_ratios_from_plane(np.array([1.0, 0.0])))
    strength = np.linalg.norm(ratios, axis=-1) / mired
    hue = np.rint(np.arctan2(ratios[:, 1], ratios[:, 0]) / (2 * np.pi) * N_HUES).astype(np.intp)
    octave = np.log2(np.maximum(strength, 1e-3) / WEAKEST_MIRED)
    level = np.rint(octave * STRENGTHS_PER_OCTAVE).astype(np.intp)
    place = (step * N_HUES + hue % N_HUES) * N_STRENGTHS + level
    return np.where((level >= 0) & (level < N_STRENGTHS), place, -1), strength


def _changes(
    signatures: Sequence[ColourSignature],
    kind: KindOfChange,
    asked: Sequence[int],
    earlier: FoundChanges | None,
    progress: Progress,
) -> FoundChanges:
    """The changes of the pictures at the places that are asked for.

    One density is held at a time, besides that of all pictures together.

    Smoothing is linear: smoothed together, the pictures need not all be smoothed twice.
    """
    if earlier is None or len(signatures) <= ALL_AGAIN_UP_TO:
        together = _sum_of(signatures, kind)
        found = {}
    else:
        both = enumerate(zip(earlier.signatures, signatures, strict=True))
        changed = {place for place, (before, now) in both if before != now}
        together = earlier.together + _sum_of([signatures[place] for place in changed], kind)
        together -= _sum_of([earlier.signatures[place] for place in changed], kind)
        np.maximum(together, 0.0, out=together)  # differences of equal numbers, but for rounding
        found = {place: one for place, one in earlier.of.items() if place not in changed}
    whole = smooth(together.astype(np.float32), kind.smoothing_bins, kind.modes)
    n_others = max(1, len(signatures) - 1)
    for n_done, place in enumerate(asked):
        progress(n_done, len(asked), "")
        if place in found:
            continue
        smoothed = smooth(kind.histogram(signatures[place]), kind.smoothing_bins, kind.modes)
        own = smoothed / np.float32(max(float(smoothed.sum()), LEAST_WEIGHT))
        found[place] = likeliest_change(own, whole, n_others, kind)
    return FoundChanges(signatures, together, found)


def _sum_of(signatures: Sequence[ColourSignature], kind: KindOfChange) -> NDArray[np.float64]:
    """Sum of what pictures show, each of the weight that smoothing keeps inside the histogram."""
    shape = kind.shape
    kept = _kept_by_smoothing(shape, kind)
    together = np.zeros(shape)
    for signature in signatures:
        bare = kind.histogram(signature)
        together += bare / max(float((bare * kept).sum()), LEAST_WEIGHT)
    return together


def _kept_by_smoothing(shape: tuple[int, ...], kind: KindOfChange) -> Density:
    """How much of the weight of each bin smoothing keeps inside the histogram."""
    # Smoothing is symmetric: what a bin receives from ones everywhere is what it gives.
    return smooth(np.ones(shape, dtype=np.float32), kind.smoothing_bins, kind.modes)
