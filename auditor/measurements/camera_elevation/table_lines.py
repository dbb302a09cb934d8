"""Camera elevation from straight edges that lie along and across one direction of the table.

The edges of a board, a tray, a mat, a square dish or the table itself are parallel in pairs and
perpendicular. For each elevation and each direction of the edges on the table, the direction of
their images at every place follows from the focal length, the camera being level (Hartley and
Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition 2004, section 8.6). Every line
of the picture is explained by one of four causes: along, across, upright, or any direction. Along
and across may be those of one thing or of two, such as a mat and the cloth below it. The
probability of all lines, for each elevation, is summed over the directions and over the possible
focal lengths. Neither all sides of a rectangle nor its ratio of sides need to be known: a corner is
enough for a rough elevation.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point, diagonal_px
from auditor.line_segments import LineSegments, PooledLine, pool_segments
from auditor.measurements.camera_elevation.lens import Lens
from auditor.measurements.camera_elevation.posterior import (
    ELEVATIONS_DEG,
    LINES_DOUBT,
    doubt_of_halves,
)

Floats = NDArray[np.float64]
Labels = NDArray[np.integer]
Indices = NDArray[np.intp]

# The numbers below were chosen by the probability of the elevations given by eye on 67 photographs
# of dishes; its mean logarithm changes by less than 0.07 for neighbouring values.
MAX_LINES = 24  # the strongest
MIN_LINE_FRACTION = 0.08  # edge on a line, of the short side of the frame
UNIT_FRACTION = 0.15  # edge on a line of weight 1, of the short side; weights grow with the root
MAX_WEIGHT = 2.0
FULL_CONTRAST = 0.05  # of full scale: fainter lines weigh less
DIRECTION_ERROR_DEG = 1.0  # of long lines: boards are not exact, lenses distort
END_ERROR_DEG_PX = 20.0  # further error, times the length in px: one pixel from end to end
# Probability of each cause of a line: along, across, upright; any direction for the rest.
ALONG, ACROSS, UPRIGHT = 0.15, 0.15, 0.15
# Share of the first of two things in the lines on the table, and probability of a second one
# relative to one alone (no source).
FIRST_SHARE, TWO_THINGS = 0.6, 0.5
# Exponent of the likelihood: lines of one thing are not independent of each other.
TEMPER = 0.85
SPINS_DEG: Floats = np.arange(0.0, 90.0, 3.0)  # directions on the table; perpendicular ones follow
GRID_ERROR_DEG = 2.0  # of a direction: half a step of the spin and half a step of the elevation
ROLLS_DEG = (-3.0, 0.0, 3.0)  # of cameras held level
ROLL_ERROR_DEG = 4.0
# Nearer than this to the horizon (distance over the camera's height above 20) no table is seen.
MIN_DROP = 0.05
INSIDE_FRACTION = 0.02  # of the diagonal: edges so far inside a thing are food or pattern
MIN_LINES = 3  # two lines fit almost any elevation
FRAMED_DEG, FRAMED_SHARE = 3.0, 0.75  # of lines: parallel to a side of the frame
# All lines; and, in the order of their strength, every second one and the others.
PARTS = (slice(None), slice(0, None, 2), slice(1, None, 2))
USED_PROBABILITY = 0.5  # of the two causes on the table, from which a line counts as used


@dataclass(frozen=True, slots=True)
class TableLines:
    """What the straight edges tell of the elevation.

    Attributes
    ----------
    likelihood : (N,) float array
        Over `ELEVATIONS_DEG`; its sum is 1.
    doubt : float
        Probability that the edges are not those of a table, by how two halves of them agree.
    lines : tuple of (Point, Point)
        Ends of the lines that lie along or across, as fractions of the frame.
    is_framed : bool
        True if nearly all of these lines are parallel to a side of the frame.
    """

    likelihood: Floats
    doubt: float
    lines: tuple[tuple[Point, Point], ...]
    is_framed: bool = False


@dataclass(frozen=True, slots=True)
class _Lines:
    """Lines as arrays (n,): position in diagonals from the middle, direction in radians."""

    x: Floats
    y: Floats
    angle: Floats
    error: Floats
    weight: Floats


def read_table_lines(segments: LineSegments, lens: Lens, things: Labels | None) -> TableLines:
    """Compute the likelihood of each elevation from straight edges.

    Parameters
    ----------
    segments : LineSegments
        Without those along rims.
    lens : Lens
    things : (h, w) integer array or None
        Label map of the placed things; edges inside them are left out.
    """
    if things is not None:
        segments = segments.chosen(~_is_inside(segments, things))
    least = MIN_LINE_FRACTION * min(segments.width, segments.height)
    pooled = [line for line in pool_segments(segments, MAX_LINES) if line.covered_px >= least]
    if len(pooled) < MIN_LINES:
        return TableLines(np.full(ELEVATIONS_DEG.size, 1 / ELEVATIONS_DEG.size), LINES_DOUBT, ())
    lines = _arrays(pooled, segments)
    cases = [
        (roll_deg, focal_length, np.log(chance) - 0.5 * (roll_deg / ROLL_ERROR_DEG) ** 2)
        for roll_deg in ROLLS_DEG
        for focal_length, chance in lens.possible
    ]
    fits = np.stack([_log_likelihoods(lines, r, f) + prior for r, f, prior in cases], axis=1)
    whole, *halves = fits
    case, elevation, spin = np.unravel_index(int(whole.argmax()), whole.shape)
    on_table = _on_table(lines, int(elevation), int(spin), *cases[int(case)][:2])
    frame = (segments.width, segments.height)
    return TableLines(
        _likelihood(whole),
        doubt_of_halves(*(_likelihood(half) for half in halves)),
        tuple(_ends(line, frame) for line, used in zip(pooled, on_table, strict=True) if used),
        _is_framed(lines.angle[on_table]),
    )


def _is_framed(angles: Floats) -> bool:
    """True if nearly all directions (n,), in radians, are level or upright."""
    aligned = np.abs(np.sin(2 * angles)) < np.sin(2 * np.radians(FRAMED_DEG))
    return bool(aligned.size and aligned.mean() >= FRAMED_SHARE)


def _likelihood(fits: Floats) -> Floats:
    """Likelihood (N,) of the elevations from logarithms (cases, N, spins); its sum is 1."""
    likelihood = np.exp(TEMPER * (fits - fits.max())).sum(axis=(0, 2))
    return np.asarray(likelihood / likelihood.sum())


def _arrays(pooled: list[PooledLine], segments: LineSegments) -> _Lines:
    width, height = segments.width, segments.height
    centres = np.array([line.centre for line in pooled]) - np.array([width, height]) / 2
    x, y = centres.T / diagonal_px(width, height)
    covered = np.array([line.covered_px for line in pooled])
    contrast = np.array([line.contrast for line in pooled])
    size = covered / (UNIT_FRACTION * min(width, height))
    return _Lines(
        x,
        y,
        -np.radians([line.angle_deg for line in pooled]),
        np.radians(np.hypot(DIRECTION_ERROR_DEG, END_ERROR_DEG_PX / covered)),
        np.minimum(np.sqrt(size), MAX_WEIGHT) * np.minimum(contrast / FULL_CONTRAST, 1.0),
    )


def _log_likelihoods(lines: _Lines, roll_deg: float, focal_length: float) -> Floats:
    """Log-likelihoods (3, N elevations, M spins) of all lines and of both halves of them.

    0 is that of lines of any direction. Of two things, the spin of the first is the best one of a
    single thing.
    """
    elevation = np.radians(ELEVATIONS_DEG)[:, None, None]
    spin = np.radians(SPINS_DEG)[None, :, None]
    on_table, upright = _densities(lines, elevation, spin, roll_deg, focal_length)
    found = []
    # All lines and their halves share the logarithms for one thing.
    of_lines = _of_each(lines.weight, on_table, upright)
    for part in PARTS:
        weight, on, up = lines.weight[part], on_table[..., part], upright[..., part]
        of_one = of_lines[..., part].sum(axis=-1)
        first = on[np.arange(len(on)), of_one.argmax(axis=1)][:, None]
        of_two = _summed(weight, FIRST_SHARE * first + (1 - FIRST_SHARE) * on, up)
        found.append(np.logaddexp(of_one, of_two + np.log(TWO_THINGS)))
    return np.stack(found)


def _summed(weight: Floats, on_table: Floats, upright: Floats) -> Floats:
    """Weighted sum over the lines of the logarithm of their density, 0 for any direction."""
    return np.asarray(_of_each(weight, on_table, upright).sum(axis=-1))


def _of_each(weight: Floats, on_table: Floats, upright: Floats) -> Floats:
    """The same for each line."""
    any_direction = (1 - ALONG - ACROSS - UPRIGHT) / np.pi
    density = np.pi * (any_direction + on_table + upright)
    return np.asarray(weight * np.log(density))


def _on_table(
    lines: _Lines, elevation: int, spin: int, roll_deg: float, focal_length: float
) -> NDArray[np.bool_]:
    """True for each line that lies along or across a thing, by the indices of the best fit."""
    # The best fit may lie between the elevations and spins that were tried.
    lines = replace(lines, error=np.hypot(lines.error, np.radians(GRID_ERROR_DEG)))
    on_table, upright = _densities(
        lines,
        np.radians(ELEVATIONS_DEG[elevation]),
        np.radians(SPINS_DEG)[:, None],
        roll_deg,
        focal_length,
    )
    first = int(_summed(lines.weight, on_table, upright).argmax())
    most = np.maximum(on_table[first], on_table[spin])
    rest = upright[0] + (1 - ALONG - ACROSS - UPRIGHT) / np.pi
    return np.asarray(most > USED_PROBABILITY * (most + rest))


def _densities(
    lines: _Lines,
    elevation: Floats,
    spin: Floats,
    roll_deg: float,
    focal_length: float,
) -> tuple[Floats, Floats]:
    """Probability densities, per radian, of each line as one on the table and as an upright one.

    Camera axes are those of `circle_pose`; on the table, spin 0 is to the right.
    """
    roll = np.radians(roll_deg)
    x = lines.x * np.cos(roll) - lines.y * np.sin(roll)
    y = lines.x * np.sin(roll) + lines.y * np.cos(roll)
    angle = lines.angle + roll
    sine, cosine = np.sin(elevation), np.cos(elevation)

    def density(right: Floats, down: Floats, away: Floats) -> Floats:
        image = np.arctan2(focal_length * down - away * y, focal_length * right - away * x)
        turn = angle - image + np.pi / 2
        # As turn % pi, which takes several times as long as all the rest.
        apart = turn - np.pi * np.floor(turn / np.pi) - np.pi / 2
        return np.asarray(
            np.exp(-0.5 * (apart / lines.error) ** 2) / (lines.error * np.sqrt(2 * np.pi))
        )

    along = density(np.cos(spin), -np.sin(spin) * sine, np.sin(spin) * cosine)
    across = density(-np.sin(spin), -np.cos(spin) * sine, np.cos(spin) * cosine)
    # An upright line has no direction on the table: one spin stands for all.
    upright = density(np.zeros_like(spin[..., :1, :]), -cosine, -sine)
    # Above the horizon there is no table.
    is_table = sine + y / focal_length * cosine > MIN_DROP
    on_table = np.where(is_table, ALONG * along + ACROSS * across, (ALONG + ACROSS) / np.pi)
    return on_table, UPRIGHT * upright


def _is_inside(segments: LineSegments, things: Labels) -> NDArray[np.bool_]:
    """True for segments that lie inside a thing, away from its outline and the frame's edge."""
    height, width = things.shape
    x = np.clip((segments.centres[:, 0] / segments.width * width).astype(int), 0, width - 1)
    y = np.clip((segments.centres[:, 1] / segments.height * height).astype(int), 0, height - 1)
    edge = np.zeros(things.shape, dtype=np.bool_)
    edge[1:] |= things[1:] != things[:-1]
    edge[:, 1:] |= things[:, 1:] != things[:, :-1]
    is_near_edge = _any_within(edge, y, x, INSIDE_FRACTION * float(np.hypot(width, height)))
    return np.asarray((things[y, x] > 0) & ~is_near_edge)


def _any_within(
    mask: NDArray[np.bool_], rows: Indices, columns: Indices, radius: float
) -> NDArray[np.bool_]:
    """True for places with a marked pixel within a radius; distances of a few places only."""
    reach = int(radius)
    down, across = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    disc = np.sqrt(down**2 + across**2) <= radius
    wide = np.pad(mask, reach)
    down, across = down[disc] + reach, across[disc] + reach
    return np.asarray(wide[rows[:, None] + down, columns[:, None] + across].any(axis=1))


def _ends(line: PooledLine, frame: tuple[float, float]) -> tuple[Point, Point]:
    turn = np.radians(line.angle_deg)
    half = line.covered_px / 2 * np.array([np.cos(turn), -np.sin(turn)])
    start, stop = np.array(line.centre) - half, np.array(line.centre) + half
    width, height = frame
    return (
        Point(float(start[0] / width), float(start[1] / height)),
        Point(float(stop[0] / width), float(stop[1] / height)),
    )
