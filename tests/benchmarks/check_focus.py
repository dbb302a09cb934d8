"""Check the cause of softness on photographs with a known blur; run by hand.

Photographs are blurred by known amounts: the subject only, everything but the subject, everything
(by a Gaussian or by the disc of a lens out of focus), or along a line in a random direction. They
are also changed in ways that do not affect the focus: noise, half the size, JPEG, and smoothed,
sharpened and compressed as phones do. All amounts are for a frame 1024 px long. Linear light is
blurred, not code values. There is no truth for the unchanged photographs: a few are soft, or were
focused elsewhere by their makers, so those with a fault are named, to be judged by eye.

    python tests/benchmarks/check_focus.py FILES...

reads photographs on which no threshold was chosen. Figures are by folder.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from scipy.ndimage import gaussian_filter
from scipy.signal import fftconvolve
from scipy.stats import spearmanr
from skimage.measure import blur_effect

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry.srgb import linear_from_srgb, srgb_from_linear
from auditor.geometry import Region
from auditor.measurements.focus import Focus, measure_focus
from tests.benchmarks.check_subject_kinds import find

BLURS_PX = (1.5, 2.0, 3.0)
DISCS_PX = (4.0, 8.0)  # diameters
MOTIONS_PX = (4.0, 8.0, 16.0)
NOISES = (3.0, 6.0)  # code values
JPEG_QUALITY = 60
PHONE_QUALITY = 80
PHONE_SHARPENING = ImageFilter.UnsharpMask(radius=1.2, percent=120, threshold=2)
FAULTS = ("missed focus", "motion blur")
TRUE_CAUSES = {
    "subject blurred": "missed focus",
    "rest blurred": "shallow focus",
    "all blurred": "soft all over",
    "subject out of focus": "missed focus",
    "all out of focus": "soft all over",
    "subject moved": "motion blur",
    "camera moved": "motion blur",
}
SOFT_BORDER = 1 / 200  # of the long side: the accuracy of the masks

Pixels = NDArray[np.uint8]
Light = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass
class Answers:
    """Results for one kind of change."""

    causes: Counter[str] = field(default_factory=Counter)
    n_in_focus: int = 0
    n_flips: int = 0
    n_focus_flips: int = 0
    confidences: list[tuple[float, str]] = field(default_factory=list)

    @property
    def n(self) -> int:
        """Number of pictures."""
        return self.causes.total()

    def add(self, found: Focus | None, before: Focus | None) -> None:
        """Count one result, and compare it with that of the unchanged picture."""
        self.causes[name_of(found)] += 1
        if found is None:
            return
        self.n_in_focus += found.subject_in_focus
        if found.cause and found.cause_confidence is not None:
            self.confidences.append((found.cause_confidence, found.cause))
        if before is not None:
            self.n_flips += None not in (found.cause, before.cause) and found.cause != before.cause
            self.n_focus_flips += found.subject_in_focus != before.subject_in_focus


def name_of(found: Focus | None) -> str:
    """Name of the cause, or why there is none."""
    if found is None:
        return "no value"
    return found.cause or "no cause"


def blurred(light: Light, px: float) -> Light:
    """Simulate the blur of a lens by a Gaussian."""
    return np.asarray(gaussian_filter(light, (px, px, 0), mode="nearest"))


def out_of_focus(light: Light, px: float) -> Light:
    """Simulate the disc of a lens that is focused elsewhere."""
    reach = int(np.ceil(px / 2)) + 1
    down, across = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    disc = np.clip(px / 2 + 0.5 - np.hypot(down, across), 0, 1)
    padded = np.pad(light, ((reach, reach), (reach, reach), (0, 0)), mode="edge")
    return np.asarray(fftconvolve(padded, disc[..., None] / disc.sum(), "valid", axes=(0, 1)))


def as_phones_do(pixels: Pixels) -> Pixels:
    """Smooth, sharpen and compress."""
    picture = Image.fromarray(pixels).filter(ImageFilter.MedianFilter(3)).filter(PHONE_SHARPENING)
    file = BytesIO()
    picture.save(file, "JPEG", quality=PHONE_QUALITY)
    return np.asarray(Image.open(file))


def moved(light: Light, px: float, radians: float) -> Light:
    """Simulate uniform motion along a line."""
    reach = int(np.ceil(px / 2)) + 1
    along = np.linspace(-px / 2, px / 2, 401)
    x, y = reach + along * np.cos(radians), reach - along * np.sin(radians)
    kernel = np.zeros((2 * reach + 1, 2 * reach + 1))
    for rows in (0, 1):
        for columns in (0, 1):
            i, j = np.floor(y).astype(int) + rows, np.floor(x).astype(int) + columns
            weights = (1 - np.abs(y - i)) * (1 - np.abs(x - j))
            inside = (i < kernel.shape[0]) & (j < kernel.shape[1])
            np.add.at(kernel, (i[inside], j[inside]), weights[inside])
    padded = np.pad(light, ((reach, reach), (reach, reach), (0, 0)), mode="edge")
    return np.asarray(fftconvolve(padded, kernel[..., None] / kernel.sum(), "valid", axes=(0, 1)))


def within(mask: Mask, changed: Light, light: Light) -> Light:
    """Blend the changed picture in where the mask is, with a soft border."""
    share = gaussian_filter(mask.astype(float), SOFT_BORDER * max(mask.shape))[..., None]
    return light * (1 - share) + changed * share


def changes(pixels: Pixels, mask: Mask, rng: np.random.Generator) -> Iterator[tuple[str, Pixels]]:
    """Name and result of each change."""
    light = linear_from_srgb(pixels / 255)
    unit = max(mask.shape) / 1024
    for px in BLURS_PX:
        soft = blurred(light, px * unit)
        yield f"subject blurred {px:g}", coded(within(mask, soft, light))
        yield f"rest blurred {px:g}", coded(within(~mask, soft, light))
        yield f"all blurred {px:g}", coded(soft)
    for px in DISCS_PX:
        soft = out_of_focus(light, px * unit)
        missed = coded(within(mask, soft, light))
        yield f"subject out of focus {px:g}", missed
        yield f"subject out of focus {px:g}, phone", as_phones_do(missed)
        yield f"all out of focus {px:g}", coded(soft)
    for px in MOTIONS_PX:
        soft = moved(light, px * unit, rng.uniform(0, np.pi))
        yield f"subject moved {px:g}", coded(within(mask, soft, light))
        yield f"camera moved {px:g}", coded(soft)
        yield f"camera moved {px:g}, phone", as_phones_do(coded(soft))
    yield "phone", as_phones_do(pixels)
    for noise in NOISES:
        grain = rng.normal(0, noise, pixels.shape)
        yield f"noise {noise:g}", np.clip(np.rint(pixels + grain), 0, 255).astype(np.uint8)
    picture = Image.fromarray(pixels)
    half = (picture.width // 2, picture.height // 2)
    yield "half size", np.asarray(picture.resize(half, Image.Resampling.LANCZOS))
    file = BytesIO()
    picture.save(file, "JPEG", quality=JPEG_QUALITY)
    yield f"JPEG {JPEG_QUALITY}", np.asarray(Image.open(file))


def coded(light: Light) -> Pixels:
    """Encode linear light as 8-bit sRGB."""
    encoded = srgb_from_linear(np.clip(light, 0, 1))
    return np.rint(np.clip(encoded, 0, 1) * 255).astype(np.uint8)


def inside(pixels: Pixels, region: Region) -> NDArray[np.uint8]:
    """Green channel in the subject's box."""
    height, width = pixels.shape[:2]
    box = region.bbox
    rows = slice(int(box.top * height), int(np.ceil(box.bottom * height)))
    return pixels[rows, int(box.left * width) : int(np.ceil(box.right * width)), 1]


