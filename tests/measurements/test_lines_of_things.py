"""Diagonal and leading lines of a whole picture, with things where a stand-in finder puts them."""

import math

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor import SubjectMaps, measure, read_plan
from auditor.comparison.compare import compare
from auditor.comparison.item import Verdict
from auditor.reasons import Reason

WIDTH, HEIGHT = 480, 360


class DiscFinder:
    """Finds discs: some are the subject, others elements."""

    def __init__(self, subject, elements=()):
        self._subject, self._elements = subject, elements

    def find(self, pixels):
        """Maps with the discs."""
        subject = discs(self._subject, pixels.shape).astype(np.float32)
        others = discs(self._elements, pixels.shape).astype(np.float32)
        return SubjectMaps(subject, np.maximum(subject, others), np.maximum(subject, others))


def discs(places, shape):
    rows, columns = np.mgrid[: shape[0], : shape[1]]
    mask = np.zeros(shape[:2], np.bool_)
    for x, y, radius in places:
        mask |= np.hypot(columns - x * shape[1], rows - y * shape[0]) <= radius * shape[0]
    return mask


def measured(tmp_path, subject, elements=(), bars=()):
    image = Image.new("RGB", (WIDTH, HEIGHT), (150, 150, 150))
    pen = ImageDraw.Draw(image)
    for x, y, radius in (*subject, *elements):
        box = [(x * WIDTH - radius * HEIGHT), (y - radius) * HEIGHT]
        pen.ellipse(
            [*box, box[0] + 2 * radius * HEIGHT, box[1] + 2 * radius * HEIGHT], (200, 120, 60)
        )
    for ends in bars:
        pen.line([(x * WIDTH, y * HEIGHT) for x, y in ends], fill=(60, 60, 60), width=9)
    image.save(tmp_path / "picture.png")
    return measure(tmp_path / "picture.png", finder=DiscFinder(subject, elements))


def verdict(tmp_path, picture, planned):
    path = tmp_path / "plan.toml"
    path.write_text(f'[[shot]]\nname = "shot"\nfiles = ["*"]\ndiagonal = "{planned}"\n')
    plan = read_plan(path)
    (item,) = compare(plan.shots[0], picture, plan.tolerances)
    return item.verdict


@pytest.mark.parametrize("is_one_subject", [True, False])
def test_two_things_that_fall_are_not_said_to_miss_a_falling_diagonal(tmp_path, is_one_subject):
    first, second = (0.4, 0.38, 0.1), (0.6, 0.62, 0.1)
    picture = measured(tmp_path, *(([first, second],) if is_one_subject else ([first], [second])))
    assert picture.diagonal.reason is Reason.NO_DIAGONAL
    assert verdict(tmp_path, picture, "falling") is Verdict.UNDECIDED
    assert verdict(tmp_path, picture, "rising") is Verdict.MISSED


def test_one_round_thing_misses_a_planned_diagonal(tmp_path):
    picture = measured(tmp_path, [(0.5, 0.5, 0.2)])
    assert verdict(tmp_path, picture, "falling") is Verdict.MISSED
    assert verdict(tmp_path, picture, "none") is Verdict.MET


def test_things_in_line_with_a_stray_meet_a_planned_diagonal(tmp_path):
    row = [(0.2, 0.8, 0.07), (0.4, 0.6, 0.08), (0.8, 0.2, 0.07)]
    picture = measured(tmp_path, [(0.6, 0.4, 0.11)], [*row, (0.25, 0.25, 0.06)])
    assert picture.diagonal.value.drawn_by == "arrangement"
    true_deg = math.degrees(math.atan2(0.6 * HEIGHT, 0.6 * WIDTH))
    assert picture.diagonal.value.angle_deg == pytest.approx(true_deg, abs=1)
    assert verdict(tmp_path, picture, "rising") is Verdict.MET


def test_a_spoon_in_a_dish_leads_and_may_pass_for_a_diagonal(tmp_path):
    picture = measured(tmp_path, [(0.5, 0.5, 0.25)], bars=[((0.55, 0.43), (0.75, 0.16))])
    assert picture.leading_lines.value.kind == "lines"
    assert verdict(tmp_path, picture, "rising") is not Verdict.MISSED
    assert verdict(tmp_path, picture, "falling") is Verdict.MISSED
