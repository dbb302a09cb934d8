"""How the pictures belong together: one set, a portfolio, or single pictures.

Pictures of one shoot share most of what can be measured: colours, a surface, a format, a camera, a
day. Pictures of several shoots or makers share little of it. Each pair of pictures is weighed by
what it shares, as log-odds that add up; the mean probability over all pairs decides. In doubt the
pictures are a set: a set that is taken for a portfolio loses its outliers without a word, while a
portfolio that is taken for a set shows at once that it was.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import combinations

import numpy as np

from auditor.colorimetry import ciede2000
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantity import MOST_DOUBT
from auditor.series.colour.compared_pairs import compare_pictures
from auditor.series.colour.tied_pictures import LEAST_SIMILARITY
from auditor.series.groups import SAME_SURFACE_CIEDE2000

MOST_PICTURES = 20  # whose pairs are weighed; of more, a sample that no order of files changes
LEAST_PICTURES = 3  # two pictures are one pair: too little to tell
# Mean probability below which pictures are no set, by the number of pictures: few pictures make
# few pairs. See `tests/benchmarks/check_kind.py`.
LEAST_TOGETHER = ((3, 0.2), (5, 0.33), (9, 0.42))
# Log-odds that a pair is of one shoot, in natural logarithms. Colours: by the similarity of the
# colour signatures, from photographs of 40 makers and of one table. The others are our choice.
EVEN_SIMILARITY, PER_SIMILARITY, MOST_OF_COLOURS = 0.58, 12.0, 2.5
SAME_SURFACE = 2.0
SAME_FORMAT, OTHER_FORMAT = 0.5, -0.7
SAME_CAMERA, OTHER_CAMERA = 1.0, -2.0
SAME_DAYS, OTHER_DAYS = 1.5, -2.0
OTHER_CREATOR = -3.0
FORMAT_TOLERANCE = 0.02  # of the ratio; upright and wide are one format
MOST_DAYS, LEAST_OTHER_DAYS = (
    3.0,
    21.0,
)  # a shoot takes up to as many days; between, nothing is said
SECONDS_A_DAY = 86400.0


class SetKind(StrEnum):
    """How pictures that are audited together belong together.

    Those of one set are meant to look alike; those of a portfolio to show a range; single pictures
    have nothing to do with each other.
    """

    SET = "set"
    PORTFOLIO = "portfolio"
    SINGLE = "single"


@dataclass(frozen=True, slots=True)
class KindOfSet:
    """The kind, and how it is known.

    Attributes
    ----------
    kind : SetKind
    is_given : bool
        True if it was given, rather than told from the pictures.
    by_plan : bool
        True if it is a set because it has a plan.
    n_pairs, n_unlike : int
        Pairs of pictures that were weighed, and those that share neither colours nor a surface; 0
        where nothing was weighed.
    n_cameras, n_formats : int
        Among the pictures that were weighed.
    together : float or None
        Mean probability, in [0, 1], that two of the pictures are of one shoot.
    """

    kind: SetKind
    is_given: bool
    by_plan: bool = False
    n_pairs: int = 0
    n_unlike: int = 0
    n_cameras: int = 0
    n_formats: int = 0
    together: float | None = None


def tell_kind(
    measured: Sequence[MeasuredPhotograph], given: SetKind | None, *, has_plan: bool = False
) -> KindOfSet:
    """Tell how pictures belong together, unless it is given or a plan says that they are a set."""
    if given is not None:
        return KindOfSet(given, is_given=True)
    if len(measured) == 1:
        return KindOfSet(SetKind.SINGLE, is_given=False)
    if has_plan:
        return KindOfSet(SetKind.SET, is_given=False, by_plan=True)
    if len(measured) < LEAST_PICTURES:
        return KindOfSet(SetKind.SET, is_given=False)
    return _weighed(sorted(measured, key=lambda one: (one.sha256, one.file))[:MOST_PICTURES])


def _weighed(sample: Sequence[MeasuredPhotograph]) -> KindOfSet:
    pairs = compare_pictures([picture.colours for picture in sample])
    similarity = {
        (i, j): float(value)
        for i, j, value in zip(
            pairs.first.tolist(), pairs.second.tolist(), pairs.similarity, strict=True
        )
    }
    odds, n_unlike = [], 0
    for i, j in combinations(range(len(sample)), 2):
        first, second = sample[i], sample[j]
        is_surface = is_same_surface(first, second)
        n_unlike += similarity[i, j] < LEAST_SIMILARITY and not is_surface
        odds.append(log_odds(first, second, similarity[i, j], is_surface=is_surface))
    together = float(np.mean([1 / (1 + math.exp(-one)) for one in odds]))
    least = max(limit for n, limit in LEAST_TOGETHER if len(sample) >= n)
    return KindOfSet(
        SetKind.PORTFOLIO if together < least else SetKind.SET,
        is_given=False,
        n_pairs=len(odds),
        n_unlike=n_unlike,
        n_cameras=len({picture.camera.model for picture in sample} - {None}),
        n_formats=len({round(math.log(_format(picture)) / FORMAT_TOLERANCE) for picture in sample}),
        together=together,
    )


def log_odds(
    first: MeasuredPhotograph, second: MeasuredPhotograph, similarity: float, *, is_surface: bool
) -> float:
    """Log-odds that two pictures are of one shoot; what is not known adds nothing."""
    colours = PER_SIMILARITY * (similarity - EVEN_SIMILARITY)
    odds = max(-MOST_OF_COLOURS, min(MOST_OF_COLOURS, colours))
    odds += SAME_SURFACE * is_surface
    is_format = abs(math.log(_format(first) / _format(second))) <= FORMAT_TOLERANCE
    odds += SAME_FORMAT if is_format else OTHER_FORMAT
    if first.camera.model and second.camera.model:
        is_camera = _camera(first) == _camera(second)
        odds += SAME_CAMERA if is_camera else OTHER_CAMERA
    if first.creator and second.creator and first.creator != second.creator:
        odds += OTHER_CREATOR
    days = _days_apart(first, second)
    if days is not None and days <= MOST_DAYS:
        odds += SAME_DAYS
    elif days is not None and days >= LEAST_OTHER_DAYS:
        odds += OTHER_DAYS
    return odds


def is_same_surface(first: MeasuredPhotograph, second: MeasuredPhotograph) -> bool:
    """Whether two pictures stand on one surface, as far as both are known."""
    one, other = first.surface, second.surface
    if one.value is None or other.value is None:
        return False
    if max(one.doubt or 0.0, other.doubt or 0.0) > MOST_DOUBT:
        return False
    difference = ciede2000(np.array(one.value.lab), np.array(other.value.lab))
    return float(difference) <= SAME_SURFACE_CIEDE2000


def _format(picture: MeasuredPhotograph) -> float:
    """The longer side over the shorter one."""
    return max(picture.width, picture.height) / min(picture.width, picture.height)


def _camera(picture: MeasuredPhotograph) -> tuple[str | None, str | None]:
    return picture.camera.make, picture.camera.model


def _days_apart(first: MeasuredPhotograph, second: MeasuredPhotograph) -> float | None:
    one, other = _taken(first), _taken(second)
    if one is None or other is None:
        return None
    return abs((one - other).total_seconds()) / SECONDS_A_DAY


def _taken(picture: MeasuredPhotograph) -> datetime | None:
    """The time on the camera's clock; files with and without a zone are compared alike."""
    try:
        return datetime.fromisoformat(picture.camera.taken or "").replace(tzinfo=None)
    except ValueError:
        return None
