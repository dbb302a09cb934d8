"""The light's arrow, the grid of each technique, the diagonal, the empty side."""

import math

import pytest

from auditor.geometry import (
    Point,
    clock_difference_hours,
    clock_from_direction,
    line_angle_deg,
)
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.drawing import Role, box_of, dashes, holds, whole
from auditor.plan_sheet.lettering import Lettering
from auditor.plan_sheet.polygons import is_inside
from auditor.vocabulary.techniques import TECHNIQUES

HEAD = '[[shot]]\nname = "one"\nfiles = ["*"]\n'
THREE = (
    "subject = { at = [0.5, 0.3], size = 0.1 }\n"
    'supporting = [ { name = "a", at = [0.2, 0.75] }, { name = "b", at = [0.8, 0.7] } ]\n'
)


@pytest.fixture
def lines_of(plan_of):
    def draw(text, role):
        drawing = draw_shot(plan_of(HEAD + text).shots[0], Lettering(20))
        return [line for line in drawing.lines if line.role is role], drawing

    return draw


@pytest.mark.parametrize("clock", [12, 1.5, 2, 3, 4.5, 6, 7.25, 9, 10.5, 11.9])
@pytest.mark.parametrize("ratio", ["4:5", "16:9"])
def test_the_arrow_points_the_way_of_the_light(lines_of, clock, ratio):
    text = f'aspect_ratio = "{ratio}"\nlight = {{ clock = {clock} }}\n{THREE}'
    (shaft, head), drawing = lines_of(text, Role.LIGHT)
    tail, tip = shaft.points
    read = clock_from_direction(tail.x - tip.x, tip.y - tail.y)
    assert clock_difference_hours(read, clock) == pytest.approx(0, abs=1e-6)
    assert head.points[1] == tip
    assert holds(whole(drawing.frame), box_of([*shaft.points, *head.points]))
    # It stands at an edge.
    x, y = tail.x / drawing.frame.width, tail.y / drawing.frame.height
    assert min(x, 1 - x, y, 1 - y) < 0.16


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_each_technique_has_lines(lines_of, technique):
    lines, drawing = lines_of(f'technique = "{technique}"\n{THREE}', Role.GRID)
    assert lines
    assert all(holds(whole(drawing.frame), box_of(line.points)) for line in lines)


def test_the_lines_of_thirds_lie_at_the_thirds(lines_of):
    lines, drawing = lines_of('aspect_ratio = "3:2"\ntechnique = "rule of thirds"', Role.GRID)
    boxes = [box_of(line.points) for line in lines]
    upright = sorted(box.left / drawing.frame.width for box in boxes if box.left == box.right)
    level = sorted(box.top / drawing.frame.height for box in boxes if box.top == box.bottom)
    assert upright == pytest.approx([1 / 3, 2 / 3])
    assert level == pytest.approx([1 / 3, 2 / 3])


def test_a_triangle_joins_the_first_three_things(lines_of):
    sides, drawing = lines_of(f'technique = "triangle arrangement"\n{THREE}', Role.GRID)
    frame = drawing.frame
    corners = [frame.point(at) for at in ((0.5, 0.3), (0.2, 0.75), (0.8, 0.7))]
    expected = {
        round(math.degrees(math.atan2(b.y - a.y, b.x - a.x)) % 180)
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    }
    angles = [
        round(math.degrees(math.atan2(b.y - a.y, b.x - a.x)) % 180)
        for a, b in (side.points for side in sides)
    ]
    assert sorted(angles) == sorted(expected)
    # The sides end before they touch a thing.
    for line in drawing.lines:
        if line.is_closed:
            assert not any(is_inside(line.points, end) for side in sides for end in side.points)


@pytest.mark.parametrize(
    ("written", "sign"), [('"rising"', 1), ('"falling"', -1), ("30", 1), ("-20", -1)]
)
def test_the_diagonal_leans_as_planned_and_spares_the_things(lines_of, written, sign):
    lines, drawing = lines_of(
        f"diagonal = {written}\nsubject = {{ at = [0.5, 0.5] }}", Role.DIAGONAL
    )
    assert len(lines) == 2
    frame = drawing.frame
    for line in lines:
        (ax, ay), (bx, by) = line.points
        angle = line_angle_deg(
            Point(ax / frame.width, ay / frame.height),
            Point(bx / frame.width, by / frame.height),
            frame.width,
            frame.height,
        )
        assert math.copysign(1, angle) == sign
    assert lines_of('diagonal = "none"', Role.DIAGONAL)[0] == []


@pytest.mark.parametrize(
    ("side", "lies"),
    [
        ("left", lambda box, frame: box.right < 0.1 * frame.width),
        ("right", lambda box, frame: box.left > 0.9 * frame.width),
        ("top", lambda box, frame: box.bottom < 0.1 * frame.height),
        ("bottom", lambda box, frame: box.top > 0.9 * frame.height),
    ],
)
def test_the_empty_side_is_marked(lines_of, side, lies):
    lines, drawing = lines_of(f'negative_space = {{ side = "{side}" }}', Role.EMPTY)
    assert len(lines) > 10
    assert all(lies(box_of(line.points), drawing.frame) for line in lines)


def test_dashes_begin_and_end_with_the_line():
    parts = list(dashes((Point(0, 0), Point(100, 0)), 10, 5))
    assert parts[0][0] == pytest.approx((0, 0))
    assert parts[-1][-1] == pytest.approx((100, 0))
    drawn = sum(math.dist(part[0], part[-1]) for part in parts)
    assert drawn == pytest.approx(100 * 10 / 15, rel=0.1)
    assert list(dashes((Point(0, 0), Point(4, 0)), 10, 5)) == [(Point(0, 0), Point(4, 0))]
