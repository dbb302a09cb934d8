"""Light direction: recovered from rendered spheres on a table, lit from known directions."""

import math

import numpy as np
import pytest
from scipy import ndimage

from auditor.colorimetry import linear_from_srgb, srgb_from_linear
from auditor.geometry import clock_difference_hours, mirror_is_canonical
from auditor.measurements.light import Light, measure_light
from auditor.measurements.light.cast_shadow import SWEEPS
from auditor.measurements.light.cues import read_cues
from auditor.measurements.light.dial import combine_cues
from auditor.measurements.light.direction import clock_mirrored
from auditor.measurements.light.fall_off import fall_off_of
from auditor.measurements.light.pieces import pieces_on
from auditor.measurements.light.scene import lit_scene
from auditor.reasons import Reason
from auditor.vocabulary.light import light_name
from tests.measurements.drawn_light import BALL_SRGB, BALLS, SIZE_PX, error_hours, table


@pytest.mark.parametrize("clock", [0.5, 2.0, 3.0, 4.4, 6.0, 7.3, 9.0, 10.5, 12.0])
@pytest.mark.parametrize("elevation_deg", [30.0, 55.0, 90.0])
def test_the_light_of_a_rendered_table_is_recovered(clock, elevation_deg):
    quantity = measure_light(*table(clock, elevation_deg), elevation_deg)
    if (clock, elevation_deg) == (6.0, 30.0):
        # The things hide their shadows from a low camera, so there may be too little evidence.
        assert quantity.value is None or error_hours(quantity, clock) < 0.75
        return
    # Drawn without perspective and with one height of light, so half of the tolerance is enough.
    assert error_hours(quantity, clock) < 0.75
    assert quantity.tolerance == 1.5
    # Its fall-off says nothing, so that shadows and shading are all there is.
    assert quantity.confidence > 0.6


@pytest.mark.parametrize("height_deg", [25.0, 60.0])
def test_low_and_high_lights_are_recovered(height_deg):
    quantity = measure_light(*table(10.0, 50.0, height_deg), 50.0)
    assert error_hours(quantity, 10.0) < 0.75


