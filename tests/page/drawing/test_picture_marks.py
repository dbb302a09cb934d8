"""Geometry by hand: a 600 by 400 picture has a diagonal of 721.1 px and a longer side of 600 px."""

import math
import re
from importlib.resources import files

import pytest

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame
from auditor.page.drawing.light_dial import DIAL_MARGIN, DIAL_RADIUS, quiet_corner
from auditor.page.drawing.picture_marks import LAYERS, draw_overlay
from auditor.record.addition_records import BorderRecord, WritingRecord
from auditor.record.picture_record import LargestRegionRecord
from auditor.record.plan_records import AcceptedRecord, MatchRecord, PicturePlanRecord, ZoneRecord
from auditor.technique_lines import technique_lines
from auditor.wording.marks import subject_label
from tests.records import item, items, measured, mixed_light


def numbers_in(path):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path)]


@pytest.fixture
def planned():
    plan = PicturePlanRecord(shot="s", items=items())
    return measured(plan=plan, colour_temperature=mixed_light(["01", "01"]))


@pytest.fixture
def added(planned):
    """The same with a border at the sides and a line of writing at the foot."""
    border = BorderRecord(inside=(0.1, 0.0, 0.9, 1.0), hex="#ffffff", has_round_corners=False)
    corners = [(0.2, 0.8), (0.8, 0.8), (0.8, 0.9), (0.2, 0.9)]
    writing = [WritingRecord(corners=corners, angle_deg=0.0)]
    return planned.model_copy(update={"border": border, "writing": writing})


@pytest.fixture
def layers(planned):
    return {layer.name: layer for layer in draw_overlay(planned, 600, 400).layers}


def test_every_layer_can_be_chosen(added):
    layers = draw_overlay(added, 600, 400).layers
    assert {layer.name for layer in layers} == {choice.name for choice in LAYERS}


def test_the_picture_within_its_border_and_its_writing_are_outlined(added):
    layers = {layer.name: layer for layer in draw_overlay(added, 600, 400).layers}
    inside, line = (numbers_in(mark.path) for mark in layers["additions"].marks)
    assert {min(inside), max(inside)} == {0.0, 540.0}
    assert line == [120, 320, 480, 320, 480, 360, 120, 360]


def test_every_layer_can_be_hidden():
    style = (files("auditor.page") / "static" / "picture.css").read_text(encoding="utf-8")
    for choice in LAYERS:
        assert f"#pictures:not(:has(#show-{choice.name}:checked)) .layer-{choice.name}" in style


def test_subject_is_drawn_where_it_was_measured_and_planned(layers):
    marks = layers["subject"].marks
    planned_paths = [mark.path for mark in marks if mark.role == "planned"]
    # Planned at (0.65, 0.35): 390, 140; tolerance 0.08 of the diagonal: 57.7 px.
    assert planned_paths[1] == shapes.circle(Point(390, 140), 0.08 * 721.1102550927978)
    assert planned_paths[1].startswith("M447.7 140A57.7 57.7")
    measured_paths = [mark.path for mark in marks if mark.role == "measured"]
    # Box 0.15..0.35 by 0.35..0.65: 90..210 by 140..260, corners of 24 px; cross at 150, 200.
    assert measured_paths[0].startswith("M90 164L90 140L114 140")
    assert measured_paths[1] == "M136.8 200H163.2M150 186.8V213.2"


def with_plan(*planned):
    picture = measured(plan=PicturePlanRecord(shot="s", items=list(planned)))
    return {layer.name: layer for layer in draw_overlay(picture, 600, 400).layers}


LEFT = ZoneRecord(words="left", boxes=[(0.0, 0.3, 0.3, 0.7)])


def test_a_zone_is_a_soft_area_with_the_tolerance_around_it():
    subject = item(
        "subject", [0.3, 0.5], [0.5, 0.5], 0.1, 0.08, "fraction of diagonal", "missed"
    ).model_copy(update={"zone": LEFT})
    (area,) = (mark for mark in with_plan(subject)["subject"].marks if mark.role == "zone")
    assert area.is_filled
    reach = 0.08 * 721.1102550927978
    numbers = numbers_in(area.path)
    assert min(numbers) == pytest.approx(-reach, abs=0.1)
    assert numbers[1] == pytest.approx(120 - reach, abs=0.1)


