"""Shapes of the page's drawings as SVG 1.1 path data, in pixels of the drawing.

x grows to the right and y downwards, as in `auditor.geometry`; angles come in counter-clockwise as
seen and are turned for SVG, where they run clockwise.
"""

from __future__ import annotations

import math

from auditor.geometry import Box, Point, clock_difference_hours

DEG_PER_HOUR = 30.0


def number(value: float) -> str:
    """Write a coordinate with at most one decimal, which is finer than any screen."""
    return f"{value:.1f}".removesuffix(".0")


def polyline(*points: Point, closed: bool = False) -> str:
    """Join points by straight lines."""
    steps = (f"{'L' if i else 'M'}{number(p.x)} {number(p.y)}" for i, p in enumerate(points))
    return "".join(steps) + ("Z" if closed else "")


def rectangle(box: Box) -> str:
    """Draw an upright rectangle."""
    return (
        f"M{number(box.left)} {number(box.top)}H{number(box.right)}"
        f"V{number(box.bottom)}H{number(box.left)}Z"
    )


def corners(box: Box, arm: float) -> str:
    """Draw only the four corners of a rectangle, which hides less of what it holds."""
    across = min(arm, (box.right - box.left) / 2)
    down = min(arm, (box.bottom - box.top) / 2)
    left, top, right, bottom = box
    return "".join(
        polyline(Point(x, y + dy), Point(x, y), Point(x + dx, y))
        for x, y, dx, dy in (
            (left, top, across, down),
            (right, top, -across, down),
            (right, bottom, -across, -down),
            (left, bottom, across, -down),
        )
    )


def rounded(box: Box, radius: float) -> str:
    """Draw everything within a radius of a rectangle."""
    left, top, right, bottom = (number(side) for side in box)
    arc = f"A{number(radius)} {number(radius)} 0 0 1 "
    outer = Box(box.left - radius, box.top - radius, box.right + radius, box.bottom + radius)
    return (
        f"M{left} {number(outer.top)}H{right}{arc}{number(outer.right)} {top}"
        f"V{bottom}{arc}{right} {number(outer.bottom)}H{left}{arc}{number(outer.left)} {bottom}"
        f"V{top}{arc}{left} {number(outer.top)}Z"
    )


def cross(centre: Point, arm: float) -> str:
    """Draw an upright cross."""
    x, y = number(centre.x), number(centre.y)
    return (
        f"M{number(centre.x - arm)} {y}H{number(centre.x + arm)}"
        f"M{x} {number(centre.y - arm)}V{number(centre.y + arm)}"
    )


def circle(centre: Point, radius: float) -> str:
    """Draw a circle."""
    return ellipse(centre, radius, radius, 0.0)


def ellipse(centre: Point, major: float, minor: float, angle_deg: float) -> str:
    """Draw an ellipse by its semi-axes and the direction of the major one."""
    turn = math.radians(angle_deg)
    dx, dy = major * math.cos(turn), -major * math.sin(turn)
    arc = f"A{number(major)} {number(minor)} {number(-angle_deg)} 1 1 "
    return (
        f"M{number(centre.x + dx)} {number(centre.y + dy)}"
        f"{arc}{number(centre.x - dx)} {number(centre.y - dy)}"
        f"{arc}{number(centre.x + dx)} {number(centre.y + dy)}Z"
    )


def on_dial(centre: Point, radius: float, clock: float) -> Point:
    """Where a clock position lies on a dial: 12 above the centre, 3 to its right."""
    turn = math.radians(clock * DEG_PER_HOUR)
    return Point(centre.x + radius * math.sin(turn), centre.y - radius * math.cos(turn))


def arrow(start: Point, end: Point, head: float) -> str:
    """Draw an arrow from `start` to `end`."""
    back = math.atan2(start.y - end.y, start.x - end.x)
    wings = [
        Point(end.x + head * math.cos(back + side), end.y + head * math.sin(back + side))
        for side in (-ARROW_HALF_ANGLE, ARROW_HALF_ANGLE)
    ]
    return polyline(start, end) + polyline(wings[0], end, wings[1])


def line_across(direction: str | float, width: float, height: float) -> tuple[Point, ...]:
    """The line through the middle of a frame in a planned direction, cut at the frame.

    Parameters
    ----------
    direction : str or float
        ``"rising"`` and ``"falling"`` are the frame's own diagonals, ``"none"`` is no line; a
        number is degrees counter-clockwise from the horizontal.
    width, height : float
        Of the frame, pixels.
    """
    if direction == "rising":
        return Point(0, height), Point(width, 0)
    if direction == "falling":
        return Point(0, 0), Point(width, height)
    if isinstance(direction, str):
        return ()
    turn = math.radians(direction)
    across, down = math.cos(turn), -math.sin(turn)
    reach = min(
        width / 2 / abs(across) if across else math.inf,
        height / 2 / abs(down) if down else math.inf,
    )
    middle = Point(width / 2, height / 2)
    return (
        Point(middle.x - reach * across, middle.y - reach * down),
        Point(middle.x + reach * across, middle.y + reach * down),
    )


def dial_arc(centre: Point, radius: float, first: float, last: float) -> str:
    """Draw the part of a dial from `first` clockwise to `last`, at most 12 hours."""
    start, end = on_dial(centre, radius, first), on_dial(centre, radius, last)
    span = clock_difference_hours(last, first) % 12
    large = 1 if span > 6 else 0
    size = number(radius)
    return (
        f"M{number(start.x)} {number(start.y)}"
        f"A{size} {size} 0 {large} 1 {number(end.x)} {number(end.y)}"
    )


ARROW_HALF_ANGLE = math.radians(28)  # a slim head that still reads at 30 px


def dial_sector(centre: Point, radius: float, first: float, last: float) -> str:
    """Draw the sector of a dial from `first` clockwise to `last`, at most 12 hours."""
    arc = dial_arc(centre, radius, first, last)
    return f"{arc}L{number(centre.x)} {number(centre.y)}Z"
