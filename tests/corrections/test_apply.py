"""A whole change of a photograph in memory."""

import numpy as np
import pytest
from PIL import Image

from auditor.corrections import Change, applied, changed_pixels
from auditor.geometry import Box
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import ImageRegion


@pytest.fixture
def photograph(tmp_path):
    pixels = np.random.default_rng(2).integers(60, 190, (20, 30, 3), dtype=np.uint8)
    Image.fromarray(pixels).resize((600, 400), Image.Resampling.BICUBIC).save(tmp_path / "a.png")
    return read_photograph(tmp_path, "a.png")


def test_a_crop_keeps_the_stated_pixels(photograph):
    change = Change(crop=Box(0.1, 0.25, 0.6, 1.0))
    after = applied(photograph, change)
    assert (after.width, after.height) == change.size_px(600, 400) == (300, 300)
    kept = photograph.pixels[100:400, 60:360]
    assert (changed_pixels(photograph.pixels, change) == kept).all()
    # What is measured went through a JPEG.
    assert np.abs(after.pixels.astype(int) - kept).mean() < 3


def test_the_photograph_itself_does_not_change(photograph):
    before = photograph.pixels.copy(), photograph.detail.copy()
    applied(photograph, Change(2.0, Box(0.1, 0.1, 0.9, 0.9), -20.0, 0.5, 1.2))
    assert (photograph.pixels == before[0]).all()
    assert (photograph.detail == before[1]).all()


def test_regions_of_the_metadata_move_with_the_frame(photograph):
    inside = ImageRegion(Box(0.5, 0.5, 0.6, 0.75), "MWG region")
    outside = ImageRegion(Box(0.0, 0.0, 0.05, 0.1), "MWG region")
    with_regions = type(photograph)(
        **{
            name: getattr(photograph, name)
            for name in photograph.__slots__
            if name not in ("regions",)
        },
        regions=(inside, outside),
    )
    after = applied(with_regions, Change(crop=Box(0.1, 0.25, 0.6, 1.0)))
    (region,) = after.regions
    assert region.box == pytest.approx((0.8, 1 / 3, 1.0, 2 / 3))


def test_what_is_written_down_is_what_is_tried():
    change = Change(1.23456, Box(0.123456, 0.0, 0.98761, 1.0), -32.71, 0.4567, 1.2345).rounded()
    assert change == Change(1.2, Box(0.1235, 0.0, 0.9876, 1.0), -33.0, 0.46, 1.23)
    assert change.rounded() == change
    assert Change(mired=-33.0).key != Change(mired=33.0).key