def supporting(verdict, taken, element=None, zone=LEFT):
    jar = item("supporting", [0.3, 0.5], None, None, 0.1, "fraction of diagonal", verdict, "jar")
    match = None if taken is None else MatchRecord(bbox=taken, element=element, seen_as="outline")
    return jar.model_copy(update={"zone": zone, "match": match})


def test_the_name_of_an_element_stands_at_the_box_that_was_taken_to_be_it():
    taken = (0.05, 0.4, 0.25, 0.6)
    layer = with_plan(supporting("met", taken))["supporting"]
    label, _ = layer.labels
    assert (label.text, label.role, label.anchor) == ("jar", "measured", "start")
    assert float(label.x) == pytest.approx(0.05 * 600)
    assert 0 < 0.4 * 400 - float(label.y) < 20
    # What is not among the elements has its corners drawn too, and no zone where it is met.
    box = Box(30, 160, 150, 240)
    assert shapes.corners(box, 0.02 * 600) in [mark.path for mark in layer.marks]
    assert "zone" not in {mark.role for mark in layer.marks}


def test_one_that_was_not_found_has_its_name_in_its_zone():
    layer = with_plan(supporting("missed", None))["supporting"]
    label, _ = layer.labels
    assert label.role == "planned"
    assert 0 <= float(label.x) <= 180
    assert 120 <= float(label.y) <= 280
    (area,) = (mark for mark in layer.marks if mark.role == "zone")
    assert area.path == shapes.rectangle(Box(0, 120, 180, 280))


def test_a_line_leads_from_the_planned_place_to_what_lies_elsewhere():
    layer = with_plan(supporting("missed", (0.7, 0.4, 0.9, 0.6), element=0))["supporting"]
    (guide,) = (mark for mark in layer.marks if mark.role == "guide")
    assert guide.path == shapes.polyline(Point(180, 200), Point(480, 200))


def test_planned_and_measured_are_told_apart_in_every_layer_that_has_both(layers):
    for name in ("subject", "supporting", "light", "diagonal"):
        assert {mark.role for mark in layers[name].marks} >= {"planned", "measured"}


def test_grid_of_thirds(layers):
    assert [mark.path for mark in layers["technique"].marks] == [
        "M200 0L200 400",
        "M400 0L400 400",
        "M0 133.3L600 133.3",
        "M0 266.7L600 266.7",
    ]


def test_rims_and_space_and_diagonal(layers):
    # Semi-axes 0.1 and 0.07 of the diagonal: 72.1 and 50.5 px around 150, 200.
    assert numbers_in(layers["rims"].marks[0].path)[:4] == [222.1, 200, 72.1, 50.5]
    # The record of an audit that had no outline yet.
    assert layers["space"].marks[0].path == "M300 0H600V240H300Z"
    planned_line, measured_line = layers["diagonal"].marks
    assert planned_line.path == "M0 400L600 0"
    assert measured_line.path == "M60 80L540 320"


def test_empty_space_is_drawn_by_its_outline_with_its_holes():
    ring = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    hole = [(0.25, 0.25), (0.5, 0.25), (0.5, 0.5)]
    region = LargestRegionRecord(bbox=(0.0, 0.0, 1.0, 1.0), fraction=0.9, outline=[ring, hole])
    space = measured().negative_space.model_copy(update={"largest_region": region})
    drawn = draw_overlay(measured(negative_space=space), 600, 400).layers
    (layer,) = (layer for layer in drawn if layer.name == "space")
    assert [mark.role for mark in layer.marks] == ["space", "measured"]
    for mark in layer.marks:
        assert mark.path == "M0 0L600 0L600 400L0 400ZM150 100L300 100L300 200Z"
    assert layer.marks[0].is_filled


def test_the_level_is_a_line_turned_as_the_picture_is(planned):
    rolled = planned.model_copy(
        update={"roll": planned.roll.model_copy(update={"deg": 5.0, "reason": None})}
    )
    (level,) = (n for n in draw_overlay(rolled, 600, 400).layers if n.name == "level")
    guide, measured = level.marks
    (x0, y0, x1, y1), (_, first, _, second) = (
        numbers_in(mark.path)[:4] for mark in (measured, guide)
    )
    assert first == second == 200
    # Level things that rise to the right: the right end lies higher in the picture.
    assert math.degrees(math.atan2(y0 - y1, x1 - x0)) == pytest.approx(5.0, abs=0.1)


