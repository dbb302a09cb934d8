import numpy as np
import pytest
from scipy import ndimage
from skimage.draw import disk

from auditor.measurements.elements import measure_elements
from auditor.saliency.finder import SubjectMaps

SHAPE = (170, 256)
SURE = 0.95  # of a drawn thing, in the map of things and in that of cores
CORE_SHARE = 0.35  # of a thing's inner radius that its core leaves away, as the finder is taught
COLOURS = ((200, 60, 20), (60, 110, 60), (230, 225, 210), (60, 70, 130), (240, 200, 60))


def disc_mask(column, row, radius, shape=SHAPE):
    mask = np.zeros(shape, dtype=bool)
    rows, columns = disk((row, column), radius, shape=shape)
    mask[rows, columns] = True
    return mask


def discs(*places):
    return [disc_mask(*place) for place in places]


def scene(things, subject=None, *, cores=True, colours=COLOURS):
    """The finder's maps and a picture of things laid one over another, the last on top.

    `subject` is its mask; it counts as a thing too.
    """
    masks = [*things, *([] if subject is None else [subject])]
    shape = masks[0].shape
    pixels = np.full((*shape, 3), 150, dtype=np.uint8)
    seen = np.zeros(shape, dtype=int)
    for n, mask in enumerate(masks, start=1):
        seen[mask] = n
        pixels[mask] = colours[(n - 1) % len(colours)]
    core = np.zeros(shape, dtype=bool)
    for n in range(1, len(masks) + 1):
        depth = ndimage.distance_transform_edt(seen == n)
        core |= depth > CORE_SHARE * max(depth.max(), 1)
    inner = ndimage.gaussian_filter(SURE * core.astype(np.float32), 1.0) if cores else 0 * seen
    return (
        SubjectMaps(
            subject=np.float32(SURE) * (np.zeros(shape) if subject is None else subject),
            elements=np.where(seen > 0, np.float32(SURE), np.float32(0)),
            cores=np.asarray(inner, dtype=np.float32),
        ),
        pixels,
    )


def found_in(things, subject=None, mask=None, **options):
    maps, pixels = scene(things, subject, **options)
    if mask is None:
        mask = np.zeros(maps.subject.shape, dtype=bool) if subject is None else subject
    return measure_elements(maps, mask, pixels)


def columns_of(found, width=SHAPE[1]):
    return sorted(round(q.value.centroid.x * width) for q in found.regions)


def test_things_are_found_largest_first_and_the_subject_left_out():
    (subject,) = discs((70, 90, 40))
    found = found_in(discs((180, 50, 20), (220, 130, 28)), subject)
    assert [q.value.centroid for q in found.regions] == [
        pytest.approx((220.5 / 256, 130.5 / 170), abs=0.005),
        pytest.approx((180.5 / 256, 50.5 / 170), abs=0.005),
    ]
    assert not (found.labels[subject] > 0).any()
    for n, quantity in enumerate(found.regions, start=1):
        assert np.mean(found.labels == n) == pytest.approx(quantity.value.area_fraction)


def test_touching_discs_are_told_apart():
    found = found_in(discs((80, 80, 30), (135, 80, 27)))
    assert columns_of(found) == pytest.approx([79, 136], abs=3)


def test_necks_tell_apart_where_the_map_of_cores_is_silent():
    maps, pixels = scene(discs((80, 80, 30), (135, 80, 27)))
    even = SubjectMaps(maps.subject, maps.elements, np.full_like(maps.cores, SURE))
    found = measure_elements(even, np.zeros(SHAPE, dtype=bool), pixels)
    assert columns_of(found) == pytest.approx([79, 136], abs=3)


def test_cores_tell_apart_what_has_no_neck():
    boxes = [np.zeros(SHAPE, dtype=bool) for _ in range(2)]
    boxes[0][60:110, 40:100] = True
    boxes[1][60:110, 100:160] = True
    assert len(found_in(boxes).regions) == 2
    maps, pixels = scene(boxes)
    even = SubjectMaps(maps.subject, maps.elements, np.full_like(maps.cores, SURE))
    assert len(measure_elements(even, np.zeros(SHAPE, dtype=bool), pixels).regions) == 1


def test_disc_half_covered_by_another_keeps_its_own_box():
    found = found_in(discs((90, 85, 34), (130, 85, 30)))
    boxes = sorted(tuple(q.value.bbox) for q in found.regions)
    assert len(boxes) == 2
    assert boxes[0][0] * 256 == pytest.approx(57, abs=2)
    assert boxes[1][2] * 256 == pytest.approx(160, abs=2)


@pytest.mark.parametrize("n", [3, 4, 5])
def test_chain_of_different_things_comes_apart(n):
    columns = [30 + 44 * k for k in range(n)]
    found = found_in(discs(*((column, 85, 22) for column in columns)))
    assert columns_of(found) == pytest.approx(columns, abs=3)


