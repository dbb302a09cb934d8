"""What a camera's areas do to the subject of a set of pictures."""

import piexif
import pytest
from PIL import Image

from auditor.runs.measured_file import measure_picture
from tests.conftest import draw_dish, measured
from tests.runs.finders import TwoDishesFinder

# What a picture's subject is does not depend on the process that measures.
pytestmark = pytest.mark.usefixtures("measuring_here")

_AREA, _ORIENTATION = 0x9214, 0x0112
SIZE = (480, 360)
N_PICTURES = 4


def two_dishes(seed=0):
    """A dish on the left and one on the right, where `TwoDishesFinder` finds them."""
    picture = Image.new("RGB", SIZE, (150, 140, 128))
    dish = draw_dish(size=(240, 360), seed=seed)
    picture.paste(dish, (0, 0))
    picture.paste(dish, (240, 0))
    return picture


def save(path, area, seed, orientation=1):
    exif = piexif.dump({"0th": {_ORIENTATION: orientation}, "Exif": {_AREA: area} if area else {}})
    two_dishes(seed).save(path, quality=90, exif=exif)


def subjects(folder, store=None, finder=None):
    """Centre and source of the subject of each picture in a folder, by name."""
    files = sorted(path.name for path in folder.iterdir())
    outcomes = measured(folder, files, store=store, finder=finder)
    found = [
        (outcome.picture.subject.value, outcome.picture.subject_source) for outcome in outcomes
    ]
    return [(None if region is None else region.centroid, source) for region, source in found]


@pytest.fixture
def folder(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    return folder


@pytest.mark.parametrize("area", [(120, 180, 40, 40), (240, 180, 264, 158)])
def test_a_default_area_changes_no_subject(folder, area):
    for number in range(N_PICTURES):
        save(folder / f"{number}.jpg", area, number, orientation=(1, 6, 3, 8)[number])
    with_areas = subjects(folder, finder=TwoDishesFinder())
    for number in range(N_PICTURES):
        save(folder / f"{number}.jpg", None, number, orientation=(1, 6, 3, 8)[number])
    assert with_areas == subjects(folder, finder=TwoDishesFinder())


@pytest.mark.parametrize(("column", "x"), [(120, 0.25), (360, 0.75)])
def test_a_point_on_one_of_two_dishes_chooses_it_among_defaults(folder, column, x):
    for number in range(N_PICTURES):
        save(folder / f"{number}.jpg", (240, 60, 30, 30), number)
    save(folder / "own.jpg", (column, 180), 9)
    *others, (centre, source) = subjects(folder, finder=TwoDishesFinder())
    assert centre == pytest.approx((x, 0.5), abs=0.02)
    assert source == "metadata"
    assert [source for _, source in others] == ["estimated"] * N_PICTURES


def test_an_area_on_the_bare_table_leaves_the_estimate(folder):
    save(folder / "bare.jpg", (240, 20, 30, 30), 0)
    save(folder / "none.jpg", None, 0)
    bare, none = (
        measure_picture(folder / name, TwoDishesFinder()) for name in ("bare.jpg", "none.jpg")
    )
    assert bare.subject == none.subject
    assert bare.subject_source == "estimated"


def test_what_is_remembered_of_a_default_is_not_used_where_the_area_is_its_own(folder, tmp_path):
    store = tmp_path / "store.sqlite"
    for number in range(3):
        save(folder / f"{number}.jpg", (120, 180, 40, 40), number)
    assert {source for _, source in subjects(folder, store)} == {"estimated"}
    alone = tmp_path / "alone"
    alone.mkdir()
    (alone / "0.jpg").write_bytes((folder / "0.jpg").read_bytes())
    assert [source for _, source in subjects(alone, store)] == ["metadata"]
    assert {source for _, source in subjects(folder, store)} == {"estimated"}
