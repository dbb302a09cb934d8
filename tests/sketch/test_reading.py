"""Pages that are read from files, and files that are no pages."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from auditor.errors import NoSketchError, PhotographNotSketchError
from auditor.sketch.reading import frames_of, read_page
from auditor.sketch.recognition import LEAST_SKETCH, is_sketch
from tests.sketch import pages

TEAHOUSE = Path(__file__).parents[2] / "fixtures" / "teahouse"


def saved(tmp_path, picture, name="page.jpg"):
    path = tmp_path / name
    Image.fromarray(picture).save(path, quality=90)
    return path


def test_each_frame_of_a_page_is_read(tmp_path):
    page = pages.Page(201)
    for frame in [(16, 52, 122, 98), (158, 50, 122, 100)]:
        page.frame(*frame)
        page.oval((0.6, 0.5), (0.2, 0.2))
    path = saved(tmp_path, page.photographed()[0])
    assert len(frames_of(path)) == 2
    assert [frame.subject is not None for frame in read_page(path)] == [True, True]


def test_a_drawing_on_a_transparent_ground(tmp_path):
    page = pages.Page(202, paper=(255, 255, 255))
    page.frame(5, 5, 287, 200, colour=(20, 20, 20))
    picture = Image.fromarray(page.scanned(0))
    picture.putalpha(picture.convert("L").point(lambda value: 255 - value))
    path = tmp_path / "tablet.png"
    picture.save(path)
    assert len(frames_of(path)) == 1


def test_an_empty_page_is_refused(tmp_path):
    path = saved(tmp_path, pages.Page(203).photographed(fill=1.3)[0])
    with pytest.raises(NoSketchError, match=r"page\.jpg: the page is empty.*darker pen"):
        frames_of(path)


def test_a_page_of_writing_is_refused(tmp_path):
    page = pages.Page(204)
    for line in range(10):
        page.write(20, 20 + 16 * line, 230)
    path = saved(tmp_path, page.photographed()[0])
    with pytest.raises(NoSketchError, match=r"page\.jpg: there is writing.*draw a rectangle"):
        frames_of(path)


# The table of the second is as smooth as paper.
@pytest.mark.parametrize("name", ["01-kettle-and-clementines", "03-clementine-bowl"])
def test_a_photograph_is_refused(name):
    with pytest.raises(PhotographNotSketchError, match=rf"{name}\.jpg: this is a photograph"):
        frames_of(TEAHOUSE / f"{name}.jpg")


def test_a_page_is_told_from_photographs():
    page = pages.Page(205)
    page.frame(40, 25, 200, 150)
    sketch = is_sketch(page.photographed(turn_deg=5, shadow=0.2)[0])
    photographs = [
        is_sketch(np.asarray(Image.open(path).convert("RGB")))
        for path in sorted(TEAHOUSE.glob("*.jpg"))[:2]
    ]
    assert sketch > LEAST_SKETCH > max(photographs)
