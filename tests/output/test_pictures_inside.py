"""Pictures in a page: smaller each time that they come again, and nothing else is touched."""

import base64
import re
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from auditor.output.pictures_inside import (
    FIRST_SIDE_PX,
    MOST_WHOLE,
    SECOND_SIDE_PX,
    pictures_inside,
)
from auditor.output.previews import SMALL_SIDE_PX, preview_name
from tests.records import make_preview


@pytest.fixture
def picture(tmp_path):
    noise = np.random.default_rng(3).integers(0, 255, (60, 80, 3), dtype=np.uint8)
    pixels = np.asarray(Image.fromarray(noise).resize((1600, 1200)))
    return make_preview(pixels, tmp_path / "pictures" / preview_name(1, "a dish.jpg"))


def image_tag(name):
    return f'<img src="pictures/{name}" alt="">'


def pictures_in(page):
    found = re.findall(r'src="data:image/jpeg;base64,([^"]+)"', page)
    return [Image.open(BytesIO(base64.b64decode(one))) for one in found]


def test_a_picture_that_comes_again_is_smaller(tmp_path, picture):
    page = "".join(map(image_tag, [picture.small_file, *[picture.file] * 4]))
    inside = pictures_inside(page, tmp_path / "pictures")
    assert [max(one.size) for one in pictures_in(inside)] == [
        SMALL_SIDE_PX,
        1024,
        SECOND_SIDE_PX,
        SMALL_SIDE_PX,
        SMALL_SIDE_PX,
    ]
    assert "pictures/" not in inside
    assert inside == pictures_inside(page, tmp_path / "pictures")


def test_a_large_set_has_smaller_pictures(tmp_path, picture):
    names = [picture.file.replace("0001", f"{n:04d}") for n in range(1, MOST_WHOLE + 2)]
    for name in names:
        (tmp_path / "pictures" / name).write_bytes(
            (tmp_path / "pictures" / picture.file).read_bytes()
        )
    inside = pictures_inside("".join(map(image_tag, names)), tmp_path / "pictures")
    assert {max(one.size) for one in pictures_in(inside)} == {FIRST_SIDE_PX}


def test_pictures_carry_no_metadata(tmp_path, picture):
    page = image_tag(picture.small_file) + image_tag(picture.file) * 3
    for one in pictures_in(pictures_inside(page, tmp_path / "pictures")):
        assert not one.getexif()
        assert "exif" not in one.info


def test_a_lost_small_picture_is_made_from_the_larger(tmp_path, picture):
    (tmp_path / "pictures" / picture.small_file).unlink()
    (one,) = pictures_in(pictures_inside(image_tag(picture.small_file), tmp_path / "pictures"))
    assert max(one.size) == SMALL_SIDE_PX


def test_only_addresses_are_replaced(tmp_path, picture):
    page = f'<p>src=&#34;pictures/{picture.file}&#34; <a href="pictures/{picture.file}">x</a></p>'
    assert pictures_inside(page, tmp_path / "pictures") == page


def test_a_lost_picture_keeps_its_address(tmp_path, picture):
    page = image_tag("0001-a-dish-after-1.jpg") + image_tag("0002-lost-small.jpg")
    inside = pictures_inside(page + image_tag(picture.file), tmp_path / "pictures")
    assert inside.startswith(page)
    assert len(pictures_in(inside)) == 1
