"""Pictures on the same surface, grouped by its colour."""

import math

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import Swatch
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.series import groups
from auditor.series.groups import (
    MOST_LIGHTNESS_WEIGHT,
    SAME_SURFACE_CIEDE2000,
    _differences,
    group_by_surface,
)
from tests.factories import measured_photograph


def a_set(labs):
    """Pictures 0.jpg, 1.jpg … on surfaces of these colours."""
    return [
        measured_photograph(
            file=f"{number}.jpg",
            surface=Quantity.measured(
                Swatch(f"#{number:06x}", tuple(lab), 0.4), confidence=0.9, tolerance=5.0
            ),
        )
        for number, lab in enumerate(labs)
    ]


def greys(*lightnesses):
    return a_set([(lightness, 0.0, 0.0) for lightness in lightnesses])


def numbers(groups):
    return [tuple(int(file.removesuffix(".jpg")) for file in group.files) for group in groups]


# Near L* = 50 a difference in lightness alone is about as large in CIEDE2000.
@pytest.mark.parametrize(
    ("lightnesses", "expected"),
    [
        ((50, 54, 80), [(0, 1)]),
        ((46, 54), []),
        ((45, 50, 55), [(0, 1, 2)]),  # the middle one is near to both others
        ((55, 45, 50), [(0, 1, 2)]),
        ((40, 45, 50, 54), [(0, 1), (2, 3)]),  # 50 is near to 45, and nearer to 54
        ((50, 80, 51, 81, 82), [(1, 3, 4), (0, 2)]),  # the largest first
        ((50, 50, 50), [(0, 1, 2)]),
    ],
)
def test_pictures_near_to_one_picture_are_a_group(lightnesses, expected):
    assert numbers(group_by_surface(greys(*lightnesses))) == expected


def test_a_group_has_the_colour_of_its_middle():
    (group,) = group_by_surface(greys(55, 45, 50))
    assert group.surface == "#000002"


def test_pictures_without_a_surface_are_in_no_group():
    unknown = measured_photograph(
        file="9.jpg", surface=Quantity.undetermined(Reason.ELEMENTS_FILL_FRAME)
    )
    assert group_by_surface([unknown]) == ()
    assert numbers(group_by_surface([unknown, *greys(50, 51)])) == [(0, 1)]


def tables(rng):
    """Pictures of some tables, each unevenly lit, among them copies of the same picture."""
    centres = np.stack([rng.uniform(20, 95, 8), *rng.normal(5, 10, (2, 8))], axis=-1)
    labs = centres[rng.integers(0, 8, 60)] + rng.normal(0, (3, 1, 1), (60, 3))
    return np.concatenate([labs, labs[:6]])


@pytest.mark.parametrize("seed", range(5))
def test_groups_do_not_depend_on_the_order_of_the_files(seed):
    rng = np.random.default_rng(seed)
    pictures = a_set(tables(rng))
    colour = {picture.surface.value.hex: picture.surface.value.lab for picture in pictures}
    groups = {(frozenset(g.files), colour[g.surface]) for g in group_by_surface(pictures)}
    assert len(groups) > 4
    for _ in range(10):
        order = rng.permutation(len(pictures))
        moved = [pictures[place] for place in order]
        found = group_by_surface(moved)
        assert {(frozenset(group.files), colour[group.surface]) for group in found} == groups
        place = {picture.file: number for number, picture in enumerate(moved)}
        for group in found:
            assert list(group.files) == sorted(group.files, key=place.__getitem__)


@pytest.mark.parametrize("seed", range(5))
def test_each_picture_of_a_group_is_near_to_its_middle(seed):
    pictures = a_set(tables(np.random.default_rng(seed)))
    lab = {picture.file: picture.surface.value.lab for picture in pictures}
    colour = {picture.surface.value.hex: picture.surface.value.lab for picture in pictures}
    for group in group_by_surface(pictures):
        for file in group.files:
            difference = deltaE_ciede2000(np.array(lab[file]), np.array(colour[group.surface]))
            assert difference <= SAME_SURFACE_CIEDE2000


def test_differences_that_are_left_out_are_too_large():
    labs = np.random.default_rng(7).uniform((0, -60, -60), (100, 60, 60), (300, 3))
    labs = labs[np.argsort(labs[:, 0])]
    found = _differences(labs)
    exact = deltaE_ciede2000(labs[:, np.newaxis], labs[np.newaxis])
    is_known = np.isfinite(found)
    assert 0.2 < is_known.mean() < 0.8
    np.testing.assert_allclose(found[is_known], exact[is_known], rtol=1e-5, atol=1e-5)
    assert exact[~is_known].min() > SAME_SURFACE_CIEDE2000
    np.testing.assert_array_equal(found, found.T)


def test_the_weight_of_lightness_in_ciede2000_is_at_most_as_stated():
    # S_L = 1 + 0.015 (L - 50)^2 / sqrt(20 + (L - 50)^2): largest for black and white.
    assert 1 + 0.015 * 50**2 / math.sqrt(20 + 50**2) < MOST_LIGHTNESS_WEIGHT
    white = deltaE_ciede2000(np.array([100.0, 0, 0]), np.array([99.0, 0, 0]))
    assert 1 / MOST_LIGHTNESS_WEIGHT < white < 0.6


def test_of_very_many_colours_those_that_are_nearly_equal_count_as_one(monkeypatch):
    rng = np.random.default_rng(5)
    tables = np.array([[30, 5, 10], [60, 0, 20], [85, 2, 4]])
    pictures = a_set(tables[rng.integers(0, 3, 90)] + rng.normal(0, 0.8, (90, 3)))
    every = group_by_surface(pictures)
    monkeypatch.setattr(groups, "MOST_COLOURS", 12)
    assert {group.files for group in group_by_surface(pictures)} == {g.files for g in every}
