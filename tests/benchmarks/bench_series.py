"""Time to describe sets of 500, 2000 and 3000 pictures; run by hand.

    OMP_NUM_THREADS=1 python tests/benchmarks/bench_series.py FOLDER [number of pictures ...]

measures the photographs of FOLDER once and repeats them under other names. Each repetition has
small random changes of all that the set compares: white balance, exposure, contrast, saturation,
colours, sizes, angles, camera settings and fingerprint; its keypoints are those of another picture.
Printed are the wall time and the processor time of `describe_series` for each set, the time of its
parts, and the peak memory so far.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import Swatch
from auditor.colour_signature import ColourSignature
from auditor.measurements.keypoints import PATCH_STEPS, Keypoints, decode_keypoints
from auditor.measurements.keypoints.packing import encode_keypoints
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.photograph.decode import read_photograph
from auditor.photograph.folder import find_pictures
from auditor.quantity import Quantity
from auditor.saliency import default_finder
from auditor.series import series as series_module
from auditor.series.series import describe_series

_SIZES = (500, 2000, 3000)
_N_WARMTH_BINS = 160  # the last axis of a colour signature
_ISO = (100, 100, 100, 200, 400)
_F_NUMBERS = (4.0, 4.0, 5.6, 8.0)
_COPIES_SHARE = 0.02  # of the pictures are further copies of a file


def measured_pictures(folder: Path) -> list[MeasuredPhotograph]:
    """Measure all photographs of a folder."""
    finder = default_finder()
    files = find_pictures(folder, leave_out=None).files
    return [measure(read_photograph(folder, file), finder) for file in files]


def varied_set(
    pictures: Sequence[MeasuredPhotograph], n: int, seed: int = 0, burst: int = 1
) -> list[MeasuredPhotograph]:
    """Repeat measured pictures up to `n`, each a little different from its pattern.

    Parameters
    ----------
    pictures : sequence of MeasuredPhotograph
    n : int
    seed : int
    burst : int
        So many pictures in a row are nearly the same: they differ in a little grain.
    """
    rng = np.random.default_rng(seed)
    found: list[MeasuredPhotograph] = []
    for place in range(n):
        if place % burst:
            found.append(_again(found[-1], place, rng))
        elif found and rng.random() < _COPIES_SHARE:
            found.append(replace(found[-1], file=f"{place:05d}.jpg"))
        else:
            found.append(_varied(pictures[place // burst % len(pictures)], place, rng))
    return found


def _again(picture: MeasuredPhotograph, place: int, rng: np.random.Generator) -> Any:
    """The next frame of a burst."""
    return replace(
        picture,
        file=f"{place:05d}.jpg",
        sha256=f"{place:064x}",
        colours=_moved(picture.colours, rng, spread_bins=0.0),
        fingerprint=_grained(picture.fingerprint, rng, most=1.0),
    )


def _varied(picture: MeasuredPhotograph, place: int, rng: np.random.Generator) -> Any:
    tone, saturation = picture.tone, picture.saturation
    ev, contrast = rng.normal(0, 0.2), np.exp(rng.normal(0, 0.1))
    chroma = np.exp(rng.normal(0, 0.1))
    return replace(
        picture,
        file=f"{place:05d}.jpg",
        sha256=f"{place:064x}",
        camera=replace(
            picture.camera,
            iso=int(rng.choice(_ISO)),
            f_number=float(rng.choice(_F_NUMBERS)),
            exposure_time_s=float(1 / rng.integers(40, 160)),
            focal_length_mm=float(rng.choice([50.0, 85.0])),
        ),
        subject=_scaled(picture.subject, "area_fraction", rng, 0.1),
        negative_space=_scaled(picture.negative_space, "fraction", rng, 0.05),
        camera_elevation=_scaled(picture.camera_elevation, "deg", rng, 0.05),
        light=_scaled(picture.light, "clock", rng, 0.02),
        roll=_scaled(picture.roll, "deg", rng, 0.3),
        focus=_scaled(picture.focus, "subject_sharpness", rng, 0.05),
        colour_temperature=_scaled(picture.colour_temperature, "mired", rng, 0.04),
        colours=_moved(picture.colours, rng),
        palette=_coloured(picture.palette, rng),
        ground_palette=_coloured(picture.ground_palette, rng),
        surface=_surface(picture.surface, rng),
        tone=replace(
            tone,
            mean_lightness=float(np.clip(tone.mean_lightness + 8 * ev, 1, 99)),
            exposure_ev=tone.exposure_ev + ev,
            midtone_ev=tone.midtone_ev + ev + rng.normal(0, 0.05),
            contrast=tone.contrast * contrast,
            midtone_contrast=tone.midtone_contrast * contrast * np.exp(rng.normal(0, 0.05)),
        ),
        saturation=replace(
            saturation,
            mean_chroma=saturation.mean_chroma * chroma,
            median_chroma=saturation.median_chroma * chroma,
            high_chroma=saturation.high_chroma * chroma,
        ),
        fingerprint=_grained(picture.fingerprint, rng),
        keypoints=_other(picture.keypoints, rng),
    )


def _scaled(quantity: Any, name: str, rng: np.random.Generator, spread: float) -> Any:
    if quantity.value is None:
        return quantity
    value = getattr(quantity.value, name) * float(np.exp(rng.normal(0, spread)))
    if name in {"area_fraction", "fraction"}:
        value = min(value, 1.0)
    return replace(quantity, value=replace(quantity.value, **{name: value}))


def _moved(colours: Any, rng: np.random.Generator, spread_bins: float = 1.5) -> Any:
    """The same colours warmer or cooler by whole bins, each weight a little different."""
    step = int(np.rint(rng.normal(0, spread_bins)))
    bins, weights = colours.counts()
    warmth = bins % _N_WARMTH_BINS + step
    inside = (warmth >= 0) & (warmth < _N_WARMTH_BINS)
    return ColourSignature.of(bins[inside] + step, np.maximum(1, rng.poisson(weights[inside])))


def _coloured(palette: Sequence[Swatch], rng: np.random.Generator) -> tuple[Swatch, ...]:
    return tuple(
        replace(
            swatch,
            lab=tuple(float(v + rng.normal(0, 2)) for v in swatch.lab),
            share=min(1.0, swatch.share * float(np.exp(rng.normal(0, 0.2)))),
        )
        for swatch in palette
    )


def _surface(surface: Quantity[Swatch], rng: np.random.Generator) -> Quantity[Swatch]:
    if surface.value is None:
        return surface
    return replace(surface, value=_coloured([surface.value], rng)[0])


def _grained(fingerprint: str, rng: np.random.Generator, most: float = 16.0) -> str:
    """The same layout with grain, whose deviation is at most so many code values."""
    values = np.frombuffer(bytes.fromhex(fingerprint), dtype=np.uint8)
    noisy = values + rng.normal(0, rng.uniform(most / 8, most), values.size)
    return bytes(np.clip(np.rint(noisy), 0, 255).astype(np.uint8)).hex()


def _other(keypoints: Keypoints, rng: np.random.Generator) -> Keypoints:
    """Keypoints in the same places with other neighbourhoods."""
    points = decode_keypoints(keypoints.points)
    patches = points.patch / PATCH_STEPS * rng.choice([-1, 1], points.patch.shape[1])
    packed = encode_keypoints(points.x, points.y, points.scale, points.is_dark, patches)
    return replace(keypoints, points=packed)


def _time_parts(measured: Sequence[MeasuredPhotograph]) -> tuple[float, float, dict[str, float]]:
    """Wall and processor time of the whole, and wall time of each function that it calls."""
    parts: dict[str, float] = {}
    names = [
        name
        for name, value in vars(series_module).items()
        if callable(value) and not isinstance(value, type) and name[0].islower()
    ]
    names = [name for name in names if name != "describe_series"]
    originals = {name: getattr(series_module, name) for name in names}

    def timed(name: str) -> Any:
        def call(*args: Any, **kwargs: Any) -> Any:
            start = time.perf_counter()
            answer = originals[name](*args, **kwargs)
            parts[name] = parts.get(name, 0.0) + time.perf_counter() - start
            return answer

        return call

    for name in names:
        setattr(series_module, name, timed(name))
    try:
        wall, processor = time.perf_counter(), time.process_time()
        describe_series(measured)
        return time.perf_counter() - wall, time.process_time() - processor, parts
    finally:
        for name, original in originals.items():
            setattr(series_module, name, original)


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")


def main() -> None:
    """Measure, repeat, time, print."""
    folder = Path(sys.argv[1])
    sizes = [int(text) for text in sys.argv[2:]] or _SIZES
    pictures = measured_pictures(folder)
    for n in sizes:
        wall, processor, parts = _time_parts(varied_set(pictures, n))
        peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        _say(f"{n} pictures: {wall:.1f} s, processor {processor:.1f} s, {peak_mib:.0f} MiB")
        for name, seconds in sorted(parts.items(), key=lambda part: -part[1]):
            if seconds >= 0.01:
                _say(f"  {seconds:7.2f} s  {name}")


if __name__ == "__main__":
    main()
