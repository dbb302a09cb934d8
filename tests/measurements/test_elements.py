"""Supporting elements: drawn things are found and separated, on both sides of each threshold."""

import numpy as np
import pytest
from scipy import ndimage
from skimage.draw import disk

from auditor.colorimetry import lab_from_pixels
from auditor.measurements.elements import measure_elements
from auditor.saliency.finder import SubjectMaps

SHAPE = (170, 256)
SURE = 0.95  # value of a drawn thing in the map of things and in the map of cores
CORE_SHARE = 0.35  # share of a thing's inner radius outside its core, as in the finder's training
COLOURS = ((200, 60, 20), (60, 110, 60), (230, 225, 210), (60, 70, 130), (240, 200, 60))


def disc_mask(column, row, radius, shape=SHAPE):
    mask = np.zeros(shape, dtype=bool)
    rows, columns = disk((row, column), radius, shape=shape)
    mask[rows, columns] = True
    return mask


def discs(*places):
    return [disc_mask(*place) for place in places]


def scene(things, subject=None, *, cores=True, colours=COLOURS):
    """The finder's maps and a picture of things drawn one over another, the last on top.

    `subject` is the mask of the subject, which is a thing too.
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


def test_things_are_found_largest_first_without_the_subject():
    (subject,) = discs((70, 90, 40))
    found = found_in(discs((180, 50, 20), (220, 130, 28)), subject)
    assert [q.value.centroid for q in found.regions] == [
        pytest.approx((220.5 / 256, 130.5 / 170), abs=0.005),
        pytest.approx((180.5 / 256, 50.5 / 170), abs=0.005),
    ]
    assert not (found.labels[subject] > 0).any()
    for n, quantity in enumerate(found.regions, start=1):
        assert quantity.tolerance == 0.05  # as for the subject
        assert np.mean(found.labels == n) == pytest.approx(quantity.value.area_fraction)


def test_touching_discs_are_separated():
    found = found_in(discs((80, 80, 30), (135, 80, 27)))
    assert columns_of(found) == pytest.approx([79, 136], abs=3)


def test_necks_separate_where_the_map_of_cores_is_uniform():
    maps, pixels = scene(discs((80, 80, 30), (135, 80, 27)))
    even = SubjectMaps(maps.subject, maps.elements, np.full_like(maps.cores, SURE))
    found = measure_elements(even, np.zeros(SHAPE, dtype=bool), pixels)
    assert columns_of(found) == pytest.approx([79, 136], abs=3)


def test_cores_separate_what_has_no_neck():
    boxes = [np.zeros(SHAPE, dtype=bool) for _ in range(2)]
    boxes[0][60:110, 40:100] = True
    boxes[1][60:110, 100:160] = True
    assert len(found_in(boxes).regions) == 2
    maps, pixels = scene(boxes)
    even = SubjectMaps(maps.subject, maps.elements, np.full_like(maps.cores, SURE))
    assert len(measure_elements(even, np.zeros(SHAPE, dtype=bool), pixels).regions) == 1


def test_a_disc_half_covered_by_another_keeps_its_own_box():
    found = found_in(discs((90, 85, 34), (130, 85, 30)))
    boxes = sorted(tuple(q.value.bbox) for q in found.regions)
    assert len(boxes) == 2
    assert boxes[0][0] * 256 == pytest.approx(57, abs=2)
    assert boxes[1][2] * 256 == pytest.approx(160, abs=2)


@pytest.mark.parametrize("n", [3, 4, 5])
def test_a_chain_of_different_things_is_separated(n):
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
def test_a_long_thing_stays_whole(turned):
    bar = np.zeros((170, 170), dtype=bool)
    bar[80:92, 20:150] = True
    assert len(found_in([bar.T if turned else bar]).regions) == 1


def test_specks_are_left_out():
    assert found_in(discs((200, 60, 3))).regions == ()


def test_the_outline_of_the_subject_is_left_out_even_if_the_finder_sees_a_core():
    thing, shifted = discs((72, 90, 42), (69, 90, 42))
    maps, pixels = scene([], thing)
    maps.cores[thing] = SURE
    assert measure_elements(maps, shifted, pixels).regions == ()


def test_a_dish_that_the_subject_overlaps_is_found_beside_it():
    subject, covered = discs((100, 85, 45), (150, 60, 26))
    found = found_in([covered], subject)
    (element,) = found.regions
    visible = covered & ~subject
    assert element.value.area_fraction == pytest.approx(visible.mean(), rel=0.2)
    assert element.value.bbox.right == pytest.approx(176 / 256, abs=0.01)
    assert not (found.labels[subject] > 0).any()


def test_an_element_is_whole_where_the_subject_mask_leaks_onto_it():
    subject, neighbour, leak = discs((90, 85, 40), (157, 85, 27), (133, 85, 12))
    (element,) = found_in([neighbour], subject, mask=subject | (leak & neighbour)).regions
    assert element.value.bbox.left == pytest.approx(131 / 256, abs=0.015)
    assert element.value.area_fraction == pytest.approx(neighbour.mean(), rel=0.1)


def test_the_rim_of_a_plate_outside_the_subject_mask_is_no_element():
    plate, most = discs((128, 85, 60), (112, 85, 60))
    maps, pixels = scene([], plate)
    assert measure_elements(maps, most, pixels).regions == ()


@pytest.mark.parametrize("rows", [(10, 118), (85, 135)], ids=["from above", "from table height"])
def test_a_cloth_under_the_subject_is_left_out_even_if_the_finder_sees_a_core(rows):
    cloth = np.zeros(SHAPE, dtype=bool)
    cloth[slice(*rows), 20:180] = True
    subject, cup = discs((90, 85, 40), (220, 60, 20))
    maps, pixels = scene([cup], subject)
    maps.elements[cloth] = SURE
    maps.cores[cloth & ~ndimage.binary_dilation(subject, iterations=6)] = 0.7
    assert columns_of(measure_elements(maps, subject, pixels)) == pytest.approx([220], abs=2)


def test_a_fragment_without_a_core_is_left_out():
    ragged = np.zeros(SHAPE, dtype=bool)
    for k in range(6):
        ragged[40 + 8 * k : 44 + 8 * k, 150 : 190 - 5 * k] = True
    ragged[40:90, 150:155] = True
    maps, pixels = scene([ragged], cores=False)
    maps.elements[ragged] = 0.75
    assert measure_elements(maps, np.zeros(SHAPE, dtype=bool), pixels).regions == ()


def test_a_faint_thing_has_a_lower_confidence():
    maps, pixels = scene(discs((60, 85, 25), (190, 85, 25)))
    maps.elements[:, 128:] *= 0.95
    maps.cores[:, 128:] *= 0.85
    sure, faint = sorted(
        measure_elements(maps, np.zeros(SHAPE, dtype=bool), pixels).regions,
        key=lambda q: q.value.centroid.x,
    )
    assert faint.confidence < sure.confidence


def test_a_thing_cut_by_the_frame_is_found():
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


def box_mask(left, top, right, bottom):
    mask = np.zeros(SHAPE, dtype=bool)
    mask[top:bottom, left:right] = True
    return mask


def with_planes(things, subject=None, mask=None, *, elements=(), cores=(), **options):
    """Elements found after masked parts of the maps, (mask, value), are set to other values."""
    maps, pixels = scene(things, subject, **options)
    for plane, changes in ((maps.elements, elements), (maps.cores, cores)):
        for where, value in changes:
            plane[where] = value
    if mask is None:
        mask = np.zeros(SHAPE, dtype=bool) if subject is None else subject
    return measure_elements(maps, mask, pixels)


# Drawn just below and just above each threshold: the result must differ between the two.


@pytest.mark.parametrize(("radius", "n"), [(6, 0), (7.2, 1)])  # 0.0025 and 0.0037 of the frame
def test_the_smallest_element_is_0_003_of_the_frame(radius, n):
    assert len(found_in(discs((128, 85, radius))).regions) == n


@pytest.mark.parametrize(("value", "wide"), [(0.37, False), (0.43, True)])
def test_things_are_thresholded_at_0_4(value, wide):
    thing, skirt = discs((128, 85, 30), (128, 85, 40))
    found = with_planes([thing], elements=[(skirt & ~thing, value)])
    assert found.labels[85, 128 + 35] == wide


@pytest.mark.parametrize(("level", "n"), [(0.1, 0), (0.3, 1)])
def test_a_thing_with_a_confidence_below_0_5_is_left_out(level, n):
    # The confidence of a disc (raggedness 3.1), computed by hand, is 0.45 and 0.56.
    (thing,) = discs((128, 85, 30))
    assert len(with_planes([thing], cores=[(thing, level)]).regions) == n


@pytest.mark.parametrize(("share", "n"), [(0.08, 0), (0.13, 1)])
def test_a_core_counts_from_a_tenth_of_the_thing(share, n):
    thing, middle = discs((128, 85, 30), (128, 85, 30 * np.sqrt(share)))
    found = with_planes([thing], cores=[(thing, 0), (middle, SURE)])
    assert len(found.regions) == n


@pytest.mark.parametrize(("apart", "n"), [(1.4, 1), (1.62, 2)])
def test_things_are_separated_at_a_neck_of_0_65(apart, n):
    # Half of the common chord of two equal circles is 0.71 and 0.59 radii long (Pythagoras).
    pair = discs((100, 85, 34), (100 + round(34 * apart), 85, 34))
    both = pair[0] | pair[1]
    assert len(with_planes(pair, cores=[(both, SURE)]).regions) == n


def test_small_things_side_by_side_are_separated():
    # Centres 9 pixels apart, 0.029 of the diagonal; the least distance is 0.02.
    assert len(found_in([box_mask(100, 70, 109, 96), box_mask(110, 72, 117, 94)]).regions) == 2


@pytest.mark.parametrize(("seam", "n"), [(0.4, 2), (0.55, 1)])
def test_things_are_separated_where_the_core_is_weak_between_them(seam, n):
    # The weight at the seam is 0.3 + 0.7 times the core: 0.58 and 0.68 of the weight beside it.
    pair = [box_mask(40, 60, 110, 110), box_mask(110, 60, 180, 110)]
    both = pair[0] | pair[1]
    cores = [(both, 1.0), (box_mask(104, 60, 116, 110), seam)]
    assert len(with_planes(pair, cores=cores).regions) == n


@pytest.mark.parametrize(("gap", "n"), [(3, 1), (4, 2)])
def test_pieces_of_one_kind_touch_within_four_pixels(gap, n):
    pair = [box_mask(40, 60, 100, 100), box_mask(100 + gap, 60, 160 + gap, 100)]
    assert len(found_in(pair, colours=COLOURS[:1]).regions) == n


@pytest.mark.parametrize(("grey", "n"), [(131, 1), (137, 2)])
def test_pieces_of_one_kind_differ_by_less_than_6_in_cielab(grey, n):
    colours = ((120, 120, 120), (grey,) * 3)
    lab = lab_from_pixels(np.array(colours, dtype=np.uint8))
    assert (np.linalg.norm(lab[0] - lab[1]) < 6) == (n == 1)
    pair = [box_mask(40, 60, 100, 100), box_mask(102, 60, 162, 100)]
    assert len(found_in(pair, colours=colours).regions) == n


@pytest.mark.parametrize(("ratio", "n"), [(0.44, 2), (0.56, 1)])
def test_pieces_of_one_kind_have_half_of_the_area(ratio, n):
    small = 28 * np.sqrt(ratio)
    pair = discs((90, 85, 28), (90 + 28 + round(small), 85, small))
    assert len(found_in(pair, colours=COLOURS[:1]).regions) == n


@pytest.mark.parametrize(("width", "n"), [(4, 0), (6, 1)])
def test_what_sticks_out_of_the_subject_is_an_element_if_wider_than_the_margin(width, n):
    (subject,) = discs((70, 85, 40))
    bar = box_mask(105, 82, 190, 82 + width) & ~subject
    found = with_planes([bar], subject, cores=[(bar, SURE)])
    assert len(found.regions) == n


@pytest.mark.parametrize(("share", "n"), [(0.44, 1), (0.56, 0)])
def test_what_surrounds_half_of_the_subject_lies_under_it(share, n):
    (subject,) = discs((128, 85, 42))
    line = 85 - round(46 * np.cos(share * np.pi))  # this share of the circle is above the line
    behind = box_mask(0, 0, 256, line) & ~subject
    found = with_planes([behind], subject, cores=[(behind, SURE)])
    assert len(found.regions) == n


@pytest.mark.parametrize(("share", "n"), [(0.21, 1), (0.29, 0)])
def test_what_extends_beyond_the_subject_in_front_lies_under_it_from_a_quarter(share, n):
    (subject,) = discs((128, 85, 42))
    line = 85 + round(46 * np.cos(share * np.pi))
    before = box_mask(0, line, 256, 170) & ~subject
    found = with_planes([before], subject, cores=[(before, SURE)])
    assert len(found.regions) == n


@pytest.mark.parametrize(("share", "extended"), [(0.44, True), (0.56, False)])
def test_a_thing_is_extended_if_the_subject_mask_covers_less_than_half(share, extended):
    (subject,) = discs((70, 85, 40))
    neighbour = box_mask(118, 60, 178, 110)
    leak = box_mask(118, 60, 118 + round(60 * share), 110)
    found = with_planes([neighbour], subject, subject | leak, cores=[(neighbour, SURE)])
    (element,) = found.regions
    assert (element.value.bbox.left * 256 < 120) == extended


@pytest.mark.parametrize(("core", "extended"), [(0.45, False), (0.55, True)])
def test_a_thing_is_extended_only_if_the_leak_has_a_core(core, extended):
    (subject,) = discs((70, 85, 40))
    neighbour = box_mask(118, 60, 178, 110)
    leak = box_mask(118, 60, 138, 110)
    cores = [(neighbour, SURE), (leak, core)]
    found = with_planes([neighbour], subject, subject | leak, cores=cores)
    (element,) = found.regions
    assert (element.value.bbox.left * 256 < 120) == extended


def test_an_empty_table_has_no_elements():
    nothing = np.zeros(SHAPE, dtype=np.float32)
    pixels = np.full((*SHAPE, 3), 150, dtype=np.uint8)
    found = measure_elements(SubjectMaps(nothing, nothing, nothing), nothing > 0, pixels)
    assert found.regions == ()
    assert not found.labels.any()
