"""Varied plans whose things fit into their frames, for the check of the round trip."""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.accepted import Accepted
from auditor.geometry import Box, Point
from auditor.golden_spiral import golden_spiral_eyes
from auditor.plan.shot_plan import Intent, PlannedThing
from auditor.plan_sheet.drawing import common_area, frame_of, grown, holds, whole
from auditor.plan_sheet.things import lay_out

RATIOS = ("4:5", "1:1", "3:2", "2:3", "16:9", "4:3", "5:4", "5:7")
# Twice those that a sketch may be expected to show by its lines alone.
TECHNIQUES = (
    *("rule of thirds", "golden ratio", "centred", "diagonals", "golden triangles") * 2,
    "golden spiral",
    "symmetry",
    "triangle arrangement",
    "frame within a frame",
    None,
)
ELEVATIONS = (90, 75, 60, 50, 45, 35, 25, 10, 0)
WORDS = {
    "upper left": Point(1 / 3, 1 / 3),
    "upper right": Point(2 / 3, 1 / 3),
    "lower left": Point(1 / 3, 2 / 3),
    "lower right": Point(2 / 3, 2 / 3),
}
NAMES = ("tea bowl", "honey jar", "spoon", "half lemon", "linen napkin", "butter", "salt", "herbs")
MARGIN, APART = 20.0, 25.0  # units of the drawing
MOST_TRIES = 400
GOLDEN = 0.382


@dataclass
class PlannedFrame:
    """A planned frame as the file has it."""

    name: str
    ratio: str
    technique: str | None
    elevation: int
    subject: Point
    subject_words: str | None
    size: float
    supporting: list[tuple[str, Point, float]] = field(default_factory=list)
    clock: float | None = None
    empty: float | None = None
    side: str | None = None
    diagonal: str | None = None

    @property
    def aspect_ratio(self) -> float:
        """Width over height."""
        width, height = map(float, self.ratio.split(":"))
        return width / height

    def as_toml(self) -> str:
        """The shot as a person writes it."""
        at = f'"{self.subject_words}"' if self.subject_words else list(self.subject)
        lines = [
            "[[shot]]",
            f'name = "{self.name}"',
            f'files = ["*{self.name}*"]',
            f'aspect_ratio = "{self.ratio}"',
            f"camera_elevation = {self.elevation}",
            f"subject = {{ at = {at}, size = {self.size} }}",
        ]
        if self.technique:
            lines.append(f'technique = "{self.technique}"')
        if self.supporting:
            things = ", ".join(
                f'{{ name = "{name}", at = {list(at)}, size = {size} }}'
                for name, at, size in self.supporting
            )
            lines.append(f"supporting = [ {things} ]")
        if self.clock is not None:
            lines.append(f"light = {{ clock = {self.clock} }}")
        if self.empty is not None:
            lines.append(f'negative_space = {{ fraction = {self.empty}, side = "{self.side}" }}')
        if self.diagonal:
            lines.append(f'diagonal = "{self.diagonal}"')
        return "\n".join(lines) + "\n"


def drawn_plans(seed: int, n: int) -> list[PlannedFrame]:
    """Frames drawn from a seed."""
    random = Random(seed)
    return [_frame(f"frame {number}", random) for number in range(1, n + 1)]


def _frame(name: str, random: Random) -> PlannedFrame:
    for _ in range(MOST_TRIES):
        technique = random.choice(TECHNIQUES)
        words = None
        if technique == "rule of thirds" and random.random() < 0.4:
            words = random.choice(sorted(WORDS))
        at = WORDS[words] if words else _place(technique, random)
        planned = PlannedFrame(
            name,
            random.choice(RATIOS),
            technique,
            random.choice(ELEVATIONS),
            at if words else Point(round(at.x, 3), round(at.y, 3)),
            words,
            round(random.uniform(0.07, 0.17), 3),
        )
        # In a square the golden triangles are the diagonals: no drawing shows which are meant.
        is_clear = not (technique == "golden triangles" and planned.ratio == "1:1")
        if is_clear and _fits(planned):
            _add_supporting(planned, random)
            _add_circumstances(planned, random)
            return planned
    raise RuntimeError("no frame fits")


def _place(technique: str | None, random: Random) -> Point:
    """A place for the subject that suits a technique."""
    match technique:
        case "rule of thirds":
            return Point(random.choice((1 / 3, 2 / 3)), random.choice((1 / 3, 2 / 3)))
        case "golden ratio":
            return Point(random.choice((GOLDEN, 1 - GOLDEN)), random.choice((GOLDEN, 1 - GOLDEN)))
        case "centred" | "symmetry":
            return Point(0.5, 0.5 if technique == "centred" else random.uniform(0.4, 0.6))
        case "diagonals":
            along = random.uniform(0.35, 0.65)
            return Point(along, random.choice((along, 1 - along)))
        case "golden spiral":
            return random.choice(golden_spiral_eyes())
    return Point(random.uniform(0.3, 0.7), random.uniform(0.35, 0.65))


def _boxes(planned: PlannedFrame) -> list[Box]:
    """Boxes of the things, before they are cut at the frame; empty where one is cut."""
    frame = frame_of(planned.aspect_ratio)
    intent = Intent(
        camera_elevation=Accepted.exactly(float(planned.elevation)),
        subject=PlannedThing(at=planned.subject, size=Accepted.exactly(planned.size)),
        supporting=tuple(
            PlannedThing(name, at, Accepted.exactly(size)) for name, at, size in planned.supporting
        ),
    )
    boxes = [thing.box for thing in lay_out(intent, frame).things]
    inside = all(holds(grown(whole(frame), -MARGIN), box) for box in boxes)
    return boxes if inside else []


def _fits(planned: PlannedFrame) -> bool:
    boxes = _boxes(planned)
    pairs = [(a, b) for i, a in enumerate(boxes) for b in boxes[:i]]
    return bool(boxes) and all(common_area(grown(a, APART), b) == 0 for a, b in pairs)


def _add_supporting(planned: PlannedFrame, random: Random) -> None:
    for name in random.sample(NAMES, random.choice((0, 1, 1, 2, 2, 3))):
        for _ in range(MOST_TRIES):
            at = Point(round(random.uniform(0.1, 0.9), 3), round(random.uniform(0.1, 0.9), 3))
            size = round(random.uniform(0.015, min(0.05, 0.5 * planned.size)), 3)
            planned.supporting.append((name, at, size))
            if _fits(planned):
                break
            planned.supporting.pop()


def _add_circumstances(planned: PlannedFrame, random: Random) -> None:
    if random.random() < 0.8:
        planned.clock = random.randrange(1, 25) / 2
    if random.random() < 0.6:
        covered = planned.size + sum(size for _, _, size in planned.supporting)
        planned.empty = round(1 - covered - random.uniform(0.0, 0.06), 2)
        planned.side = _emptiest(_boxes(planned), planned)
    if random.random() < 0.2:
        planned.diagonal = random.choice(("rising", "falling"))


def _emptiest(boxes: list[Box], planned: PlannedFrame) -> str:
    """The side on which the things are farthest from the edge."""
    frame = frame_of(planned.aspect_ratio)
    room = {
        "left": min(box.left for box in boxes) / frame.width,
        "right": 1 - max(box.right for box in boxes) / frame.width,
        "top": min(box.top for box in boxes) / frame.height,
        "bottom": 1 - max(box.bottom for box in boxes) / frame.height,
    }
    return max(room, key=lambda side: room[side])