def with_coloured_stripes(pixels, labels):
    """Stripe the ground in two colours, one as dark as a deep shadow, with slanted edges."""
    rows, columns = np.indices(labels.shape)
    striped = (labels == 0) & ((columns + rows // 3) // 37 % 2 == 0)
    linear = linear_from_srgb(pixels / 255)
    linear[striped] *= [0.6, 0.22, 0.1]
    return np.round(255 * srgb_from_linear(linear)).astype(np.uint8)


@pytest.mark.parametrize("elevation_deg", [20.0, 45.0, 80.0, None])
@pytest.mark.parametrize("striped", [False, True])
def test_the_mirrored_picture_has_exactly_the_mirrored_light(elevation_deg, striped):
    pixels, subject, elements = table(9.8, elevation_deg or 50.0, seed=4)
    if striped:
        pixels = with_coloured_stripes(pixels, subject + elements)
    arrays = pixels[:-7, :-3], subject[:-7, :-3], elements[:-7, :-3]
    mirrored = [np.ascontiguousarray(a[:, ::-1]) for a in arrays]
    quantity, other = measure_light(*arrays, elevation_deg), measure_light(*mirrored, elevation_deg)
    assert other.value.clock == pytest.approx(12 - quantity.value.clock, abs=1e-12)
    assert other.confidence == quantity.confidence


@pytest.mark.parametrize("clock", [10.0, 3.0])
def test_the_cues_alone_are_nearly_symmetric(clock):
    # The cues of a picture and of its mirror image, without the canonical orientation.
    arrays = table(clock, 45.0, seed=4)
    as_is, mirrored = (
        combine_cues(read_cues(scene), fall_off_of(scene), 45.0)
        for scene in (lit_scene(*arrays, 45.0, mirrored=turned) for turned in (False, True))
    )
    assert clock_mirrored(mirrored.clock) == pytest.approx(as_is.clock, abs=0.03)
    assert mirrored.local_evidence == pytest.approx(as_is.local_evidence, rel=0.02)


def test_exactly_one_of_a_picture_and_its_mirror_image_is_canonical():
    pixels = table(4.0, 50.0)[0]
    both = np.concatenate([pixels, pixels[:, ::-1]], axis=1)
    assert mirror_is_canonical(pixels) is not mirror_is_canonical(pixels[:, ::-1])
    assert not mirror_is_canonical(both)
    assert clock_mirrored(12.0) == 12.0
    assert clock_mirrored(9.5) == 2.5


@pytest.mark.parametrize("clock", [2.0, 3.0, 4.0])
def test_a_darker_cloth_is_not_mistaken_for_shade(clock):
    # It lies on the side of the light and is hardly browner than the rest of the ground.
    pixels, subject, elements = table(clock, 60.0)
    linear = linear_from_srgb(pixels / 255)
    cloth = np.indices(subject.shape)[1] > 0.55 * subject.shape[1]
    linear[cloth & ~subject & (elements == 0)] *= [0.5, 0.4, 0.3]
    laid = np.round(255 * srgb_from_linear(linear)).astype(np.uint8)
    assert error_hours(measure_light(laid, subject, elements, 60.0), clock) < 0.75


@pytest.mark.parametrize("quarter_turns", [1, 2, 3])
def test_a_picture_from_overhead_turned_has_the_light_turned(quarter_turns):
    arrays = table(10.5, 90.0, seed=2)
    turned = [np.ascontiguousarray(np.rot90(a, -quarter_turns)) for a in arrays]
    value = measure_light(*arrays, 90.0).value
    other = measure_light(*turned, 90.0).value
    expected = value.clock + 3 * quarter_turns  # np.rot90 with -1 turns clockwise, as the dial
    assert abs(clock_difference_hours(other.clock, expected)) < 0.15


def test_pieces_on_a_dish_that_fills_the_frame_cast_shadows():
    # Here the balls are the pieces, and the table between them is the dish.
    pixels, ball, elements = table(9.5, 60.0, seed=3)
    whole = np.zeros_like(ball)
    whole[20:-20, 20:-20] = True
    cues = read_cues(lit_scene(pixels, whole, elements * 0, 60.0))
    shadows = [cue for cue in cues if cue.name == "shadow of a piece"]
    assert len(shadows) == len(BALLS)
    fit = sum(cue.weight * cue.profile for cue in shadows)
    likeliest = float(SWEEPS[np.argmax(fit)]) * 6 / math.pi
    assert abs(clock_difference_hours(likeliest, 9.5)) < 0.75


def test_a_rim_and_a_smear_are_no_pieces():
    pixels, subject, elements = table(9.5, 90.0)
    whole = np.ones_like(subject)
    rows, columns = np.indices(whole.shape)
    from_middle = np.hypot(rows - 95, columns - 50)
    pixels = pixels.copy()
    pixels[(from_middle > 30) & (from_middle < 36)] = BALL_SRGB
    pixels[40:50, 20:140] = BALL_SRGB
    scene = lit_scene(pixels, whole, elements * 0, 90.0)
    (thing,) = scene.things()
    pieces = [piece for piece, _, _ in pieces_on(scene, thing, reach=3.5)]
    assert len(pieces) == len(BALLS)


def test_even_light_has_no_direction():
    quantity = measure_light(*table(10.5, 60.0, key=0.0, fill=0.8), 60.0)
    assert quantity.reason is Reason.FLAT_LIGHT


def test_more_fill_light_lowers_confidence():
    confidences = []
    for fill in (0.1, 1.0, 4.0):
        quantity = measure_light(*table(8.0, 60.0, fill=fill, key=0.6 / (0.4 + fill)), 60.0)
        confidences.append(quantity.confidence or 0.0)
    assert confidences[0] > confidences[1] > confidences[2]


def test_contradicting_cues_are_reported():
    left, subject, elements = table(9.0, 90.0)
    right, _, _ = table(3.0, 90.0)
    # A collage: each thing and its surroundings lit from another side.
    rows = np.arange(SIZE_PX[0])[:, np.newaxis, np.newaxis]
    both = np.where(rows < 144, left, right)
    quantity = measure_light(both, subject, elements, 90.0)
    single = measure_light(left, subject, elements, 90.0)
    assert quantity.reason is Reason.LIGHT_CUES_DISAGREE or (
        quantity.confidence < single.confidence - 0.15
    )


def test_an_unknown_elevation_lowers_confidence():
    arrays = table(2.0, 45.0)
    known, unknown = measure_light(*arrays, 45.0), measure_light(*arrays, None)
    assert unknown.value.clock == pytest.approx(known.value.clock, abs=0.3)
    assert unknown.confidence < known.confidence


@pytest.mark.parametrize("steps", [-3, 3])
def test_small_mask_errors_are_tolerated(steps):
    pixels, subject, elements = table(4.0, 50.0)
    if steps > 0:
        subject = ndimage.binary_dilation(subject, iterations=steps)
    else:
        subject = ndimage.binary_erosion(subject, iterations=-steps)
    assert error_hours(measure_light(pixels, subject, elements, 50.0), 4.0) < 1.0


def test_masks_of_another_size_cover_the_same_frame():
    pixels, subject, elements = table(4.0, 50.0)
    quantity = measure_light(pixels, subject[::2, ::2], elements[::2, ::2], 50.0)
    assert error_hours(quantity, 4.0) < 0.75


def test_without_things_or_without_ground_there_is_a_reason():
    pixels, subject, elements = table(4.0, 50.0)
    nothing = np.zeros_like(subject)
    assert measure_light(pixels, nothing, elements * 0, 50.0).reason is Reason.NO_SUBJECT
    assert measure_light(pixels, ~nothing, elements, 50.0).reason is Reason.ELEMENTS_FILL_FRAME


@pytest.mark.parametrize(
    ("clock", "name", "side"),
    [  # the names used in photography; common practice, no source
        (12.0, "back light", None),
        (0.5, "back light", None),
        (11.5, "back light", None),
        (1.5, "three-quarter back light", "right"),
        (10.5, "three-quarter back light", "left"),
        (3.0, "side light", "right"),
        (9.0, "side light", "left"),
        (4.5, "front light", "right"),
        (7.5, "front light", "left"),
        (6.0, "front light", None),
    ],
)
def test_clock_positions_have_names(clock, name, side):
    assert light_name(clock) == (name, side)
    assert (Light(clock).name, Light(clock).side) == (name, side)