def check_folder(paths: list[Path]) -> tuple[dict[str, Answers], list[float]]:
    """Results by change, and the rank correlation with an outside measure for each picture."""
    answers: dict[str, Answers] = defaultdict(Answers)
    agreement = []
    for number, path in enumerate(paths):
        with Image.open(path) as file:
            picture = file.convert("RGB")
        subject = find(picture)[1]
        if subject.region.value is None:
            continue
        pixels = np.asarray(picture)
        before = measure_focus(pixels, subject.mask).value
        if before is not None and before.cause in FAULTS:
            _say(f"unchanged: {path.name}: {before.cause}, {before.cause_confidence:.2f}")
        answers["untouched"].add(before, None)
        shown = Image.fromarray(subject.mask).resize(picture.size, Image.Resampling.NEAREST)
        mask = np.asarray(shown, dtype=bool)
        pairs = []
        for name, changed in changes(pixels, mask, np.random.default_rng(number)):
            found = measure_focus(changed, subject.mask).value
            answers[name].add(found, before)
            if found is not None and name.startswith(("all", "rest", "camera")):
                outside = blur_effect(inside(changed, subject.region.value))
                pairs.append((found.subject_sharpness, -outside))
        if len(pairs) > 2 and len({ours for ours, _ in pairs}) > 1:
            agreement.append(float(spearmanr(*np.array(pairs).T).statistic))
    return answers, agreement


def line(name: str, said: Answers) -> str:
    """Describe the results of one kind of change."""
    causes = ", ".join(f"{cause} {n / said.n:.2f}" for cause, n in said.causes.most_common())
    flips = (
        f"other cause {said.n_flips / said.n:.2f}, other focus {said.n_focus_flips / said.n:.2f}"
    )
    return f"{name:20s} in focus {said.n_in_focus / said.n:.2f}; {flips}; {causes}"


def calibration(answers: dict[str, Answers]) -> str:
    """Mean confidence of the causes named where one is known, and the share of right ones."""
    named = [
        (confidence, cause == truth)
        for name, said in answers.items()
        for fault, truth in TRUE_CAUSES.items()
        if name.startswith(fault)
        for confidence, cause in said.confidences
    ]
    confidence, right = np.array(named).mean(axis=0)
    return f"{len(named)} causes named, mean confidence {confidence:.2f}, right {right:.2f}"


def faults(answers: dict[str, Answers]) -> str:
    """How often each fault was named, and how often it was right, over all changed copies."""
    parts = []
    for fault in FAULTS:
        named = {name: said.causes[fault] for name, said in answers.items() if name != "untouched"}
        right = sum(n for name, n in named.items() if _truth(name) == fault)
        copies = sum(said.n for name, said in answers.items() if _truth(name) == fault)
        parts.append(f"{fault} named {sum(named.values())}, right {right}, of {copies} copies")
    return "; ".join(parts)


def _truth(name: str) -> str | None:
    return next((cause for kind, cause in TRUE_CAUSES.items() if name.startswith(kind)), None)


def main() -> None:
    """Print the results for each folder."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("pictures", type=Path, nargs="+")
    pictures = sorted(parser.parse_args().pictures)
    for folder in dict.fromkeys(path.parent for path in pictures):
        answers, agreement = check_folder([path for path in pictures if path.parent == folder])
        _say(f"{folder}: {answers['untouched'].n} pictures; {calibration(answers)}")
        _say(faults(answers))
        _say(f"rank correlation with blur_effect, median {np.median(agreement):.3f}")
        for name, said in answers.items():
            _say(line(name, said))


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
