"""The border between two lights: drawn ones are recovered, and taking them out restores a table."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import (
    D65_DUV,
    D65_MIRED,
    cell_means,
    kelvin_from_mired,
    linear_from_xyz,
    shift_mired,
    srgb_from_linear,
    uv_from_cct_duv,
    xy_from_uv,
    xyz_from_xy,
)
from auditor.colour_signature import cells_of
from auditor.colour_signature.neutral_plane import plane_from_linear
from auditor.measurements.colour_temperature import light_border, measure_colour_temperature
from auditor.measurements.colour_temperature.clusters import clusters_of, in_one_light
from auditor.measurements.colour_temperature.light_border import find_border
from auditor.measurements.colour_temperature.locus import locus_duv

NOTHING = np.zeros((4, 4), dtype=bool)
SHAPE = (240, 360)
# Linear sRGB, from memory: slate, porcelain, oak, parsley, tomato, bread, butter, aubergine.
COLOURS = np.array(
    [
        [0.06, 0.065, 0.07],
        [0.55, 0.55, 0.53],
        [0.30, 0.17, 0.08],
        [0.12, 0.22, 0.04],
        [0.45, 0.06, 0.03],
        [0.45, 0.28, 0.12],
        [0.70, 0.55, 0.20],
        [0.10, 0.03, 0.08],
    ]
)


def things(seed):
    """A slate table full of round things of eight colours, linear sRGB."""
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]]
    linear = np.broadcast_to(COLOURS[0], (*SHAPE, 3)).copy()
    for _ in range(60):
        centre = rng.uniform(0, SHAPE[1]), rng.uniform(0, SHAPE[0])
        inside = np.hypot(x - centre[0], y - centre[1]) < rng.uniform(8, 28)
        linear[inside] = COLOURS[rng.integers(len(COLOURS))] * rng.uniform(0.7, 1.1)
    weave = gaussian_filter(rng.normal(size=SHAPE), 2)[..., np.newaxis]
    return linear * np.exp(0.5 * weave)


def warm_share(angle_deg, off=0.0, width=0.1):
    """A soft border across the middle; `width` from 10 to 90 %, relative to the longer side."""
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]]
    angle = np.radians(angle_deg)
    away = np.cos(angle) * (x - 180) + np.sin(angle) * (y - 120) - off * SHAPE[1]
    return 1 / (1 + np.exp(-away / (width * SHAPE[1]) * 4.39))


def cells(linear):
    encoded = srgb_from_linear(np.clip(linear, 0, 1))
    return cells_of(np.rint(255 * encoded).astype(np.uint8), NOTHING)


def lit(linear, share, apart):
    cool, warm = (shift_mired(linear, s * apart / 2) for s in (-1, 1))
    return share[..., np.newaxis] * (warm - cool) + cool


@pytest.mark.parametrize("apart", [60, 90, 140])
@pytest.mark.parametrize(("angle", "off"), [(0, 0.0), (90, 0.05), (217, -0.1)])
def test_a_drawn_border_is_recovered(angle, off, apart):
    share = warm_share(angle, off)
    found = find_border(cells(lit(things(1), share, apart)))
    drawn = cell_means(share, *found.warm_share.shape)
    assert ((found.warm_share > 0.5) == (drawn > 0.5)).mean() > 0.93
    assert np.ptp(found.warm_share) > 0.8
    assert found.apart_mired == pytest.approx(warmth_apart(apart), rel=0.12)


def warmth_apart(apart):
    """Distance in the plane of two lights around D65."""
    ends = [plane_from_linear(shift_mired(np.ones(3), s * apart / 2))[0] for s in (-1, 1)]
    return ends[1] - ends[0]


@pytest.mark.parametrize(("angle", "off"), [(0, 0.0), (33, 0.1), (97, -0.1), (172, 0.2)])
def test_borders_that_a_first_look_leaves_out_would_not_be_better(angle, off, monkeypatch):
    seen = cells(lit(things(6), warm_share(angle, off), 75))
    found = find_border(seen)
    monkeypatch.setattr(light_border, "WORTH_A_LOOK_NATS", np.inf)
    best_of_all = find_border(seen)
    assert found.apart_mired == best_of_all.apart_mired
    np.testing.assert_array_equal(found.warm_share, best_of_all.warm_share)


@pytest.mark.parametrize("seed", range(4))
def test_one_light_has_no_border(seed):
    assert find_border(cells(things(seed))) is None


def test_a_border_in_brightness_alone_is_none():
    shade = 0.4 + 0.6 * warm_share(30)[..., np.newaxis]
    assert find_border(cells(things(2) * shade)) is None


def test_a_mirrored_picture_has_a_mirrored_border():
    linear = lit(things(3), warm_share(20), 70)
    ours, other = find_border(cells(linear)), find_border(cells(linear[:, ::-1]))
    assert other.apart_mired == pytest.approx(ours.apart_mired, rel=0.05)
    same = (ours.warm_share > 0.5) == (other.warm_share[:, ::-1] > 0.5)
    assert same.mean() > 0.97


def test_taking_the_border_out_restores_the_table():
    table = cells(things(4))
    mixed = cells(lit(things(4), warm_share(60), 80))
    border = find_border(mixed)
    evened = in_one_light(mixed, border, np.zeros(2))
    both = evened.usable & table.usable
    before, after = (plane_from_linear(one.light[both])[:, 0] for one in (mixed, evened))
    true = plane_from_linear(table.light[both])[:, 0]
    off = [one - true - np.median(one - true) for one in (before, after)]
    assert np.median(np.abs(off[1])) < 0.25 * np.median(np.abs(off[0]))


def test_the_lights_are_as_far_apart_as_their_border_says():
    mixed = cells(lit(things(5), warm_share(0, 0.1), 80))
    border = find_border(mixed)
    first, second = clusters_of(mixed, border, np.zeros(2))
    assert first.share > second.share
    assert first.share + second.share == pytest.approx(1)
    assert second.position[0] - first.position[0] == pytest.approx(border.apart_mired)


@pytest.mark.parametrize("shape", [(8, 640), (640, 8), (1, 90), (60, 60)])
def test_long_and_small_pictures_are_measured(shape):
    y, x = np.mgrid[: shape[0], : shape[1]]
    across = (x / shape[1] if shape[1] < shape[0] else y / shape[0])[..., np.newaxis]
    table = np.random.default_rng(8).uniform(0.1, 0.6, (*shape, 1)) * np.array([1, 0.8, 0.6])
    mixed = shift_mired(table, -40) * across + shift_mired(table, 40) * (1 - across)
    quantity = measure_colour_temperature(cells(mixed))
    assert quantity.value is None or len(quantity.value.clusters) in {1, 2}


@pytest.mark.parametrize("mired", [100, 250, 400])
def test_lights_with_the_duv_of_d65_lie_on_the_locus(mired):
    assert mired > D65_MIRED - 110
    xyz = xyz_from_xy(xy_from_uv(uv_from_cct_duv(kelvin_from_mired(mired), D65_DUV)))
    warmth, duv = plane_from_linear(linear_from_xyz(xyz))
    assert locus_duv(warmth) == pytest.approx(duv, abs=2e-4)
