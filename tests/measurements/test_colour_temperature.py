"""Colour temperature: drawn lights come back, shifts are told as large as they are."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import D65_DUV, D65_MIRED, shift_mired, srgb_from_linear
from auditor.measurements.colour_temperature import cells_of, measure_colour_temperature
from auditor.reasons import Reason

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
    """A white plate with food on a board, slate, linen or painted ground, linear sRGB."""
    rng = np.random.default_rng(seed)
    grounds = [[0.30, 0.17, 0.08], [0.06, 0.065, 0.07], [0.45, 0.40, 0.32], [0.12, 0.18, 0.22]]
    y, x = np.mgrid[: SHAPE[0], : SHAPE[1]]
    weave = gaussian_filter(rng.normal(size=SHAPE), 2)[..., np.newaxis]
    linear = np.array(grounds[seed % 4]) * np.exp(weave)
    linear[np.hypot(x - 180, (y - 120) * 1.3) < 110] = 0.55
    for _ in range(40):
        angle, radius = rng.uniform(0, 2 * np.pi), 55 * np.sqrt(rng.uniform())
        cx, cy = 180 + radius * np.cos(angle), 120 + radius * np.sin(angle) / 1.3
        shade = THINGS[rng.integers(7)] * rng.uniform(0.6, 1.2)
        linear[np.hypot(x - cx, y - cy) < rng.uniform(8, 20)] = shade
    return linear * np.linspace(1, 0.6, SHAPE[1])[np.newaxis, :, np.newaxis]


def told(linear, occupied=NOTHING):
    return measure_colour_temperature(cells_of(picture(linear), occupied))


@pytest.mark.parametrize("mired", [-40, -15, 0, 15, 40])
def test_a_grey_card_tells_its_light(mired):
    quantity = told(shift_mired(np.full((*SHAPE, 3), 0.3), mired))
    assert quantity.value.mired == pytest.approx(D65_MIRED + mired, abs=1.5)
    assert quantity.value.duv == pytest.approx(D65_DUV, abs=0.001)
    assert quantity.confidence > 0.8


def test_a_neutral_card_reads_6504_kelvin():
    assert told(np.full((*SHAPE, 3), 0.3)).value.cct_k == pytest.approx(6504, abs=60)


@pytest.mark.parametrize("lights", [(333, 154), (333, 180), (300, 200), (250, 130), (230, 180)])
def test_both_lights_of_a_mixed_picture_come_back(lights):
    linear = grey_card()
    middle = SHAPE[1] // 2
    for part, light in ((np.s_[:, :middle], lights[0]), (np.s_[:, middle:], lights[1])):
        linear[part] = shift_mired(linear[part], light - D65_MIRED)
    value = told(linear).value
    assert sorted(1e6 / c.cct_k for c in value.clusters) == pytest.approx(sorted(lights), abs=3)
    assert [c.share for c in value.clusters] == pytest.approx([0.5, 0.5], abs=0.06)
    assert sum(c.share for c in value.clusters) == pytest.approx(1)
    assert min(abs(value.mired - light) for light in lights) < 3


def test_a_small_second_light_is_none():
    linear = grey_card()
    linear[:, :20] = shift_mired(linear[:, :20], 120)  # 6 % of the frame
    assert len(told(linear).value.clusters) == 1


def test_one_light_makes_one_cluster():
    for seed in range(4):
        value = told(dinner(seed)).value
        assert len(value.clusters) == 1
        assert value.clusters[0].share == 1
        assert value.clusters[0].cct_k == pytest.approx(value.cct_k)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("mired", [-35, 35])
def test_a_shift_is_told_as_large_as_it_is(seed, mired):
    linear = dinner(seed)
    before, after = told(linear).value, told(shift_mired(linear, mired)).value
    assert after.mired - before.mired == pytest.approx(mired, abs=5)


def test_shifts_are_told_as_large_as_they_are_in_the_middle():
    differences = []
    for seed in range(6):
        linear = dinner(seed)
        before = told(linear).value.mired
        differences += [told(shift_mired(linear, m)).value.mired - before - m for m in (-35, 35)]
    assert np.median(np.abs(differences)) < 2


def test_as_many_errors_are_within_the_tolerance_as_the_confidence_says():
    quantities = [told(shift_mired(dinner(seed), seed - 6)) for seed in range(12)]
    hits = [
        abs(q.value.mired - D65_MIRED - (seed - 6)) <= q.tolerance
        for seed, q in enumerate(quantities)
    ]
    assert np.mean(hits) >= np.mean([q.confidence for q in quantities])


def test_half_a_stop_less_hardly_changes_it():
    for seed in range(4):
        full, darker = told(dinner(seed)).value, told(dinner(seed) / 2**0.5).value
        assert darker.mired == pytest.approx(full.mired, abs=3)


def test_a_mirrored_picture_has_the_same_neutral():
    pixels = picture(dinner(1))
    ours = measure_colour_temperature(cells_of(pixels, NOTHING)).value
    mirrored = measure_colour_temperature(cells_of(pixels[:, ::-1], NOTHING)).value
    assert mirrored.mired == pytest.approx(ours.mired, abs=0.01)


@pytest.mark.parametrize("colour", [[0.5, 0.12, 0.02], [0.05, 0.3, 0.05], [0.02, 0.05, 0.4]])
def test_one_coloured_thing_alone_tells_nothing(colour):
    linear = np.broadcast_to(np.array(colour), (*SHAPE, 3))
    assert told(linear).reason is Reason.NO_NEUTRAL


@pytest.mark.parametrize("level", [0.0, 1.0])
def test_black_and_blown_pictures_tell_nothing(level):
    assert told(np.full((*SHAPE, 3), level) + 0.0).reason in {Reason.NO_NEUTRAL}


def test_disagreeing_estimators_lower_the_confidence():
    plain = told(np.full((*SHAPE, 3), 0.3))
    linear = dinner(0)
    linear[:, :200] = [0.05, 0.1, 0.4]
    assert told(linear).confidence < plain.confidence
