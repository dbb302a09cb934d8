"""The network in numpy: as torch computes it, the same in the mirror, the same each time."""

import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy import ndimage, signal

from auditor.saliency.network import (
    INPUT_SIDE_PX,
    WEIGHTS_FILE,
    NetworkFinder,
    _separable,
    _stem,
    exported_weights,
    run,
    trained_finder,
)
from auditor.saliency.training.agreement_pictures import SEED, STEP_PX, drawn_pictures

ANSWERS = np.load(Path(__file__).with_name("torch_answers.npz"))["maps"]
PICTURES = drawn_pictures(SEED, ANSWERS.shape[1])
MAP_SIDE_PX = INPUT_SIDE_PX // 2


@pytest.fixture(scope="module")
def weights():
    return exported_weights()


@pytest.mark.parametrize("network", [0, 1])
@pytest.mark.parametrize("number", range(len(PICTURES)))
def test_agrees_with_torch(weights, network, number):
    # torch 2, CPU, single precision: python -m auditor.saliency.training.agreement
    maps = run(weights[network], PICTURES[number])[::STEP_PX, ::STEP_PX]
    assert np.abs(maps - ANSWERS[network, number]).max() < 1e-3
    assert ANSWERS[network, number, ..., 0].max() > 0.5  # there is something to agree on


@pytest.mark.parametrize(("stride", "size"), [(1, 3), (2, 3), (1, 5), (2, 5)])
def test_separable_block_is_a_sum_over_neighbours(stride, size):
    rng = np.random.default_rng(size + stride)
    x = rng.normal(size=(12, 20, 4)).astype(np.float32)
    weights = {
        "b.depthwise.weight": rng.normal(size=(4, 1, size, size)).astype(np.float32),
        "b.depthwise.bias": rng.normal(size=4).astype(np.float32),
        "b.pointwise.weight": rng.normal(size=(6, 4, 1, 1)).astype(np.float32),
        "b.pointwise.bias": rng.normal(size=6).astype(np.float32),
    }
    filtered = np.stack(
        [
            ndimage.correlate(x[..., c], weights["b.depthwise.weight"][c, 0], mode="constant")
            for c in range(4)
        ],
        axis=-1,
    )[::stride, ::stride]
    middle = np.maximum(filtered + weights["b.depthwise.bias"], 0)
    mixed = np.einsum("hwc,dc->hwd", middle, weights["b.pointwise.weight"][..., 0, 0])
    expected = np.maximum(mixed + weights["b.pointwise.bias"], 0)
    assert _separable(x, weights, "b", stride) == pytest.approx(expected, abs=1e-4)


def test_stem_is_a_convolution_in_steps_of_two():
    rng = np.random.default_rng(3)
    x = rng.normal(size=(16, 10, 3)).astype(np.float32)
    kernel = rng.normal(size=(5, 3, 3, 3)).astype(np.float32)
    bias = rng.normal(size=5).astype(np.float32)
    expected = np.stack(
        [
            sum(signal.correlate2d(x[..., c], kernel[d, c], mode="same") for c in range(3))[
                ::2, ::2
            ]
            + bias[d]
            for d in range(5)
        ],
        axis=-1,
    )
    assert _stem(x, kernel, bias) == pytest.approx(np.maximum(expected, 0), abs=1e-4)


@pytest.mark.parametrize("size", [(96, 160), (300, 200), (1024, 683)])
def test_maps_have_one_size_and_lie_between_0_and_1(size):
    pixels = np.random.default_rng(1).integers(0, 256, (*size, 3), dtype=np.uint8)
    maps = trained_finder().find(pixels)
    for plane in (maps.subject, maps.elements):
        assert plane.shape == (MAP_SIDE_PX, MAP_SIDE_PX)
        assert plane.dtype == np.float32
        assert 0 <= plane.min() <= plane.max() <= 1
    assert (maps.elements >= maps.subject).all()  # the subject is a placed thing


@pytest.mark.parametrize("value", [0, 255])
def test_extreme_pictures_give_numbers(value):
    maps = trained_finder().find(np.full((64, 64, 3), value, np.uint8))
    assert np.isfinite(maps.subject).all()


def balanced():
    """Not the same in the mirror, but as bright on the left as on the right, to the last unit."""
    pixels = np.full((INPUT_SIDE_PX, INPUT_SIDE_PX, 3), 90, np.uint8)
    pixels[40:100, 20:80] += 60
    pixels[150:210, -80:-20] += 60
    return pixels


@pytest.mark.parametrize(
    "pixels", [*(np.rint(PICTURES * 255).astype(np.uint8)), balanced()], ids=["0", "1", "balanced"]
)
def test_mirrored_picture_gives_the_mirrored_maps_bit_for_bit(pixels):
    straight = trained_finder().find(pixels)
    mirrored = trained_finder().find(np.ascontiguousarray(pixels[:, ::-1]))
    assert np.array_equal(mirrored.subject[:, ::-1], straight.subject)
    assert np.array_equal(mirrored.elements[:, ::-1], straight.elements)


def test_one_network_alone_is_not_the_same_in_the_mirror(weights):
    """So that the test above is known to test the orientation."""
    mirrored = run(weights[0], PICTURES[0][:, ::-1])[:, ::-1]
    assert not np.array_equal(mirrored, run(weights[0], PICTURES[0]))


def test_repeats_bit_for_bit_also_with_another_finder():
    pixels = np.rint(PICTURES[1] * 255).astype(np.uint8)
    first = trained_finder().find(pixels)
    second = NetworkFinder(exported_weights()).find(pixels)
    assert np.array_equal(first.subject, second.subject)
    assert np.array_equal(first.elements, second.elements)


def test_weights_are_small():
    weights_file = files("auditor.saliency") / WEIGHTS_FILE
    assert len(weights_file.read_bytes()) <= 2_000_000


def test_programme_runs_without_torch_and_without_the_training():
    code = (
        "import sys, auditor.saliency; auditor.saliency.default_finder();"
        "print([n for n in sys.modules if n == 'torch' or n.startswith('auditor.saliency.tr')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"
