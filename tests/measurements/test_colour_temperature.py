"""Colour temperature: drawn illuminants and shifts of a colour chart are recovered."""

import warnings

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import (
    D65_DUV,
    D65_MIRED,
    linear_from_xyz,
    shift_mired,
    srgb_from_linear,
    xyz_from_xy,
)
from auditor.colour_signature import cells_of
from auditor.measurements.colour_temperature import measure_colour_temperature
from auditor.reasons import Reason

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science warns about missing plotting libraries
    import colour

NOTHING = np.zeros((4, 4), dtype=bool)
SHAPE = (240, 360)


def picture(linear, seed=0):
    grain = np.exp(np.random.default_rng(seed).normal(0, 0.03, linear.shape))
    encoded = srgb_from_linear(np.clip(linear * grain, 0, 1))
    return np.rint(encoded * 255).astype(np.uint8)


def grey_card():
    """A grey card with a lighter field, and a small piece of fruit on it."""
    linear = np.full((*SHAPE, 3), 0.25)
    linear[60:180, 120:240] = 0.4
    linear[100:140, 150:200] = [0.5, 0.2, 0.05]
    return linear


# Linear sRGB, from memory: bread, lettuce, tomato, egg yolk, berries, oak, slate.
THINGS = np.array(
    [
        [0.45, 0.28, 0.12],
        [0.12, 0.22, 0.04],
        [0.45, 0.06, 0.03],
        [0.70, 0.40, 0.03],
        [0.10, 0.03, 0.08],
        [0.30, 0.17, 0.08],
        [0.06, 0.065, 0.07],
    ]
)


def dinner(seed):
    """A white plate with food on a board, slate, linen or a painted board, linear sRGB."""
    rng = np.random.default_rng(seed)
    surfaces = [[0.30, 0.17, 0.08], [0.06, 0.065, 0.07], [0.45, 0.40, 0.32], [0.12, 0.18, 0.22]]
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]]
    weave = gaussian_filter(rng.normal(size=SHAPE), 2)[..., np.newaxis]
    linear = np.array(surfaces[seed % 4]) * np.exp(weave)
    linear[np.hypot(x - 180, (y - 120) * 1.3) < 110] = 0.55
    for _ in range(40):
        angle, radius = rng.uniform(0, 2 * np.pi), 55 * np.sqrt(rng.uniform())
        cx, cy = 180 + radius * np.cos(angle), 120 + radius * np.sin(angle) / 1.3
        shade = THINGS[rng.integers(7)] * rng.uniform(0.6, 1.2)
        linear[np.hypot(x - cx, y - cy) < rng.uniform(8, 20)] = shade
    return linear * np.linspace(1, 0.6, SHAPE[1])[np.newaxis, :, np.newaxis]


def measured(linear, occupied=NOTHING):
    return measure_colour_temperature(cells_of(picture(linear), occupied))


@pytest.mark.parametrize("mired", [-40, -15, 0, 15, 40])
def test_the_shift_of_a_grey_card_is_recovered(mired):
    quantity = measured(shift_mired(np.full((*SHAPE, 3), 0.3), mired))
    assert quantity.value.mired == pytest.approx(D65_MIRED + mired, abs=1.5)
    assert quantity.value.duv == pytest.approx(D65_DUV, abs=0.001)
    assert quantity.confidence > 0.8


def test_a_neutral_card_measures_6504_kelvin():
    assert measured(np.full((*SHAPE, 3), 0.3)).value.cct_k == pytest.approx(6504, abs=60)


@pytest.mark.parametrize("lights", [(333, 154), (333, 180), (300, 200), (250, 130), (230, 180)])
def test_both_illuminants_of_a_mixed_picture_are_recovered(lights):
    linear = grey_card()
    middle = SHAPE[1] // 2
    for part, light in ((np.s_[:, :middle], lights[0]), (np.s_[:, middle:], lights[1])):
        linear[part] = shift_mired(linear[part], light - D65_MIRED)
    value = measured(linear).value
    assert sorted(1e6 / c.cct_k for c in value.clusters) == pytest.approx(sorted(lights), abs=3)
    assert [c.share for c in value.clusters] == pytest.approx([0.5, 0.5], abs=0.06)
    assert sum(c.share for c in value.clusters) == pytest.approx(1)
    assert min(abs(value.mired - light) for light in lights) < 3


def test_the_map_shows_where_each_illuminant_falls():
    """A table lit by a window at the left and by a lamp at the right.

    White points of D65 and of illuminant A (CIE 15, from colour-science), 6504 K and 2856 K.
    """
    colour = pytest.importorskip("colour")
    whites = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    linear = grey_card()
    boundary = SHAPE[1] * 5 // 8  # the window lights cells 0 to 14 of 24
    for part, name in ((np.s_[:, :boundary], "D65"), (np.s_[:, boundary:], "A")):
        linear[part] *= linear_from_xyz(xyz_from_xy(np.array(whites[name])))
    value = measured(linear).value
    assert [c.cct_k for c in value.clusters] == [
        pytest.approx(6504, abs=80),
        pytest.approx(2856, abs=30),
    ]
    assert (len(value.light_map), {len(row) for row in value.light_map}) == (16, {24})
    seen = np.array([list(row) for row in value.light_map])
    assert set(seen[:, :15].ravel()) == {"0"}
    assert set(seen[:, 15:].ravel()) == {"1"}


def test_with_one_illuminant_there_is_no_map():
    assert measured(grey_card()).value.light_map == ()


