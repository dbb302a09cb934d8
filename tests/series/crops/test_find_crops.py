"""Crops of drawn tables and of the demo series are found, and nothing else."""

import dataclasses
import io
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter, shift

from auditor.colorimetry import linear_from_srgb, srgb_from_linear
from auditor.geometry import Box
from auditor.measurements.additions import Border
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.keypoints import measure_keypoints
from auditor.quantity import Quantity
from auditor.series.alike import AlikePictures, join_alike
from auditor.series.crops import find_crops
from auditor.series.crops.find import WHOLE_FRAME
from auditor.series.duplicates import find_duplicates
from tests.conftest import ROOT
from tests.factories import measured_photograph

SIZE = (600, 900)


@cache
def table(seed):
    """A table with dishes, crumbs and the grain of its wood."""
    rng = np.random.default_rng(seed)
    height, width = SIZE
    grain = gaussian_filter(rng.normal(size=SIZE), (2, 12)) * 40
    pixels = np.full((*SIZE, 3), rng.uniform(90, 170, 3)) + grain[..., np.newaxis]
    y, x = np.mgrid[:height, :width]
    for _ in range(60):
        radius = rng.choice([8, 14, 30, 90], p=[0.5, 0.3, 0.15, 0.05])
        left, top = rng.uniform(0, width), rng.uniform(0, height)
        pixels[np.hypot(x - left, (y - top) * 1.3) < radius] = rng.uniform(10, 245, 3)
    blurred = gaussian_filter(pixels, (1.2, 1.2, 0)) + rng.normal(0, 2, pixels.shape)
    return np.clip(blurred, 0, 255).astype(np.uint8)


def cropped(pixels, box):
    height, width = pixels.shape[:2]
    rows = slice(round(box[1] * height), round(box[3] * height))
    return pixels[rows, round(box[0] * width) : round(box[2] * width)]


def exported(pixels, scale=1.0, ev=0.0, quality=92):
    """The same at another size, brightness and JPEG quality."""
    height, width = pixels.shape[:2]
    image = Image.fromarray(pixels).resize((round(width * scale), round(height * scale)))
    linear = np.clip(linear_from_srgb(np.asarray(image) / 255) * 2**ev, 0, 1)
    buffer = io.BytesIO()
    bytes_ = np.rint(srgb_from_linear(linear) * 255).astype(np.uint8)
    Image.fromarray(bytes_).save(buffer, "JPEG", quality=quality)
    return np.asarray(Image.open(buffer).convert("RGB"))


def picture(file, pixels):
    return measured_photograph(
        file=file,
        sha256=file,
        width=pixels.shape[1],
        height=pixels.shape[0],
        fingerprint=fingerprint(pixels),
        keypoints=measure_keypoints(pixels),
    )


def crops_of(*pictures):
    return find_crops(pictures, join_alike(pictures, find_duplicates(pictures)))


SQUARE = (1 / 6, 0.0, 5 / 6, 1.0)
UPRIGHT = (0.3, 0.05, 0.8, 0.95)
WIDE = (0.0, 0.2, 1.0, 0.85)


@pytest.mark.parametrize("box", [SQUARE, UPRIGHT, WIDE])
@pytest.mark.parametrize(
    "export",
    [
        {},
        {"scale": 2.0, "quality": 60},
        {"scale": 0.6, "ev": -1 / 3},
        {"ev": 1 / 3, "quality": 50},
    ],
)
def test_a_crop_is_found_with_its_place_in_the_whole(box, export):
    whole = table(1)
    crop = exported(cropped(whole, box), **export)
    (found,) = crops_of(picture("crop", crop), picture("whole", whole), picture("z", table(2)))
    assert (found.whole, found.crop) == ("whole", "crop")
    assert found.box == pytest.approx(box, abs=0.006)
    assert found.crop_box == WHOLE_FRAME


def test_a_crop_within_an_uneven_border_is_found_in_the_frame_with_it():
    whole, crop = picture("whole", table(1)), picture("crop", cropped(table(1), SQUARE))
    inside = Box(0.1, 0.05, 0.9, 0.75)
    border = Quantity.measured(Border(inside, "#ffffff"), confidence=0.9, tolerance=0.01)
    size = {"width": round(whole.width / 0.8), "height": round(whole.height / 0.7)}
    (found,) = crops_of(dataclasses.replace(whole, border=border, **size), crop)
    left, top, right, bottom = SQUARE
    expected = (0.1 + 0.8 * left, 0.05 + 0.7 * top, 0.1 + 0.8 * right, 0.05 + 0.7 * bottom)
    assert found.box == pytest.approx(expected, abs=0.006)


def test_two_crops_of_one_photograph_are_found_without_it():
    wide, square = (
        picture(name, cropped(table(3), box)) for name, box in (("w", WIDE), ("s", SQUARE))
    )
    (found,) = crops_of(wide, square)
    # The square shows 2/3, the wide one 0.65 of the photograph; both show 2/3 of 0.65.
    assert (found.whole, found.crop) == ("s", "w")
    assert found.box == pytest.approx((0.0, 0.2, 1.0, 0.85), abs=0.006)
    assert found.crop_box == pytest.approx((1 / 6, 0.0, 5 / 6, 1.0), abs=0.006)


