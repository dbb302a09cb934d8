"""Where the things of a plan are drawn, and how large."""

import pytest

from auditor.plan_sheet import things
from auditor.plan_sheet.compose import draw_shot
from auditor.plan_sheet.drawing import common_area, frame_of, holds, whole
from auditor.plan_sheet.lettering import Lettering
from auditor.plan_sheet.polygons import area_and_centroid

HEAD = '[[shot]]\nname = "one"\nfiles = ["*"]\naspect_ratio = "4:5"\n'


@pytest.fixture
def laid_out(plan_of):
    def read(text):
        intent = plan_of(HEAD + text).shots[0].intent
        frame = frame_of(0.8)
        return things.lay_out(intent, frame), frame

    return read


def share_and_place(thing, frame):
    area, centroid = area_and_centroid(thing.outline)
    place = centroid.x / frame.width, centroid.y / frame.height
    return abs(area) / (frame.width * frame.height), place


@pytest.mark.parametrize("elevation", [0, 10, 45, 90])
def test_place_and_size_are_as_planned(laid_out, elevation):
    layout, frame = laid_out(
        f"camera_elevation = {elevation}\nsubject = {{ at = [0.4, 0.6], size = 0.12 }}\n"
        'supporting = [ { name = "jar", at = [0.8, 0.2], size = 0.03 } ]'
    )
    subject, jar = layout.things
    assert share_and_place(subject, frame) == (
        pytest.approx(0.12, rel=1e-6),
        pytest.approx((0.4, 0.6), abs=1e-9),
    )
    assert share_and_place(jar, frame)[0] == pytest.approx(0.03, rel=1e-6)
    assert (subject.name, jar.name) == (None, "jar")
    assert not subject.is_assumed
    assert layout.zones == ()


def test_without_a_size_the_default_is_assumed(laid_out):
    layout, frame = laid_out("subject = { at = [0.5, 0.5] }")
    assert layout.things[0].is_assumed
    share, _ = share_and_place(layout.things[0], frame)
    assert share == pytest.approx(things.DEFAULT_SUBJECT_SIZE)


def test_an_assumed_size_shrinks_to_fit_and_a_planned_one_is_cut(laid_out):
    layout, frame = laid_out(
        'supporting = [ { name = "a", at = [0.08, 0.5] }, '
        '{ name = "b", at = [0.08, 0.8], size = 0.05 } ]'
    )
    assumed, planned = (share_and_place(thing, frame)[0] for thing in layout.things)
    assert assumed < things.DEFAULT_SUPPORTING_SIZE
    assert planned < 0.05
    assert all(holds(whole(frame), thing.box) for thing in layout.things)


def test_a_place_in_words_is_a_zone_with_the_thing_in_it(laid_out):
    layout, frame = laid_out('subject = { at = "upper right", size = 0.1 }')
    (zone,) = layout.zones
    assert zone == pytest.approx(frame.box((2 / 3, 0, 1, 1 / 3)))
    _, place = share_and_place(layout.things[0], frame)
    assert place == pytest.approx((2 / 3, 1 / 3), abs=0.06)


def test_things_in_one_zone_do_not_cover_each_other(laid_out):
    elements = ", ".join(f'{{ name = "{name}", at = "left third" }}' for name in "abcd")
    layout, frame = laid_out(
        f"subject = {{ at = [0.7, 0.5], size = 0.1 }}\nsupporting = [{elements}]"
    )
    boxes = [thing.box for thing in layout.things]
    assert len(boxes) == 5
    assert all(common_area(a, b) == 0 for i, a in enumerate(boxes) for b in boxes[:i])
    assert all(thing.box.centre.x < frame.width / 3 for thing in layout.things[1:])


def test_behind_is_behind_the_drawn_subject(laid_out):
    layout, _ = laid_out(
        "subject = { at = [0.5, 0.6], size = 0.1 }\n"
        'supporting = [ { name = "glass", at = "behind" }, { name = "fork", at = "beside" } ]'
    )
    subject, glass, fork = (thing.box for thing in layout.things)
    assert glass.bottom <= subject.top
    assert fork.right < subject.left or fork.left > subject.right
    assert len(layout.zones) == 3


def test_what_may_be_anywhere_is_not_drawn(laid_out):
    layout, _ = laid_out('supporting = [ { name = "crumbs" } ]')
    assert layout.things == ()


def test_the_size_decides_what_is_dashed(plan_of):
    text = (
        'subject = { at = "centre" }\nsupporting = [ { name = "a", at = [0.2, 0.2], size = 0.02 } ]'
    )
    drawing = draw_shot(plan_of(HEAD + text).shots[0], Lettering(20))
    dashed = {line.role: line.is_dashed for line in drawing.lines}
    assert dashed == {"subject": True, "supporting": False}
