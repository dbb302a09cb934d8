"""The same picture in four colour spaces, and compressed again, is measured alike."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from auditor.colorimetry import colour_difference
from auditor.measurements.background_and_surface import measure_background_and_surface
from auditor.measurements.palette import measure_palette
from auditor.measurements.tone import measure_tone
from auditor.photograph.decode import read_photograph
from tests.conftest import draw_dish
from tests.photograph.icc_profiles import SPACES, encoded_in, profile_of
from tests.photograph.pictures import encoded, read

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "teahouse"

LARGEST_DIFFERENCE = 0.5  # CIEDE2000 of every colour of the palette; about 1 is just noticeable


def table():
    """A dish of orange food with a green leaf and a red cloth, all colours within sRGB.

    With the grain of a photograph: on an even field the 8 bits of ROMM RGB leave an error of up to
    half a step, about 1 CIEDE2000 in the dark, which grain averages out.
    """
    pixels = np.asarray(draw_dish()).copy()
    pixels[40:140, 30:150] = (62, 92, 58)
    pixels[480:580, 300:460] = (150, 52, 44)
    pixels[30:120, 330:450] = np.linspace(20, 235, 120).astype(np.uint8)[:, np.newaxis]
    grain = np.random.default_rng(0).normal(0, 3, pixels.shape)
    return np.clip(np.rint(pixels + grain), 0, 255).astype(np.uint8)


@pytest.fixture(scope="module", params=["03-clementine-bowl.jpg", "09-lemon-tart.jpg"])
def rendered(request):
    return read_photograph(DEMO, request.param).pixels


def apart(ours, theirs):
    """Largest CIEDE2000 from a colour of either palette to the nearest of the other."""
    pairs = np.array([[colour_difference(a.lab, b.lab) for b in theirs] for a in ours])
    return max(pairs.min(axis=0).max(), pairs.min(axis=1).max())


@pytest.mark.parametrize("name", SPACES)
def test_a_rendered_table_is_measured_alike_in_every_space(tmp_path, rendered, name):
    data = encoded(encoded_in(name, rendered), "PNG", icc_profile=profile_of(name))
    wide = read(tmp_path, data).pixels
    nothing = np.zeros(rendered.shape[:2], dtype=bool)
    assert apart(measure_palette(rendered), measure_palette(wide)) < LARGEST_DIFFERENCE
    surfaces = [
        [measure_background_and_surface(pixels, nothing, None).surface.value]
        for pixels in (rendered, wide)
    ]
    assert apart(*surfaces) < LARGEST_DIFFERENCE
    assert measure_tone(wide).mean_lightness == pytest.approx(
        measure_tone(rendered).mean_lightness, abs=0.1
    )


@pytest.mark.parametrize("quality", [80, 92])  # common settings of an export
def test_compression_hardly_changes_the_palette(tmp_path, rendered, quality):
    """By less than is just noticeable; at quality 60 chroma itself has changed by more."""
    again = read(tmp_path, encoded(Image.fromarray(rendered), "JPEG", quality=quality)).pixels
    assert apart(measure_palette(rendered), measure_palette(again)) < 2 * LARGEST_DIFFERENCE


@pytest.mark.parametrize("name", SPACES)
def test_palette_and_tone_do_not_depend_on_the_colour_space(tmp_path, name):
    pixels = table()
    plain = read(tmp_path, encoded(Image.fromarray(pixels), "PNG")).pixels
    data = encoded(encoded_in(name, pixels), "PNG", icc_profile=profile_of(name))
    wide = read(tmp_path, data).pixels

    ours, theirs = measure_palette(plain), measure_palette(wide)
    assert len(ours) == len(theirs) >= 4
    for swatch in ours:
        apart = [colour_difference(swatch.lab, other.lab) for other in theirs]
        assert min(apart) < LARGEST_DIFFERENCE
        assert theirs[int(np.argmin(apart))].share == pytest.approx(swatch.share, abs=0.01)

    tone, other = measure_tone(plain), measure_tone(wide)
    assert other.exposure_ev == pytest.approx(tone.exposure_ev, abs=0.02)
    assert other.mean_lightness == pytest.approx(tone.mean_lightness, abs=0.3)
    assert other.contrast == pytest.approx(tone.contrast, abs=0.6)
    assert other.key == tone.key
