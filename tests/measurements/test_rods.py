"""Long thin things among the elements: whole, and joined over gaps."""

import numpy as np
import pytest
from skimage.draw import line

from auditor.measurements.elements.rods import with_whole_rods

SHAPE, DIAGONAL = (170, 256), 307.0


def bar(start, end, half_width=2):
    """A thick line between two (row, column) places."""
    mask = np.zeros(SHAPE, dtype=bool)
    rows, columns = line(*start, *end)
    for down in range(-half_width, half_width + 1):
        mask[np.clip(rows + down, 0, SHAPE[0] - 1), columns] = True
    return mask


def labelled(*masks):
    labels = np.zeros(SHAPE, dtype=np.int32)
    for number, mask in enumerate(masks, start=1):
        labels[mask] = number
    return labels


def n_things(labels):
    return len(np.unique(labels[labels > 0]))


def test_a_rod_in_pieces_is_one_thing():
    whole = bar((40, 30), (100, 200))
    pieces = labelled(whole)
    pieces[:, 90:150][pieces[:, 90:150] > 0] = 2
    joined = with_whole_rods(pieces, pieces > 0, DIAGONAL)
    assert n_things(joined) == 1
    assert np.array_equal(joined > 0, whole)


@pytest.mark.parametrize(("gap", "n"), [(6, 1), (40, 2)])
def test_the_interrupted_handle_continues_within_a_small_gap(gap, n):
    # Three hundredths of the diagonal are 9 pixels.
    labels = labelled(bar((80, 20), (80, 90)), bar((80, 90 + gap), (80, 170 + gap)))
    assert n_things(with_whole_rods(labels, labels > 0, DIAGONAL)) == n


def test_the_bowl_of_a_spoon_belongs_to_its_handle():
    rows, columns = np.mgrid[: SHAPE[0], : SHAPE[1]]
    bowl = np.hypot((rows - 80) / 8, (columns - 120) / 13) < 1
    labels = labelled(bar((80, 20), (80, 104)), bowl)
    assert n_things(with_whole_rods(labels, labels > 0, DIAGONAL)) == 1


def test_rods_side_by_side_or_across_stay_two():
    beside = labelled(bar((60, 40), (60, 150)), bar((80, 40), (80, 150)))
    across = labelled(bar((60, 40), (60, 150)), bar((70, 155), (140, 160)))
    for labels in (beside, across):
        assert n_things(with_whole_rods(labels, labels > 0, DIAGONAL)) == 2


def test_a_plate_is_not_joined_to_a_knife_beside_it():
    rows, columns = np.mgrid[: SHAPE[0], : SHAPE[1]]
    plate = np.hypot(rows - 80, columns - 190) < 40
    labels = labelled(bar((80, 40), (80, 146)), plate)
    assert n_things(with_whole_rods(labels, labels > 0, DIAGONAL)) == 2


def test_round_parts_keep_their_labels():
    rows, columns = np.mgrid[: SHAPE[0], : SHAPE[1]]
    labels = labelled(
        np.hypot(rows - 80, columns - 80) < 25, np.hypot(rows - 80, columns - 128) < 24
    )
    assert np.array_equal(with_whole_rods(labels, labels > 0, DIAGONAL), labels)