def test_pieces_of_one_kind_that_touch_are_one_element():
    pair = discs((80, 80, 20), (119, 80, 20))
    alike, apart = COLOURS[:1], COLOURS
    assert len(found_in(pair, colours=alike).regions) == 1
    assert len(found_in(pair, colours=apart).regions) == 2
    assert len(found_in(discs((80, 80, 20), (135, 80, 20)), colours=alike).regions) == 2
    assert len(found_in(discs((80, 80, 26), (117, 80, 12)), colours=alike).regions) == 2


@pytest.mark.parametrize("turned", [False, True])
def test_long_thing_stays_whole(turned):
    bar = np.zeros((170, 170), dtype=bool)
    bar[80:92, 20:150] = True
    assert len(found_in([bar.T if turned else bar]).regions) == 1


def test_specks_are_dropped():
    assert found_in(discs((200, 60, 3))).regions == ()


def test_outline_of_the_subject_is_dropped_even_if_the_finder_sees_a_core():
    thing, shifted = discs((72, 90, 42), (69, 90, 42))
    maps, pixels = scene([], thing)
    maps.cores[thing] = SURE
    assert measure_elements(maps, shifted, pixels).regions == ()


def test_dish_that_the_subject_overlaps_is_found_beside_it():
    subject, covered = discs((100, 85, 45), (150, 60, 26))
    found = found_in([covered], subject)
    (element,) = found.regions
    visible = covered & ~subject
    assert element.value.area_fraction == pytest.approx(visible.mean(), rel=0.2)
    assert element.value.bbox.right == pytest.approx(176 / 256, abs=0.01)
    assert not (found.labels[subject] > 0).any()


def test_subject_mask_that_spills_over_a_neighbour_takes_nothing_from_it():
    subject, neighbour, spilt = discs((90, 85, 40), (157, 85, 27), (133, 85, 12))
    (element,) = found_in([neighbour], subject, mask=subject | (spilt & neighbour)).regions
    assert element.value.bbox.left == pytest.approx(131 / 256, abs=0.015)
    assert element.value.area_fraction == pytest.approx(neighbour.mean(), rel=0.1)


def test_rim_of_a_plate_that_the_subject_mask_misses_is_no_element():
    plate, most = discs((128, 85, 60), (112, 85, 60))
    maps, pixels = scene([], plate)
    assert measure_elements(maps, most, pixels).regions == ()


@pytest.mark.parametrize("rows", [(10, 118), (85, 135)], ids=["from above", "from table height"])
def test_cloth_under_the_subject_is_ground_even_if_the_finder_sees_a_core(rows):
    cloth = np.zeros(SHAPE, dtype=bool)
    cloth[slice(*rows), 20:180] = True
    subject, cup = discs((90, 85, 40), (220, 60, 20))
    maps, pixels = scene([cup], subject)
    maps.elements[cloth] = SURE
    maps.cores[cloth & ~ndimage.binary_dilation(subject, iterations=6)] = 0.7
    assert columns_of(measure_elements(maps, subject, pixels)) == pytest.approx([220], abs=2)


def test_fragment_without_a_core_is_left_out():
    ragged = np.zeros(SHAPE, dtype=bool)
    for k in range(6):
        ragged[40 + 8 * k : 44 + 8 * k, 150 : 190 - 5 * k] = True
    ragged[40:90, 150:155] = True
    maps, pixels = scene([ragged], cores=False)
    maps.elements[ragged] = 0.75
    assert measure_elements(maps, np.zeros(SHAPE, dtype=bool), pixels).regions == ()


def test_faint_thing_is_less_sure():
    maps, pixels = scene(discs((60, 85, 25), (190, 85, 25)))
    maps.elements[:, 128:] *= 0.95
    maps.cores[:, 128:] *= 0.85
    sure, faint = sorted(
        measure_elements(maps, np.zeros(SHAPE, dtype=bool), pixels).regions,
        key=lambda q: q.value.centroid.x,
    )
    assert faint.confidence < sure.confidence


def test_thing_cut_by_the_frame_is_found():
    (cut,) = found_in(discs((252, 85, 25))).regions
    assert cut.value.bbox.right == 1


def test_mirrored_maps_give_mirrored_elements():
    maps, pixels = scene(discs((60, 50, 20), (180, 110, 30), (210, 75, 24)))
    nothing = np.zeros(SHAPE, dtype=bool)
    turned = SubjectMaps(*(m[:, ::-1] for m in (maps.subject, maps.elements, maps.cores)))
    straight = measure_elements(maps, nothing, pixels).regions
    mirrored = measure_elements(turned, nothing, pixels[:, ::-1]).regions
    assert len(straight) == 3
    for a, b in zip(straight, mirrored, strict=True):
        assert b.value.centroid.x == pytest.approx(1 - a.value.centroid.x, abs=0.002)
        assert b.value.area_fraction == pytest.approx(a.value.area_fraction, rel=0.02)


def test_empty_table_has_no_elements():
    nothing = np.zeros(SHAPE, dtype=np.float32)
    pixels = np.full((*SHAPE, 3), 150, dtype=np.uint8)
    found = measure_elements(SubjectMaps(nothing, nothing, nothing), nothing > 0, pixels)
    assert found.regions == ()
    assert not found.labels.any()
