"""The network in numpy: it agrees with torch, is mirror symmetric and reproducible."""

import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage, signal

from auditor.saliency.layers import CEILING, WHOLE_VALUES, Block, SkipConnection, Stem
from auditor.saliency.network import (
    INPUT_SIDE_PX,
    WEIGHTS_FILE,
    NetworkFinder,
    NumpyNetwork,
    exported_weights,
    trained_finder,
)
from auditor.saliency.training.agreement_pictures import SEED, STEP_PX, drawn_pictures

ANSWERS = np.load(Path(__file__).with_name("torch_answers.npz"))["maps"]
PICTURES = drawn_pictures(SEED, len(ANSWERS))
MAP_SIDE_PX = INPUT_SIDE_PX // 2


@pytest.fixture(scope="module")
def network():
    return NumpyNetwork(exported_weights())


@pytest.mark.parametrize("number", range(len(PICTURES)))
def test_agrees_with_torch(network, number):
    # torch 2, CPU, single precision: python -m auditor.saliency.training.agreement
    maps = network(PICTURES[number])[::STEP_PX, ::STEP_PX]
    assert np.abs(maps - ANSWERS[number]).max() < 1e-3
    assert ANSWERS[number, ..., 0].max() > 0.5  # the maps are not empty


def rectified(x):
    return np.clip(x, 0, CEILING)


def filtered(x, kernel, bias, stride):
    """A depthwise layer computed by scipy, with zero padding.

    With stride 2 the first window starts at the first pixel (3 taps) or one before it (5).
    """
    size = kernel.shape[-1]
    first = size // 2 - (size - stride) // 2
    channels = [
        ndimage.correlate(x[..., c], kernel[c, 0], mode="constant")[first::stride, first::stride]
        for c in range(x.shape[2])
    ]
    return np.stack(channels, axis=-1) + bias


def mixed(x, kernel, bias):
    return np.einsum("hwc,dc->hwd", x, kernel[..., 0, 0]) + bias


def drawn_weights(rng, before, wide, after, size, mix):
    shapes = {
        "depthwise.weight": (wide, 1, size, size),
        "depthwise.bias": (wide,),
        f"{mix}.weight": (after, wide, 1, 1),
        f"{mix}.bias": (after,),
        "expand.weight": (wide, before, 1, 1),
        "expand.bias": (wide,),
    }
    return {f"b.{name}": rng.normal(size=s).astype(np.float32) for name, s in shapes.items()}


@pytest.mark.parametrize(("stride", "size"), [(1, 3), (2, 3), (1, 5), (2, 5)])
@pytest.mark.parametrize("after", [4, 6])  # with and without a shortcut
def test_separable_block_is_a_sum_over_neighbours(stride, size, after):
    rng = np.random.default_rng(size + stride)
    x = rng.normal(size=(12, 20, 4)).astype(np.float32)
    weights = drawn_weights(rng, 4, 4, after, size, "pointwise")
    del weights["b.expand.weight"]
    middle = filtered(x, weights["b.depthwise.weight"], weights["b.depthwise.bias"], stride)
    expected = mixed(rectified(middle), weights["b.pointwise.weight"], weights["b.pointwise.bias"])
    if stride == 1 and after == 4:
        expected = expected + x
    block = Block(weights, "b", 20, stride, mix="pointwise", rectified=True)
    assert block(x) == pytest.approx(rectified(expected), abs=1e-4)


@pytest.mark.parametrize(("stride", "size"), [(1, 3), (2, 3), (1, 5), (2, 5)])
@pytest.mark.parametrize("height", [12, 240])  # expanded at once, and band by band
def test_inverted_block_expands_filters_and_projects(stride, size, height):
    rng = np.random.default_rng(10 * size + stride)
    x = rng.normal(size=(height, 40, 8)).astype(np.float32)
    weights = drawn_weights(rng, 8, 48, 8, size, "project")
    assert (height * 40 * 48 > WHOLE_VALUES) == (height == 240)
    wide = rectified(mixed(x, weights["b.expand.weight"], weights["b.expand.bias"]))
    middle = filtered(wide, weights["b.depthwise.weight"], weights["b.depthwise.bias"], stride)
    expected = mixed(rectified(middle), weights["b.project.weight"], weights["b.project.bias"])
    if stride == 1:
        expected = expected + x
    block = Block(weights, "b", 40, stride, mix="project", rectified=False)
    assert block(x) == pytest.approx(expected, abs=2e-3)


def test_skip_connection_enlarges_and_adds_encoder_features():
    rng = np.random.default_rng(8)
    x, kept = (rng.normal(size=s).astype(np.float32) for s in ((3, 4, 5), (6, 8, 2)))
    up, lateral = (rng.normal(size=(7, c, 1, 1)).astype(np.float32) for c in (5, 2))
    bias = rng.normal(size=7).astype(np.float32)
    weights = {"up.0.weight": up, "lateral.0.weight": lateral, "lateral.0.bias": bias}
    skip = SkipConnection(weights, 0)
    enlarged = mixed(x, up, 0).repeat(2, axis=0).repeat(2, axis=1)
    assert skip(x, kept) == pytest.approx(
        rectified(enlarged + mixed(kept, lateral, bias)), abs=1e-4
    )