def test_a_mirrored_picture_has_a_mirrored_map():
    linear = grey_card()
    linear[:, 225:] = shift_mired(linear[:, 225:], 120)
    ours, other = (measured(part).value.light_map for part in (linear, linear[:, ::-1]))
    assert len(set("".join(ours)) - {"."}) == 2
    same = np.mean(
        [a == b for a, b in zip("".join(ours), "".join(r[::-1] for r in other), strict=True)]
    )
    assert same > 0.98  # the grain is not mirrored


def test_occupied_cells_are_not_mapped():
    linear = grey_card()
    linear[:, 225:] = shift_mired(linear[:, 225:], 120)
    covered = np.zeros((4, 4), dtype=bool)
    covered[:, 0] = True
    seen = measured(linear, covered).value.light_map
    assert {row[:5] for row in seen} == {"....."}


def test_a_small_second_illuminant_is_ignored():
    linear = grey_card()
    linear[:, :20] = shift_mired(linear[:, :20], 120)  # 6 % of the frame
    assert len(measured(linear).value.clusters) == 1


def test_warm_wood_beside_porcelain_is_no_second_light():
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]]
    grain = gaussian_filter(np.random.default_rng(3).normal(size=SHAPE), (1, 9))[..., np.newaxis]
    linear = np.array([0.42, 0.27, 0.15]) * np.exp(2 * grain)
    linear[np.hypot(x - 250, (y - 120) * 1.2) < 90] = 0.6
    assert len(measured(linear).value.clusters) == 1


def test_one_illuminant_makes_one_cluster():
    for seed in range(4):
        value = measured(dinner(seed)).value
        assert len(value.clusters) == 1
        assert value.clusters[0].share == 1
        assert value.clusters[0].cct_k == pytest.approx(value.cct_k)


def chart(surround):
    """The patches of a ColorChecker on a board, linear sRGB under D65.

    Chromaticities and luminances as published by X-Rite (after November 2014), from
    colour-science; adapted from their white to D65 by its Bradford adaptation.
    """
    published = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    xyz = np.array([colour.xyY_to_XYZ(patch) for patch in published.data.values()])
    white = colour.xy_to_XYZ(published.illuminant)
    daylight = colour.xy_to_XYZ(
        colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    )
    adapted = colour.adaptation.chromatic_adaptation_VonKries(
        xyz, white, daylight, transform="Bradford"
    )
    linear = np.full((*SHAPE, 3), surround)
    for number, patch in enumerate(np.clip(linear_from_xyz(adapted), 0, 1)):
        row, column = divmod(number, 6)
        top, left = 10 + 58 * row, 8 + 58 * column
        linear[top : top + 48, left : left + 48] = patch
    return 0.8 * linear


@pytest.mark.parametrize("surround", [0.02, 0.18])
def test_a_colour_chart_under_a_known_adaptation_is_recovered(surround):
    casts = np.array([-35, -15, 0, 15, 35])
    quantities = [measured(shift_mired(chart(surround), cast)) for cast in casts]
    off = np.array([q.value.mired for q in quantities]) - D65_MIRED - casts
    assert np.abs(off).max() <= quantities[0].tolerance
    assert np.median(np.abs(off)) < 5
    assert min(q.confidence for q in quantities) > 0.5


def test_half_a_stop_less_hardly_changes_the_value():
    for seed in range(4):
        full, darker = measured(dinner(seed)).value, measured(dinner(seed) / 2**0.5).value
        assert darker.mired == pytest.approx(full.mired, abs=3)


def test_a_mirrored_picture_has_the_same_neutral():
    pixels = picture(dinner(1))
    ours = measure_colour_temperature(cells_of(pixels, NOTHING)).value
    mirrored = measure_colour_temperature(cells_of(pixels[:, ::-1], NOTHING)).value
    assert mirrored.mired == pytest.approx(ours.mired, abs=0.01)


@pytest.mark.parametrize("colour", [[0.5, 0.12, 0.02], [0.05, 0.3, 0.05], [0.02, 0.05, 0.4]])
def test_a_uniform_colour_gives_no_value(colour):
    linear = np.broadcast_to(np.array(colour), (*SHAPE, 3))
    assert measured(linear).reason is Reason.NO_NEUTRAL


@pytest.mark.parametrize("level", [0.0, 1.0])
def test_black_and_clipped_pictures_give_no_value(level):
    assert measured(np.full((*SHAPE, 3), level) + 0.0).reason in {Reason.NO_NEUTRAL}


def test_a_large_coloured_area_lowers_the_confidence():
    plain = measured(np.full((*SHAPE, 3), 0.3))
    linear = dinner(0)
    linear[:, :200] = [0.05, 0.1, 0.4]
    assert measured(linear).confidence < plain.confidence


def parts(left, right, column):
    """A picture of two plain colours (encoded sRGB) with a border at a column, as two lights."""
    linear = np.ones((*SHAPE, 3)) * np.array(left) ** 2.2
    linear[:, column:] = np.array(right) ** 2.2
    return measured(linear)


GREYISH, BLUE = (0.56, 0.56, 0.63), (0.33, 0.52, 0.95)


def test_a_second_light_that_no_lamp_gives_is_the_colour_of_a_thing():
    # Without the range these are two lights, of 8,100 and 100,200 K.
    value = parts(GREYISH, BLUE, 240).value
    assert value.cct_k == pytest.approx(8100, rel=0.05)
    assert [light.share for light in value.clusters] == [1.0]
    assert value.light_map == ()


def test_a_colour_of_no_light_is_no_neutral():
    # Without the range this is one of 100,200 K, with a confidence of 0.85.
    blue = parts(GREYISH, BLUE, 120)
    assert blue.reason is Reason.NO_NEUTRAL
    assert blue.value is None