def test_different_tables_are_no_crops_of_each_other():
    assert crops_of(*(picture(str(seed), table(seed)) for seed in range(8))) == ()


def test_a_mirrored_crop_is_another_picture():
    mirrored = cropped(table(4), SQUARE)[:, ::-1]
    assert crops_of(picture("whole", table(4)), picture("mirrored", mirrored)) == ()


def test_a_thing_that_was_moved_makes_another_picture():
    other = table(5).copy()
    other[200:290, 400:490] = table(5)[20:110, 200:290]
    whole, same = picture("whole", table(5)), picture("same", cropped(table(5), SQUARE))
    assert len(crops_of(whole, same)) == 1
    assert crops_of(whole, picture("moved", cropped(other, SQUARE))) == ()


def test_the_same_frame_is_no_crop():
    trimmed = cropped(table(6), (0.005, 0.005, 0.995, 0.995))
    pictures = picture("one", table(6)), picture("other", trimmed)
    assert find_crops(pictures, ()) == ()


def test_pictures_that_are_nearly_the_same_are_not_reported_again():
    whole, crop = picture("whole", table(7)), picture("crop", cropped(table(7), SQUARE))
    again, copy = picture("again", exported(table(7), quality=50)), picture("copy", table(7))
    pictures = (whole, crop, again, copy)
    alike = join_alike(pictures, find_duplicates(pictures))
    assert [group.files for group in alike] == [("whole", "again", "copy")]
    (found,) = find_crops(pictures, alike)
    assert found.crop == "crop"
    assert found.whole in {"whole", "copy"}  # the one that was not compressed shows it best
    joined = AlikePictures(("whole", "crop", "again", "copy"), same_file=False)
    assert find_crops(pictures, (joined,)) == ()


def test_crops_of_two_frames_belong_to_their_own_frame():
    # The second frame differs by the camera's move of a fraction of a pixel and its grain.
    rng = np.random.default_rng(0)
    moved = shift(table(12).astype(float), (0.5, 0.4, 0), mode="nearest")
    frames = {
        "one": table(12),
        "two": np.clip(moved + rng.normal(0, 4, moved.shape), 0, 255).astype(np.uint8),
    }
    crops = {"crop of one": ("one", SQUARE), "crop of two": ("two", UPRIGHT)}
    pictures = [picture(name, pixels) for name, pixels in frames.items()]
    pictures += [picture(name, cropped(frames[of], box)) for name, (of, box) in crops.items()]
    found = {(pair.whole, pair.crop) for pair in crops_of(*pictures)}
    assert found == {("one", "crop of one"), ("two", "crop of two")}
    # Without their frames they can hardly be distinguished.
    assert len(crops_of(*pictures[2:])) == 1


def test_crops_come_in_the_order_of_the_set():
    names = [("a", 8, SQUARE), ("b", 9, None), ("c", 8, None), ("d", 9, UPRIGHT), ("e", 8, WIDE)]
    pictures = [
        picture(name, table(seed) if box is None else cropped(table(seed), box))
        for name, seed, box in names
    ]
    found = crops_of(*pictures)
    assert [(pair.whole, pair.crop) for pair in found] == [
        ("c", "a"),
        ("a", "e"),
        ("b", "d"),
        ("c", "e"),
    ]
    assert crops_of(*pictures) == found


def test_no_picture_and_one_have_no_crops():
    assert crops_of() == ()
    assert crops_of(picture("one", table(1))) == ()


@cache
def demo():
    """The demo series at a third of its size."""
    files = sorted((ROOT / "fixtures" / "teahouse").glob("*.jpg"))
    return {file.name: np.asarray(Image.open(file).reduce(3)) for file in files}


def test_the_demo_series_has_no_crops():
    assert crops_of(*(picture(file, pixels) for file, pixels in demo().items())) == ()


def test_crops_of_the_demo_series_are_found_among_all():
    boxes = {
        "01-kettle-and-clementines.jpg": Box(0.1, 0.05, 0.9, 0.75),
        "05-citrus-plate.jpg": Box(0.2, 0.25, 0.85, 0.8),
        "09-lemon-tart.jpg": Box(0.05, 0.2, 0.95, 0.75),
    }
    pictures = [picture(file, pixels) for file, pixels in demo().items()]
    pictures += [
        picture(f"crop of {file}", exported(cropped(demo()[file], box), ev=1 / 3, quality=75))
        for file, box in boxes.items()
    ]
    found = {(pair.whole, pair.crop): pair.box for pair in crops_of(*pictures)}
    assert set(found) == {(file, f"crop of {file}") for file in boxes}
    for file, box in boxes.items():
        assert found[file, f"crop of {file}"] == pytest.approx(box, abs=0.006)


def test_every_two_framings_of_one_photograph_are_reported():
    framings = {"wide": WIDE, "square": SQUARE, "upright": UPRIGHT, "whole": WHOLE_FRAME}
    pictures = [picture(name, cropped(table(10), box)) for name, box in framings.items()]
    reported = {frozenset((pair.whole, pair.crop)) for pair in crops_of(*pictures)}
    assert reported == {frozenset(two) for two in combinations(framings, 2)}
