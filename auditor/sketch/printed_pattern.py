"""The repeating pattern printed on squared, ruled or dotted paper: where its lines run.

A printed pattern is periodic over the whole sheet; a drawing is not. The period and the direction
come from the peaks of the Fourier spectra of overlapping tiles, at which the harmonics of a thin
line add up. A smooth phase whose gradient fits all tiles (a polynomial, for the perspective) brings
the pattern nearly to rest; what remains of its phase is found by demodulation, as in the analysis
of interference fringes (Takeda, Ina and Kobayashi, Journal of the Optical Society of America 72,
1982), and takes up the curvature of the sheet and of the lens.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import fft, ndimage

from auditor.sketch.ink import block_mean, enlarged

Array = NDArray[np.float32]
Floats = NDArray[np.float64]

TILE_PX, TILE_STEP_PX = 192, 96  # of the reduced page, 1000 px long: at least three lines of ruled
# Periods that are looked for, in px of the reduced page: squares of 4 mm on A4 that fills two
# thirds of the picture have 9, ruled A5 of 9 mm has 43.
SHORTEST_PERIOD_PX, LONGEST_PERIOD_PX = 7.0, 48.0
STEEPEST = 0.45  # slope of the lines of a pattern: 24 degrees
N_HARMONICS = 3
# Darker pixels are drawn, not printed, or printed so dark that their height no longer matters.
DARKEST_PRINT = 0.2
# How far a peak of the spectrum stands above its surroundings where a pattern is printed, and how
# many tiles agree. Our choice on drawn pages, no source.
LEAST_PEAK = 9.0
LEAST_TILES = 6
# A frequency is the first of its harmonics unless a half or a third of it stands out this many
# times above its surroundings, and this share as much as itself.
LEAST_FUNDAMENTAL, FUNDAMENTAL_SHARE = 5.0, 0.35
LEAST_TILE_SHARE = 0.2
AGREEMENT = 0.12  # of the frequencies of neighbouring tiles, as a share
# From this peak on a tile is as good as any, and how far a tile's frequency may be off, as a share:
# farther off it counts less (iterated weights, as of Cauchy). Our choice, no source.
CLEAREST_PEAK, FREQUENCY_TOLERANCE, N_PHASE_ROUNDS = 60.0, 0.015, 12
DEMODULATION_BLOCK_PX, DEMODULATION_SIGMA_BLOCKS = 4, 7.0


@dataclass(frozen=True, slots=True, eq=False)
class LineFamily:
    """Parallel printed lines: nearly level, or upright with the axes exchanged.

    Attributes
    ----------
    phase : (h, w) float array
        Smooth part of the phase in periods, of the reduced page.
    rest : (h, w) complex array
        The remaining phase as a number of length 1; its angle over 2 pi is added to the phase.
        Lines run where the sum is a whole number.
    """

    phase: Array
    rest: NDArray[np.complex64]

    @property
    def period_px(self) -> float:
        """Median distance of neighbouring lines in px of the reduced page."""
        return float(1 / np.median(np.hypot(*np.gradient(self.phase[::8, ::8])) / 8))

    def distance(self, shape: tuple[int, int], factor: int) -> Array:
        """Distance from the nearest line, signed, in px of the page of `shape`."""
        smooth = enlarged(self.phase, shape, factor)
        turn = np.arctan2(
            enlarged(self.rest.imag, shape, factor), enlarged(self.rest.real, shape, factor)
        )
        phase = smooth + turn / np.float32(2 * np.pi)
        per_px = np.hypot(*np.gradient(self.phase)) / factor
        return np.asarray((phase - np.rint(phase)) / enlarged(per_px, shape, factor))


def find_level_family(darkness: Array) -> LineFamily | None:
    """Find printed lines that are nearly level; None if there are none.

    Parameters
    ----------
    darkness : (h, w) float array
        Ink of the reduced page; pass its transpose for upright lines.
    """
    faint = np.minimum(darkness, DARKEST_PRINT)
    tiles = _tiles(faint)
    chosen = _agreeing(tiles)
    if chosen is None:
        return None
    phase = _smooth_phase(chosen, faint.shape)
    wave = np.exp(-2j * np.pi * phase).astype(np.complex64) * faint
    return LineFamily(phase.astype(np.float32), _low_pass(wave))


@dataclass(frozen=True, slots=True)
class _Tile:
    x: float
    y: float
    frequency: tuple[float, float]  # along x and y, in periods per px
    peak: float


def _tiles(faint: Array) -> list[_Tile]:
    height, width = faint.shape
    size = min(TILE_PX, height, width)
    window = np.outer(np.hanning(size), np.hanning(size)).astype(np.float32)
    found = []
    for top in _starts(height, size):
        for left in _starts(width, size):
            part = faint[top : top + size, left : left + size]
            # The half with frequencies down the page from 0; the other is its mirror image.
            spectrum = np.abs(fft.rfft2((part - part.mean()) * window, axes=(1, 0)))
            peak, frequency = _peak(_whitened(spectrum))
            if peak >= LEAST_PEAK:
                found.append(_Tile(left + size / 2, top + size / 2, frequency, peak))
    return found


def _starts(length: int, size: int) -> NDArray[np.intp]:
    n_tiles = max(1, round((length - size) / TILE_STEP_PX) + 1)
    return np.linspace(0, length - size, n_tiles).astype(np.intp)


def _whitened(spectrum: Array) -> Array:
    """The spectrum relative to its usual height at each distance from its middle.

    A drawing has most of its energy at low frequencies, in all directions.
    """
    radius, counts = _radii(spectrum.shape[1])
    logs = np.log(spectrum + np.float32(1e-9))
    usual = np.bincount(radius.ravel(), logs.ravel()) / counts
    return np.asarray(np.exp(logs - usual.astype(np.float32)[radius]))


@cache
def _radii(size: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Distance of each frequency from zero in whole bins, and how many have each."""
    along = np.minimum(np.arange(size), size - np.arange(size))
    radius = np.hypot(along[: size // 2 + 1, None], along[None, :]).astype(np.intp)
    return radius, np.bincount(radius.ravel())


def _peak(spectrum: Array) -> tuple[float, tuple[float, float]]:
    """Height of the strongest set of harmonics above the others, and its frequency."""
    size = spectrum.shape[1]
    low, high = int(size / LONGEST_PERIOD_PX), int(size / SHORTEST_PERIOD_PX)
    rows = np.arange(max(3, low), high + 1)
    reach = int(STEEPEST * high)
    columns = np.arange(-reach, reach + 1)
    y, x = np.meshgrid(rows, columns, indexing="ij")
    base = spectrum[y, x % size]
    total = base.copy()
    for order in range(2, N_HARMONICS + 1):
        inside = order * y < size // 2
        harmonic = spectrum[(order * y) % size, (order * x) % size]
        # Not above the first: half the frequency of a pattern has its harmonics, too.
        total += np.where(inside, np.minimum(harmonic, base), 0)
    total[np.abs(x) > STEEPEST * y] = 0
    row, column = np.unravel_index(int(total.argmax()), total.shape)
    level = float(np.median(total[np.abs(x) <= STEEPEST * y])) + 1e-9
    first = _fundamental(spectrum, int(y[row, column]), int(x[row, column]), int(rows[0]))
    place = _interpolated(spectrum, *first)
    return float(total[row, column]) / level, (place[1] / size, place[0] / size)


def _fundamental(spectrum: Array, y: int, x: int, lowest: int) -> tuple[int, int]:
    """The frequency of which a peak may be the second or third harmonic."""
    size = spectrum.shape[1]
    needed = max(LEAST_FUNDAMENTAL, FUNDAMENTAL_SHARE * float(spectrum[y, x % size]))
    for order in (3, 2):
        near = [
            (round(y / order) + dy, round(x / order) + dx) for dy in (-1, 0, 1) for dx in (-1, 0, 1)
        ]
        best = max(near, key=lambda at: float(spectrum[at[0] % size, at[1] % size]))
        if best[0] >= lowest and spectrum[best[0], best[1] % size] >= needed:
            return best
    return y, x


def _interpolated(spectrum: Array, y: int, x: int) -> tuple[float, float]:
    """Place of a peak to a fraction of a bin."""
    size = spectrum.shape[1]
    places = []
    for along_y in (True, False):
        before, here, after = (
            np.log(spectrum[(y + s * along_y) % size, (x + s * (not along_y)) % size] + 1e-12)
            for s in (-1, 0, 1)
        )
        bend = before - 2 * here + after
        shift = 0.5 * (before - after) / bend if bend < 0 else 0.0
        places.append((y if along_y else x) + float(np.clip(shift, -0.5, 0.5)))
    return places[0], places[1]


def _agreeing(tiles: list[_Tile]) -> list[_Tile] | None:
    """The tiles that see one pattern."""
    if len(tiles) < LEAST_TILES:
        return None
    frequencies = np.array([tile.frequency for tile in tiles])
    places = np.array([(tile.x, tile.y) for tile in tiles])
    peaks = np.array([tile.peak for tile in tiles])
    apart = np.hypot(*(places[:, None] - places[None, :]).transpose(2, 0, 1))
    # Perspective changes the frequency by up to a third over the page.
    allowed = AGREEMENT + 0.3 * apart / max(float(apart.max()), 1.0)
    off = np.hypot(*(frequencies[:, None] - frequencies[None, :]).transpose(2, 0, 1))
    alike = off <= allowed * np.hypot(*frequencies.T)[None, :]
    best = int((alike * peaks[None, :]).sum(axis=1).argmax())
    chosen = [tile for tile, same in zip(tiles, alike[best], strict=True) if same]
    return chosen if len(chosen) >= max(LEAST_TILES, LEAST_TILE_SHARE * len(tiles)) else None


def _smooth_phase(tiles: list[_Tile], shape: tuple[int, ...]) -> Floats:
    """The phase whose gradient fits the frequencies of the tiles."""
    scale = max(shape)
    x = np.array([tile.x for tile in tiles]) / scale - 0.5
    y = np.array([tile.y for tile in tiles]) / scale - 0.5
    powers = [(1, 0), (0, 1), (2, 0), (1, 1), (0, 2)]
    if len(tiles) >= 4 * LEAST_TILES:
        powers += [(3, 0), (2, 1), (1, 2), (0, 3)]
    gradient = np.concatenate(
        [
            np.stack([i * x ** max(i - 1, 0) * y**j for i, j in powers], axis=1),
            np.stack([j * x**i * y ** max(j - 1, 0) for i, j in powers], axis=1),
        ]
    )
    wanted = np.concatenate([[t.frequency[0] for t in tiles], [t.frequency[1] for t in tiles]])
    # A tile full of drawing has a low peak, often at another frequency.
    clarity = np.minimum([tile.peak for tile in tiles], CLEAREST_PEAK) / CLEAREST_PEAK
    tolerance = FREQUENCY_TOLERANCE * np.hypot(*np.split(wanted, 2))
    weights = np.tile(clarity, 2)
    coefficients = np.zeros(len(powers))
    for _ in range(N_PHASE_ROUNDS):
        coefficients = np.linalg.lstsq(
            gradient * weights[:, None], wanted * scale * weights, rcond=None
        )[0]
        off = np.hypot(*np.split(gradient @ coefficients / scale - wanted, 2)) / tolerance
        weights = np.tile(clarity / np.sqrt(1 + off**2), 2)
    rows = np.arange(shape[0]) / scale - 0.5
    columns = np.arange(shape[1]) / scale - 0.5
    phase = np.zeros(shape)
    for coefficient, (i, j) in zip(coefficients, powers, strict=True):
        phase += coefficient * (rows**j)[:, None] * (columns**i)[None, :]
    return phase


def _low_pass(wave: NDArray[np.complex64]) -> NDArray[np.complex64]:
    parts = []
    for part in (wave.real, wave.imag):
        small = block_mean(part.astype(np.float32), DEMODULATION_BLOCK_PX)
        smooth = ndimage.gaussian_filter(small, DEMODULATION_SIGMA_BLOCKS)
        parts.append(enlarged(smooth, (wave.shape[0], wave.shape[1]), DEMODULATION_BLOCK_PX))
    total = parts[0] + 1j * parts[1]
    return np.asarray(total / np.maximum(np.abs(total), 1e-12), dtype=np.complex64)
