"""Drawn frames with one dish, two equal ones, a pattern of many, or only a surface."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from auditor.geometry import Point, distance_fraction
from auditor.measurements.subject import TOLERANCE
from tests.benchmarks.check_subject_kinds import find

WIDTH, HEIGHT = 640, 480
GROUNDS = ((70, 50, 40), (120, 140, 120), (200, 190, 170), (90, 100, 130))
WARE, FOOD = (240, 238, 232), (190, 90, 40)
FLATNESS = 0.8  # short axis over long: the camera about 53 degrees above the table

Place = tuple[float, float, float]  # x and y in fractions, half the long axis in heights
ARRANGEMENTS: dict[str, tuple[Place, ...]] = {
    "one dish": ((0.35, 0.5, 0.28),),
    "one large dish and a small one": ((0.35, 0.5, 0.3), (0.8, 0.3, 0.12)),
    "two equal dishes apart": ((0.25, 0.5, 0.25), (0.75, 0.5, 0.25)),
    "two equal small dishes": ((0.2, 0.5, 0.2), (0.8, 0.5, 0.2)),
    "two equal dishes touching": ((0.29, 0.5, 0.28), (0.71, 0.5, 0.28)),
    "two equal dishes aslant": ((0.28, 0.3, 0.24), (0.72, 0.7, 0.24)),
    "twelve equal dishes": tuple(
        ((column + 0.5) / 4, (row + 0.5) / 3, 0.13) for row in range(3) for column in range(4)
    ),
    "forty-eight equal dishes": tuple(
        ((column + 0.5) / 8, (row + 0.5) / 6, 0.06) for row in range(6) for column in range(8)
    ),
    "bare ground": (),
}


def check_drawn() -> dict[str, dict[str, str]]:
    """How often each result occurs for each arrangement, over several surfaces and textures."""
    results = {}
    for name, places in ARRANGEMENTS.items():
        pictures = [draw(seed, ground, places) for seed, ground in enumerate(GROUNDS)]
        results[name] = _counted(pictures, places)
    results["textures"] = _counted(list(textures()), ())
    return {"results": results}


def _counted(pictures: list[Image.Image], places: tuple[Place, ...]) -> str:
    counts = Counter(_result(picture, places) for picture in pictures)
    return ", ".join(f"{result} {n}" for result, n in counts.most_common())


def _result(picture: Image.Image, places: tuple[Place, ...]) -> str:
    subject = find(picture)[1].region
    if subject.value is None:
        return str(subject.reason)
    if places:
        first = Point(*places[0][:2])
        if distance_fraction(subject.value.centroid, first, WIDTH, HEIGHT) <= TOLERANCE:
            return "the first dish"
    return f"elsewhere at confidence {subject.confidence:.2f}:"


def draw(seed: int, ground: tuple[int, int, int], places: tuple[Place, ...]) -> Image.Image:
    """Dishes with food and a soft shadow, on an uneven surface lit from the right."""
    generator = np.random.default_rng(seed)
    spots = generator.integers(-128, 128, (12, 16)).astype(np.float32)
    uneven = np.asarray(Image.fromarray(spots).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC))
    lit = np.linspace(-18, 18, WIDTH)[np.newaxis, :] + generator.normal(0, 3, (HEIGHT, WIDTH))
    pixels = np.array(ground) + (0.12 * uneven + lit)[..., np.newaxis]
    picture = Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))
    for place in places:
        _serve(picture, place, generator)
    return picture


def _serve(picture: Image.Image, place: Place, generator: np.random.Generator) -> None:
    x, y, radius = place[0] * WIDTH, place[1] * HEIGHT, place[2] * HEIGHT
    shadow = Image.new("L", picture.size)
    ImageDraw.Draw(shadow).ellipse(_box(x + 10, y + 10, radius), fill=110)
    picture.paste((20, 15, 10), mask=shadow.filter(ImageFilter.GaussianBlur(8)))
    pen = ImageDraw.Draw(picture)
    for share, shade in ((1, 0.85), (0.97, 1), (0.7, 0.95)):  # rim, brim, well
        pen.ellipse(_box(x, y, share * radius), fill=tuple(int(shade * c) for c in WARE))
    for _ in range(40):
        turn, away = generator.uniform(0, 2 * np.pi), 0.5 * radius * generator.uniform() ** 0.5
        piece = radius * generator.uniform(0.08, 0.18)
        colour = np.clip(np.array(FOOD) + generator.normal(0, 25, 3), 0, 255).astype(int)
        at = (x + away * np.cos(turn), y + FLATNESS * away * np.sin(turn))
        pen.ellipse(_box(*at, piece), fill=tuple(int(c) for c in colour))


def _box(x: float, y: float, radius: float) -> tuple[float, float, float, float]:
    return (x - radius, y - FLATNESS * radius, x + radius, y + FLATNESS * radius)


def textures() -> Iterator[Image.Image]:
    """Fine and coarse noise, a weave, stripes, checks, a bed of beans."""
    generator = np.random.default_rng(5)
    rows, columns = np.mgrid[:HEIGHT, :WIDTH]
    yield Image.fromarray(generator.integers(0, 256, (HEIGHT, WIDTH, 3), dtype=np.uint8))
    coarse = generator.integers(0, 256, (HEIGHT // 16, WIDTH // 16, 3), dtype=np.uint8)
    yield Image.fromarray(coarse).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)
    for wave in (
        40 * np.sin(columns / 4) * np.sin(rows / 4),
        70 * np.sign(np.sin(columns / 15 + rows / 40)),
        70 * np.sign(np.sin(columns / 20) * np.sin(rows / 20)),
    ):
        pixels = np.stack([128 + wave] * 3, axis=-1) * np.array([1, 0.8, 0.7])
        yield Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))
    beans = Image.new("RGB", (WIDTH, HEIGHT), (90, 50, 30))
    pen = ImageDraw.Draw(beans)
    for _ in range(2500):
        at = (generator.uniform(0, WIDTH), generator.uniform(0, HEIGHT))
        shade = int(generator.integers(60, 200))
        colour = (shade, int(0.6 * shade), int(0.3 * shade))
        pen.ellipse(_box(*at, generator.uniform(6, 14)), fill=colour, outline=(30, 20, 10))
    yield beans