def test_leading_lines_end_at_a_ring_where_they_meet(layers):
    first, second, ring = layers["leading"].marks
    assert first.path == "M540 360L240 220"
    assert second.path == "M480 40L240 168"
    assert ring.path == shapes.circle(Point(180, 200), 0.011 * 600)


def planned_technique(name, **fit):
    """The technique layer of a picture planned with a technique, and how that fits."""
    image = measured()
    given = image.technique_fit[name].model_copy(update=fit)
    plan = [item("technique", name, name, 0.1, 0.05, "fraction of diagonal", "missed")]
    planned = measured(technique_fit={name: given}, plan=PicturePlanRecord(shot="s", items=plan))
    overlay = draw_overlay(planned, 600, 400)
    return next(layer for layer in overlay.layers if layer.name == "technique")


def test_a_triangle_found_is_drawn():
    corners = [(0.5, 0.25), (0.25, 0.75), (0.75, 0.75)]
    (mark,) = planned_technique("triangle arrangement", outline=corners).marks
    assert (mark.path, mark.role) == ("M300 100L150 300L450 300Z", "measured")


@pytest.mark.parametrize("eye", [(x, y) for x in (0.276, 0.724) for y in (0.276, 0.724)])
def test_the_golden_spiral_winds_into_the_eye_near_the_subject(eye):
    (mark,) = planned_technique("golden spiral", point=eye).marks
    assert numbers_in(mark.path)[-2:] == pytest.approx((eye[0] * 600, eye[1] * 400), abs=12)


def test_a_planned_arc_of_light_is_a_sector_with_a_ray_in_its_middle(planned):
    spans = [(8.25, 9.75), (2.25, 3.75)]
    accepts = AcceptedRecord(words="either side", spans=spans)
    arcs = [
        one.model_copy(update={"accepts": accepts}) if one.quantity == "light" else one
        for one in planned.plan.items
    ]
    picture = planned.model_copy(update={"plan": PicturePlanRecord(shot="s", items=arcs)})
    layers = {layer.name: layer for layer in draw_overlay(picture, 600, 400).layers}
    styles = [mark.role for mark in layers["light"].marks]
    assert (styles.count("zone"), styles.count("planned")) == (2, 2)
    # From a quarter past two to a quarter to four on the right, symmetrically about three.
    right = next(mark for mark in layers["light"].marks if mark.role == "zone")
    start_x, start_y, *_, end_x, end_y, middle_x, middle_y = numbers_in(right.path)
    assert start_x == pytest.approx(end_x)
    assert start_x > middle_x
    assert start_y - middle_y == pytest.approx(middle_y - end_y, abs=0.2)


def test_several_planned_techniques_are_all_drawn(planned):
    def n_lines(technique):
        either = [
            one.model_copy(update={"planned": technique}) if one.quantity == "technique" else one
            for one in planned.plan.items
        ]
        picture = planned.model_copy(update={"plan": PicturePlanRecord(shot="s", items=either)})
        layers = {layer.name: layer for layer in draw_overlay(picture, 600, 400).layers}
        return len(layers["technique"].marks) if "technique" in layers else 0

    assert n_lines("rule of thirds or symmetry") == n_lines("rule of thirds") + n_lines("symmetry")
    assert n_lines("odd number") == 0


def test_light_falls_from_its_clock_position_towards_the_middle():
    middle = Point(100, 100)
    assert shapes.on_dial(middle, 50, 12) == pytest.approx((100, 50))
    assert shapes.on_dial(middle, 50, 3) == pytest.approx((150, 100))
    assert shapes.on_dial(middle, 50, 6) == pytest.approx((100, 150))
    assert shapes.on_dial(middle, 50, 9) == pytest.approx((50, 100))


def test_the_dial_keeps_off_the_subject():
    frame = Frame(600, 400)
    radius = DIAL_RADIUS * 600
    inset = radius + DIAL_MARGIN * 600
    image = measured()
    lower_right = image.subject.model_copy(update={"bbox": (0.6, 0.5, 1.0, 1.0)})
    moved = measured(subject=lower_right, elements=[])
    assert quiet_corner(moved, frame, radius) == Point(inset, 400 - inset)


