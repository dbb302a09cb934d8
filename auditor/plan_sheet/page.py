"""The page of a plan: one text with its style inside, the pictures of the frames beside it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

from auditor.geometry import Box, Point
from auditor.page.drawing.shapes import number, polyline, rectangle
from auditor.page.html import safe_on_page
from auditor.plan.shot_plan import Plan, Shot
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.drawing import Drawing, Line
from auditor.plan_sheet.facts import facts_of, key_of, plans_nothing
from auditor.plan_sheet.lettering import BROWSER_WIDENING, LINE_HEIGHT, Lettering
from auditor.wording import plan_sheet as words
from auditor.wording.plan_sheet import Fact

TEXT_SIZE = 31.0  # in units of the drawing: 11 px of a frame that is 358 px wide, a telephone's
BASELINE = 0.35  # from the middle of a line of text, of its size
PER_SHEET = 2  # cards on a sheet of paper


@dataclass(frozen=True, slots=True)
class PathView:
    """A line as SVG path data, and its classes."""

    path: str
    classes: str


@dataclass(frozen=True, slots=True)
class TextView:
    """A line of text, held in its middle."""

    x: str
    y: str
    text: str


@dataclass(frozen=True, slots=True)
class DrawingView:
    """A drawing as SVG."""

    width: int
    height: int
    text_size: str
    zones: tuple[str, ...]
    paths: tuple[PathView, ...]
    texts: tuple[TextView, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """One shot: `says` stands in place of the list where the plan says nothing."""

    number: int
    name: str
    title: str
    drawing: DrawingView
    facts: tuple[Fact, ...]
    key: tuple[str, ...]
    says: str
    picture: str


def render_page(plan: Plan, pictures: Sequence[str]) -> str:
    """Render the page.

    Parameters
    ----------
    plan : Plan
    pictures : sequence of str
        Address of each shot's picture, as seen from the page.
    """
    cards = [
        _card(number, shot, picture)
        for number, (shot, picture) in enumerate(zip(plan.shots, pictures, strict=True), start=1)
    ]
    sheets = [cards[first : first + PER_SHEET] for first in range(0, len(cards), PER_SHEET)]
    return (
        page_environment_of_sheets()
        .get_template("sheet.html")
        .render(
            title=plan.title or words.UNTITLED,
            subtitle=words.subtitle(len(cards)),
            rules=[words.rule_line(rule.name, rule.words) for rule in plan.rules],
            sheets=sheets,
            words=words,
        )
    )


def _card(place: int, shot: Shot, picture: str) -> Card:
    drawing = draw_shot(shot, Lettering(TEXT_SIZE, BROWSER_WIDENING))
    return Card(
        place,
        shot.name,
        words.frame_title(shot.name),
        _drawing(drawing),
        facts_of(shot),
        key_of(shot, drawing),
        words.NOTHING_PLANNED if plans_nothing(shot) else "",
        picture,
    )


def _drawing(drawing: Drawing) -> DrawingView:
    frame = drawing.frame
    return DrawingView(
        frame.width,
        frame.height,
        number(drawing.text_size),
        tuple(rectangle(_inside(zone, frame.width, frame.height)) for zone in drawing.zones),
        _paths((*drawing.lines, drawing.outline)),
        tuple(_texts(drawing)),
    )


def _inside(zone: Box, width: float, height: float) -> Box:
    return Box(
        max(0.0, zone.left), max(0.0, zone.top), min(width, zone.right), min(height, zone.bottom)
    )


def _paths(lines: Iterable[Line]) -> tuple[PathView, ...]:
    """Lines of one kind that follow each other as one path."""
    return tuple(
        PathView("".join(polyline(*line.points, closed=line.is_closed) for line in alike), classes)
        for classes, alike in groupby(lines, key=_classes)
    )


def _classes(line: Line) -> str:
    return f"{line.role} dashed" if line.is_dashed else str(line.role)


def _texts(drawing: Drawing) -> list[TextView]:
    texts = []
    for word in drawing.words:
        middle = Point((word.box.left + word.box.right) / 2, word.box.top)
        for row, line in enumerate(word.lines):
            y = middle.y + ((row + 0.5) * LINE_HEIGHT + BASELINE) * drawing.text_size
            texts.append(TextView(number(middle.x), number(y), line))
    return texts


@cache
def page_environment_of_sheets() -> Environment:
    """Where the templates and styles of sheets are found."""
    return Environment(
        loader=ChoiceLoader(
            [
                PackageLoader("auditor.plan_sheet"),
                PackageLoader("auditor.plan_sheet", "static"),
                PackageLoader("auditor.page", "static"),
            ]
        ),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=safe_on_page,
        trim_blocks=True,
        lstrip_blocks=True,
    )