def test_stem_is_a_convolution_with_stride_2():
    rng = np.random.default_rng(3)
    x = rng.normal(size=(16, 10, 3)).astype(np.float32)
    kernel = rng.normal(size=(5, 3, 3, 3)).astype(np.float32)
    bias = rng.normal(size=5).astype(np.float32)
    expected = np.stack(
        [
            sum(signal.correlate2d(x[..., c], kernel[d, c], mode="same") for c in range(3))[
                1::2, 1::2
            ]
            + bias[d]
            for d in range(5)
        ],
        axis=-1,
    )
    stem = Stem({"stem.weight": kernel, "stem.bias": bias})
    assert stem(x) == pytest.approx(rectified(expected), abs=1e-4)


@pytest.mark.parametrize("size", [(96, 160), (300, 200), (1024, 683)])
def test_maps_have_one_size_and_lie_between_0_and_1(size):
    pixels = np.random.default_rng(1).integers(0, 256, (*size, 3), dtype=np.uint8)
    maps = trained_finder().find(pixels)
    for plane in (maps.subject, maps.elements, maps.cores):
        assert plane.shape == (MAP_SIDE_PX, MAP_SIDE_PX)
        assert plane.dtype == np.float32
        assert 0 <= plane.min() <= plane.max() <= 1
    assert (maps.elements >= maps.subject).all()  # the subject is a placed thing


@pytest.mark.parametrize("value", [0, 255])
def test_extreme_pictures_give_finite_maps(network, value):
    maps = network(np.full((INPUT_SIDE_PX, INPUT_SIDE_PX, 3), value / 255, np.float32))
    assert np.isfinite(maps).all()
    pixels = np.full((64, 64, 3), value, np.uint8)
    pixels[20:44, 20:44] = 255 - value  # contrast enough to reach the network
    maps = trained_finder().find(pixels)
    for plane in (maps.subject, maps.elements, maps.cores):
        assert np.isfinite(plane).all()
    assert np.ptp(maps.elements) > 0  # the network was asked


def test_a_light_square_in_the_dark_is_the_subject():
    pixels = np.zeros((64, 64, 3), np.uint8)
    pixels[20:44, 20:44] = 255
    maps = trained_finder().find(pixels)
    assert maps.subject[50:80, 50:80].mean() > 2 * maps.subject[:20].mean()


@pytest.mark.parametrize(("contrast", "seen"), [(4, False), (8, True)])
def test_blank_frame_has_empty_maps(contrast, seen):
    pixels = np.full((64, 64, 3), 120, np.uint8)
    pixels[20:44, 20:44] += np.uint8(contrast)
    assert trained_finder().find(pixels).elements.any() == seen


@pytest.mark.parametrize(
    "pixels",
    [
        np.zeros((64, 64), np.uint8),
        np.zeros((64, 64, 4), np.uint8),
        np.zeros((64, 64, 3), np.float32),
        np.zeros((0, 64, 3), np.uint8),
    ],
    ids=["grey", "four channels", "floats", "empty"],
)
def test_other_arrays_are_refused(pixels):
    with pytest.raises(ValueError, match=r"pixels must be \(H, W, 3\) uint8"):
        trained_finder().find(pixels)


def balanced():
    """A picture that is not symmetric, but exactly as bright on the left as on the right."""
    pixels = np.full((INPUT_SIDE_PX, INPUT_SIDE_PX, 3), 90, np.uint8)
    pixels[40:100, 20:80] += 60
    pixels[150:210, -80:-20] += 60
    return pixels


def awkward(width, height):
    """A drawn picture at a size that is no multiple of the network's input."""
    picture = Image.fromarray(np.rint(PICTURES[0] * 255).astype(np.uint8))
    noise = np.random.default_rng(width).integers(0, 40, (height, width, 3), dtype=np.uint8)
    return np.asarray(picture.resize((width, height))) // 2 + noise


@pytest.mark.parametrize(
    "pixels",
    [
        *(np.rint(PICTURES * 255).astype(np.uint8)),
        balanced(),
        awkward(1533, 777),
        awkward(1021, 683),
        awkward(97, 131),
    ],
    ids=["0", "1", "balanced", "1533x777", "1021x683", "97x131"],
)
def test_mirrored_picture_gives_the_mirrored_maps_bit_for_bit(pixels):
    straight = trained_finder().find(pixels)
    mirrored = trained_finder().find(np.ascontiguousarray(pixels[:, ::-1]))
    assert np.array_equal(mirrored.subject[:, ::-1], straight.subject)
    assert np.array_equal(mirrored.elements[:, ::-1], straight.elements)
    assert np.array_equal(mirrored.cores[:, ::-1], straight.cores)


def test_network_alone_is_not_mirror_symmetric(network):
    """This shows that the test above depends on the canonical orientation."""
    mirrored = network(PICTURES[0][:, ::-1])[:, ::-1]
    assert not np.array_equal(mirrored, network(PICTURES[0]))


def test_result_is_reproducible_also_with_a_new_finder():
    pixels = np.rint(PICTURES[1] * 255).astype(np.uint8)
    first = trained_finder().find(pixels)
    second = NetworkFinder(exported_weights()).find(pixels)
    assert np.array_equal(first.subject, second.subject)
    assert np.array_equal(first.elements, second.elements)


def test_weights_are_small():
    weights_file = files("auditor.saliency") / WEIGHTS_FILE
    assert len(weights_file.read_bytes()) <= 2_000_000


def test_the_finder_runs_without_torch_and_the_training_code():
    code = (
        "import sys, auditor.saliency; auditor.saliency.default_finder();"
        "print([n for n in sys.modules if n == 'torch' or n.startswith('auditor.saliency.tr')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"
