"""Coloured things are those of a photograph, not the desk under a page nor the pencil on it."""

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor.photograph.decode import read_photograph
from auditor.sketch.coloured import coloured_share
from auditor.sketch.recognition import LEAST_SKETCH, is_sketch
from tests.conftest import ROOT, draw_dish

DEMO = sorted((ROOT / "fixtures" / "teahouse").glob("*.jpg"))


def page(paper=(240, 236, 226), desk=(120, 70, 30)):
    """A page with a frame and a plate in pencil on a wooden desk, with a red margin line."""
    picture = Image.new("RGB", (1200, 1600), desk)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((100, 120, 1120, 1500), fill=paper)
    pen.line((180, 120, 180, 1500), fill=(220, 90, 90), width=3)
    pen.rectangle((300, 300, 900, 1000), outline=(70, 70, 74), width=6)
    pen.ellipse((450, 500, 750, 800), outline=(70, 70, 74), width=6)
    return np.asarray(picture)


# Most of a page and least of a photograph, as shares: the most of 86 drawn pages is 0.0016.
MOST_OF_PAGE, LEAST_OF_FOOD = 0.002, 0.008


@pytest.mark.parametrize("paper", [(240, 236, 226), (196, 160, 120), (235, 225, 150)])
def test_a_pencil_page_on_a_desk_has_none(paper):
    assert coloured_share(page(paper)) < MOST_OF_PAGE


def test_food_on_a_plate_is_coloured():
    assert coloured_share(np.asarray(draw_dish())) > LEAST_OF_FOOD


def test_a_desk_coloured_in_streaks_is_cut_by_the_edge():
    streaks = page(desk=(130, 90, 60)).copy()
    streaks[:, 20:80:20] = (150, 90, 30)
    assert coloured_share(streaks) < MOST_OF_PAGE


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_the_pictures_of_the_demo_are_no_pages(path):
    assert is_sketch(read_photograph(path.parent, path.name).detail) < LEAST_SKETCH
