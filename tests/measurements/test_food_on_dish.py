"""The food on a dish that nearly fills the frame: drawn and recovered."""

from dataclasses import fields

import numpy as np
import pytest
from PIL import Image

from auditor.geometry import Box
from auditor.measurements import measured_photograph
from auditor.measurements.measured_photograph import measure
from auditor.measurements.subject import FoundSubject, food_on_dish, measure_subject
from auditor.measurements.subject.food_on_dish import FOOD_CONFIDENCE, is_full
from auditor.photograph.decode import read_photograph
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.saliency.finder import SubjectMaps

WIDTH, HEIGHT = 640, 480
PLATE, TABLE = (226, 222, 214), (96, 70, 52)
GRAIN, CRUMB = 1.5, 18.0  # levels: noise of the picture, and what makes food look like food


def inside(box, width=WIDTH, height=HEIGHT):
    """True in the ellipse that fits a box."""
    y, x = np.mgrid[:height, :width]
    middle, half = box.centre, ((box.right - box.left) / 2, (box.bottom - box.top) / 2)
    across = ((x + 0.5) / width - middle.x) / half[0]
    down = ((y + 0.5) / height - middle.y) / half[1]
    return across**2 + down**2 <= 1


def table(dish, food, colour=(196, 98, 34), seed=0):
    """A plate with food on a table, and the plate's mask at the scale of the maps."""
    generator = np.random.default_rng(seed)
    pixels = np.full((HEIGHT, WIDTH, 3), TABLE, dtype=np.float64)
    pixels[inside(dish)] = PLATE
    crumb = generator.normal(0, CRUMB, (HEIGHT // 4, WIDTH // 4, 1)).repeat(4, 0).repeat(4, 1)
    on_food = inside(dish) & inside(food)
    pixels[on_food] = (np.array(colour) + crumb)[on_food]
    pixels += generator.normal(0, GRAIN, (HEIGHT, WIDTH, 1))
    mask = inside(dish, 256, 192)
    field = np.where(mask, 0.97, 0.01).astype(np.float32)
    subject = measure_subject(field, field)
    if subject.region.value is None:
        subject = FoundSubject(Quantity.undetermined(Reason.NO_SUBJECT), mask)
    return np.clip(np.rint(pixels), 0, 255).astype(np.uint8), subject


FULL = Box(0.03, 0.04, 0.97, 0.98)


@pytest.mark.parametrize(
    ("dish", "food"),
    [
        (FULL, Box(0.3, 0.3, 0.7, 0.75)),
        (FULL, Box(0.2, 0.35, 0.55, 0.8)),
        (Box(0.05, -0.2, 0.95, 1.2), Box(0.3, 0.1, 0.8, 0.9)),
        (Box(-0.1, 0.02, 0.9, 1.1), Box(0.15, 0.25, 0.65, 0.85)),
    ],
)
def test_drawn_food_is_recovered(dish, food):
    pixels, subject = table(dish, food)
    found = food_on_dish(pixels, subject)
    assert found.is_food_on_dish
    assert found.region.value.bbox == pytest.approx(food, abs=0.04)
    assert np.array_equal(found.mask, subject.mask)
    assert found.region.confidence <= FOOD_CONFIDENCE


@pytest.mark.parametrize("colour", [(60, 110, 40), (120, 40, 30), (214, 204, 150)])
def test_food_of_other_colours(colour):
    pixels, subject = table(FULL, Box(0.25, 0.3, 0.65, 0.75), colour)
    bbox = food_on_dish(pixels, subject).region.value.bbox
    assert bbox == pytest.approx((0.25, 0.3, 0.65, 0.75), abs=0.04)


def test_mirrored_picture_gives_the_mirrored_food():
    pixels, subject = table(FULL, Box(0.2, 0.35, 0.55, 0.8))
    found = food_on_dish(pixels, subject).region.value.bbox
    mirrored = FoundSubject(subject.region, subject.mask[:, ::-1])
    turned = food_on_dish(np.ascontiguousarray(pixels[:, ::-1]), mirrored).region.value.bbox
    expected = (1 - found.right, found.top, 1 - found.left, found.bottom)
    assert turned == pytest.approx(expected, abs=0.01)  # the texture looks to one side


def test_a_dish_with_room_around_it_is_the_subject():
    pixels, subject = table(Box(0.2, 0.15, 0.8, 0.9), Box(0.35, 0.35, 0.65, 0.7))
    assert food_on_dish(pixels, subject) is subject


def test_food_that_covers_its_dish_is_the_subject_with_it():
    pixels, subject = table(FULL, FULL)
    assert food_on_dish(pixels, subject) is subject


def test_an_empty_plate_has_no_food():
    pixels, subject = table(FULL, Box(0.499, 0.499, 0.501, 0.501))
    assert food_on_dish(pixels, subject) is subject


def test_no_subject_stays_none():
    pixels, subject = table(FULL, FULL)
    none = FoundSubject(Quantity.undetermined(Reason.NO_SUBJECT), subject.mask)
    assert food_on_dish(pixels, none) is none


class PlateFinder:
    """Finds the plate of a table."""

    def __init__(self, mask):
        self._field = np.where(mask, 0.97, 0.01).astype(np.float32)

    def find(self, _pixels):
        return SubjectMaps(self._field, self._field, self._field)


def test_only_the_subject_and_what_is_said_of_its_place_change(tmp_path, monkeypatch):
    pixels, subject = table(FULL, Box(0.2, 0.35, 0.55, 0.8))
    Image.fromarray(pixels).save(tmp_path / "plate.png")
    photograph = read_photograph(tmp_path, "plate.png")
    finder = PlateFinder(subject.mask)
    with_food = measure(photograph, finder)
    monkeypatch.setattr(measured_photograph, "food_on_dish", lambda _, dish: dish)
    with_dish = measure(photograph, finder)
    changed = {
        field.name
        for field in fields(with_food)
        if repr(getattr(with_food, field.name)) != repr(getattr(with_dish, field.name))
    }
    assert changed == {"subject", "subject_is_food_on_dish", "technique_fit"}
    assert with_food.subject_is_food_on_dish
    assert with_food.subject_source == "estimated"


@pytest.mark.parametrize(
    ("rows", "columns", "full"),
    [
        (slice(10, 90), slice(10, 80), True),
        (slice(10, 90), slice(10, 78), False),
        (slice(0, 100), slice(30, 75), True),  # cut by top and bottom
        (slice(0, 98), slice(30, 75), False),  # by the top alone
        (slice(0, 100), slice(30, 68), False),  # too narrow
    ],
)
def test_what_nearly_fills_the_frame(rows, columns, full):
    mask = np.zeros((100, 100), dtype=bool)
    mask[rows, columns] = True
    assert is_full(mask) == full
