import piexif
import pytest
from PIL import Image

from auditor.output.previews import (
    PREVIEW_SIDE_PX,
    SMALL_SIDE_PX,
    preview_name,
)
from tests.records import HOSTILE, drawn_picture, make_preview


@pytest.fixture
def preview(tmp_path):
    return tmp_path, make_preview(drawn_picture(width=1500, height=1000), tmp_path / "p" / "a.jpg")


def test_previews_have_the_promised_sizes(preview):
    directory, made = preview
    assert (made.width, made.height) == (1024, 683)
    with Image.open(directory / "p" / made.file) as large:
        assert large.size == (made.width, made.height)
        assert max(large.size) == PREVIEW_SIDE_PX
    with Image.open(directory / "p" / made.small_file) as small:
        assert max(small.size) == SMALL_SIDE_PX


def test_previews_carry_no_metadata(preview):
    directory, made = preview
    for name in (made.file, made.small_file):
        path = directory / "p" / name
        with Image.open(path) as picture:
            assert not picture.getexif()
            assert set(picture.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }
            # Without a profile a JPEG is shown as sRGB, which it is (IEC 61966-2-1).
            assert "icc_profile" not in picture.info
            assert picture.mode == "RGB"
        assert not any(v for v in piexif.load(str(path)).values())
        data = path.read_bytes()
        for marker in (b"Exif", b"http://ns.adobe.com", b"Photoshop", b"ICC_PROFILE"):
            assert marker not in data


def test_colours_survive(preview):
    directory, made = preview
    with Image.open(directory / "p" / made.file) as picture:
        dish = picture.getpixel((round(made.width * 0.25), round(made.height * 0.5)))
    assert dish == pytest.approx((176, 82, 31), abs=4)


def test_a_small_picture_is_not_enlarged(tmp_path):
    made = make_preview(drawn_picture(width=40, height=30), tmp_path / "a.jpg")
    assert (made.width, made.height) == (40, 30)


def test_nothing_half_written_is_left(preview):
    directory, _ = preview
    assert sorted(p.name for p in (directory / "p").iterdir()) == ["a-small.jpg", "a.jpg"]


def test_names_are_plain_and_unique():
    assert preview_name(3, "x/Kettle & Ål.JPG") == "0003-kettle-al.jpg"
    assert preview_name(4, "茶.jpg") == "0004-picture.jpg"
    assert preview_name(5, "../../etc/passwd") == "0005-passwd.jpg"
    names = {preview_name(n, HOSTILE) for n in range(300)}
    assert len(names) == 300
    assert len(preview_name(1, "a" * 500 + ".jpg")) < 60
