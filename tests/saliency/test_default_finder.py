"""Requirements on the finder of an audit, whatever its implementation."""

import numpy as np
import pytest
from skimage.data import brick, coffee, gravel

from auditor.measurements.subject import measure_subject
from auditor.saliency import default_finder


def subject(pixels):
    height, width = pixels.shape[:2]
    maps = default_finder().find(pixels).in_frame(width, height)
    return measure_subject(maps.subject, maps.elements).region


def test_cup_of_coffee_is_the_subject_also_when_mirrored():
    straight, mirrored = subject(coffee()), subject(np.ascontiguousarray(coffee()[:, ::-1]))
    assert 0.35 < straight.value.centroid.x < 0.75  # the saucer in scikit-image's picture, by eye
    assert 0.2 < straight.value.centroid.y < 0.8
    assert mirrored.value.centroid.x == pytest.approx(1 - straight.value.centroid.x, abs=0.01)


@pytest.mark.parametrize("texture", [brick, gravel])
def test_wall_and_gravel_have_no_confident_subject(texture):
    found = subject(np.repeat(texture()[..., np.newaxis], 3, axis=2))
    assert found.value is None or found.confidence < 0.5