def test_an_ellipse_turns_as_the_record_says():
    # Counter-clockwise as seen: at +90 degrees the major axis starts above the centre.
    path = shapes.ellipse(Point(100, 100), 40, 20, 90)
    assert path.startswith("M100 60A40 20 -90")


def test_corners_never_cross():
    assert shapes.corners(Box(0, 0, 10, 10), 50).startswith("M0 5L0 0L5 0")


def test_golden_triangles_meet_the_diagonal_at_a_right_angle():
    for near in (Point(10, 10), Point(590, 10)):
        (a, b), *others = technique_lines("golden triangles", 600, 400, near)
        for c, d in others:
            assert (b.x - a.x) * (d.x - c.x) + (b.y - a.y) * (d.y - c.y) == pytest.approx(
                0, abs=1e-6
            )
            # The foot lies on the diagonal.
            cross = (b.x - a.x) * (d.y - a.y) - (b.y - a.y) * (d.x - a.x)
            assert cross == pytest.approx(0, abs=1e-6)


def test_golden_triangles_take_the_form_nearer_to_the_subject():
    falling = technique_lines("golden triangles", 600, 400, Point(300, 190))
    near_lower_left = technique_lines("golden triangles", 600, 400, Point(60, 360))
    assert falling[0] in {(Point(0, 0), Point(600, 400)), (Point(600, 0), Point(0, 400))}
    assert near_lower_left[0] == (Point(600, 0), Point(0, 400))


def test_a_planned_angle_is_drawn_through_the_middle():
    assert shapes.line_across(0.0, 600, 400) == (Point(0, 200), Point(600, 200))
    low, high = shapes.line_across(45.0, 600, 400)
    assert low == pytest.approx((100, 400))
    assert high == pytest.approx((500, 0))
    assert shapes.line_across("none", 600, 400) == ()


def test_a_picture_without_measurements_has_no_marks():
    image = measured()
    bare = measured(
        subject=image.subject.model_copy(
            update={"centroid": None, "bbox": None, "area_fraction": None}
        ),
        elements=[],
        diagonal=None,
        leading_lines=None,
        light=image.light.model_copy(update={"clock": None}),
        roll=image.roll.model_copy(update={"deg": None}),
        camera_elevation=image.camera_elevation.model_copy(update={"deg": None, "ellipses": []}),
        focus=image.focus.model_copy(update={"sharpest_at": None}),
        negative_space=image.negative_space.model_copy(update={"largest_region": None}),
    )
    overlay = draw_overlay(bare, 600, 400)
    assert overlay.layers == ()
    assert overlay.description == "Nothing could be marked in this picture."


def test_the_drawing_is_described(planned):
    text = draw_overlay(planned, 600, 400).description
    assert "Subject measured at left of centre: 25% across, 50% down." in text
    assert "Light planned from three-quarter back light from the left (10:30)." in text


def test_edges_that_gave_the_camera_angle_are_drawn():
    image = measured()
    elevation = image.camera_elevation.model_copy(
        update={"ellipses": [], "lines": [((0.1, 0.2), (0.3, 0.4))]}
    )
    layers = draw_overlay(measured(camera_elevation=elevation), 600, 400).layers
    (mark,) = next(layer.marks for layer in layers if layer.name == "rims")
    assert mark.path == shapes.polyline(Point(60, 80), Point(180, 160))


def test_a_technique_divides_the_picture_within_its_border(added):
    layers = {layer.name: layer for layer in draw_overlay(added, 600, 400).layers}
    # From 60 to 540 px.
    assert [mark.path for mark in layers["technique"].marks] == [
        "M220 0L220 400",
        "M380 0L380 400",
        "M60 133.3L540 133.3",
        "M60 266.7L540 266.7",
    ]


@pytest.mark.parametrize(
    ("confidence", "label"), [(0.9, "subject"), (0.3, "subject, unsure"), (None, "subject, unsure")]
)
def test_a_subject_that_is_not_sure_says_so(confidence, label):
    subject = measured().subject.model_copy(update={"confidence": confidence})
    assert subject_label(measured(subject=subject)) == label
