"""Pictures of a set tied to each other by the colours that they share.

What two pictures of one table share shows how their white and their exposure differ, much better
than either picture alone does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.progress_calls import Progress, silent
from auditor.series.colour.compared_pairs import ComparedPairs, ComparedSet, compare_set
from auditor.series.colour.relative_to_group import relative_to_group, tied_groups

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# On 191 rendered tables of the teaching family, 20 sets of one table each in light of one colour
# (`python -m fixtures.rendering tables --look`): 62 % of the pairs of pictures of one set reached
# this similarity, and 11 % of the pairs of pictures of two sets.
LEAST_SIMILARITY = 0.6
# Of the same tables, by the second largest similarity of a picture: from this similarity on 95 % of
# the pictures lie within 8 mired of the median of their set, below it 85 % within 25 mired.
WELL_TIED_SIMILARITY = 0.75
STRAY_MIRED = 6.0  # a difference that contradicts the others by this much counts half (no source)
STRAY_EV = 0.3  # the same for exposure: about the step of exposure controls (no source)


@dataclass(frozen=True, slots=True)
class TiedPictures:
    """The pictures of a set with what ties them.

    Attributes
    ----------
    ties : ComparedPairs
        Pairs that are similar enough.
    groups : list of (n,) int array
        Places of the pictures that are tied to each other, directly or through others.
    is_well_tied : (N,) bool array
    compared : ComparedSet
        All comparisons, also those that tie nothing.
    """

    ties: ComparedPairs
    groups: list[Places]
    is_well_tied: NDArray[np.bool_]
    compared: ComparedSet

    def relative_warmth(self) -> Floats:
        """Warmth (N,) of each picture relative to the median of its group."""
        return relative_to_group(self.ties, self.ties.warmer, self.groups, STRAY_MIRED)

    def relative_exposure_ev(self) -> Floats:
        """Exposure (N,) of each picture relative to the median of its group."""
        return relative_to_group(self.ties, self.ties.brighter_ev, self.groups, STRAY_EV)


def tie_pictures(
    measured: Sequence[MeasuredPhotograph],
    earlier: ComparedSet | None = None,
    progress: Progress = silent,
) -> TiedPictures:
    """Compare the pictures of a set by their colours, and tie those that are similar.

    Parameters
    ----------
    measured : sequence of MeasuredPhotograph
    earlier : ComparedSet or None
        Of the same set before some of its pictures were changed.
    progress : callable
    """
    compared = compare_set([picture.colours for picture in measured], earlier, progress)
    pairs = compared.pairs
    ties = pairs.chosen(pairs.similarity >= LEAST_SIMILARITY)
    is_well_tied = pairs.second_best_similarity() >= WELL_TIED_SIMILARITY
    return TiedPictures(ties, tied_groups(ties), is_well_tied, compared)
