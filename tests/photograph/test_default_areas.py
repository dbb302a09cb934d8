"""Areas that a camera writes into every picture are told from areas that somebody chose."""

import piexif
import pytest
from PIL import Image

from auditor.photograph.default_areas import default_areas, read_head
from tests.photograph.pictures import encoded, quarters, read

_AREA, _LOCATION, _WIDTH, _HEIGHT = 0x9214, 0xA214, 0xA002, 0xA003
_MAKE, _MODEL, _ORIENTATION, _PHOTO = 0x010F, 0x0110, 0x0112, 0x8769
PHONE = {_MAKE: "Maker", _MODEL: "Phone"}

SENSOR = (4032, 3024)
DEFAULT = (2015, 1511, 2217, 1330)
OFF_CENTRE = (1200, 900, 610, 612)
TAPPED = (3000, 700, 610, 612)


def write(folder, name, area=None, *, kind="JPEG", size=(120, 90), orientation=1, camera=PHONE):
    """A picture with an area in pixels of the sensor; None writes none."""
    exif = Image.Exif()
    exif.update({**camera, _ORIENTATION: orientation})
    if area is not None:
        tag = _LOCATION if len(area) == 2 else _AREA
        exif.get_ifd(_PHOTO).update({tag: area, _WIDTH: SENSOR[0], _HEIGHT: SENSOR[1]})
    (folder / name).write_bytes(encoded(quarters(*size), kind, exif=exif))
    return name


def files_with_default_area(folder, files):
    return default_areas({file: read_head(folder, file) for file in files})


def test_an_area_in_every_picture_is_a_default(tmp_path):
    files = [write(tmp_path, f"{i}.jpg", OFF_CENTRE, orientation=i + 1) for i in range(8)]
    assert files_with_default_area(tmp_path, files) == set(files)


def test_an_area_of_one_picture_is_its_own(tmp_path):
    files = [write(tmp_path, f"{i}.jpg", OFF_CENTRE) for i in range(5)]
    own = write(tmp_path, "own.jpg", TAPPED)
    assert files_with_default_area(tmp_path, [*files, own]) == set(files)


@pytest.mark.parametrize("n_pictures", [1, 2])
def test_two_pictures_do_not_make_a_default(tmp_path, n_pictures):
    files = [write(tmp_path, f"{i}.jpg", OFF_CENTRE) for i in range(n_pictures)]
    assert files_with_default_area(tmp_path, files) == set()


def test_areas_of_few_among_many_are_their_own(tmp_path):
    files = [write(tmp_path, f"{i}.jpg", OFF_CENTRE) for i in range(3)]
    plain = [write(tmp_path, f"plain{i}.jpg") for i in range(4)]
    assert files_with_default_area(tmp_path, [*files, *plain]) == set()


def test_cameras_are_kept_apart(tmp_path):
    other = {_MAKE: "Maker", _MODEL: "Other"}
    files = [write(tmp_path, f"{i}.jpg", OFF_CENTRE) for i in range(3)]
    others = [
        write(tmp_path, f"other{i}.jpg", (300 + 700 * i, 900, 500, 500), camera=other)
        for i in range(5)
    ]
    assert files_with_default_area(tmp_path, [*files, *others]) == set(files)


def test_a_default_that_was_left_when_the_pixels_were_turned(tmp_path):
    """In pixels of each file, of different sizes, and always as the sensor lay."""
    files = []
    for index, (width, height) in enumerate([(120, 90), (90, 120), (160, 120), (120, 160)]):
        across, down = max(width, height), min(width, height)
        area = (round(0.3 * across), round(0.4 * down), round(0.2 * across), round(0.2 * down))
        exif = piexif.dump({"Exif": {_AREA: area}})
        name = f"{index}.jpg"
        (tmp_path / name).write_bytes(encoded(quarters(width, height), "JPEG", exif=exif))
        files.append(name)
    assert files_with_default_area(tmp_path, files) == set(files)


@pytest.mark.parametrize(("kind", "is_read"), [("JPEG", True), ("PNG", True), ("AVIF", False)])
def test_only_headers_that_are_read_in_python(tmp_path, kind, is_read):
    files = [write(tmp_path, f"{i}.jpg", (1000, 900), kind=kind) for i in range(3)]
    assert files_with_default_area(tmp_path, files) == (set(files) if is_read else set())


def test_files_that_cannot_be_read_change_nothing(tmp_path):
    files = [write(tmp_path, f"{i}.jpg", OFF_CENTRE) for i in range(3)]
    (tmp_path / "text.jpg").write_text("not a picture", encoding="utf-8")
    (tmp_path / "cut.jpg").write_bytes((tmp_path / "0.jpg").read_bytes()[:40])
    broken = ["text.jpg", "cut.jpg", "missing.jpg"]
    assert files_with_default_area(tmp_path, [*files, *broken]) == set(files)


@pytest.mark.parametrize("orientation", [1, 6])
def test_a_large_area_in_the_middle_of_a_single_picture_is_no_subject(tmp_path, orientation):
    write(tmp_path, "0.jpg", DEFAULT, size=(160, 120), orientation=orientation)
    assert read(tmp_path, (tmp_path / "0.jpg").read_bytes()).regions == ()


def test_the_same_left_when_the_pixels_were_turned(tmp_path):
    exif = piexif.dump({"Exif": {_AREA: (80, 60, 88, 53), _WIDTH: 120, _HEIGHT: 160}})
    assert read(tmp_path, encoded(quarters(120, 160), "JPEG", exif=exif)).regions == ()


@pytest.mark.parametrize("area", [TAPPED, (2016, 1512, 610, 612), (2016, 1512)])
def test_a_small_area_of_a_single_picture_is_its_own(tmp_path, area):
    write(tmp_path, "0.jpg", area, size=(160, 120))
    assert len(read(tmp_path, (tmp_path / "0.jpg").read_bytes()).regions) == 1
