"""Scale and offset of one picture in another, from matches of which many are wrong."""

import numpy as np
import pytest

from auditor.series.crops.framing import Frame, Framing, MatchedPlaces, fit_framing


def matches(framing, n_right, n_wrong, seed=0):
    """Matched places: right ones with the errors of keypoints, wrong ones anywhere."""
    rng = np.random.default_rng(seed)
    n = n_right + n_wrong
    x2, y2 = rng.uniform(0, 1, n), rng.uniform(0, 0.75, n)
    size2 = 2.0 ** rng.uniform(-7, -4, n)
    x1 = framing.scale * x2 + framing.x + rng.normal(0, 0.001, n)
    y1 = framing.scale * y2 + framing.y + rng.normal(0, 0.001, n)
    size1 = size2 * framing.scale * 2.0 ** rng.normal(0, 0.07, n)
    wrong = slice(n_right, None)
    x1[wrong], y1[wrong] = rng.uniform(0, 1, n_wrong), rng.uniform(0, 0.75, n_wrong)
    size1[wrong] = 2.0 ** rng.uniform(-7, -4, n_wrong)
    order = rng.permutation(n)
    return (
        MatchedPlaces(x1[order], y1[order], size1[order]),
        MatchedPlaces(x2[order], y2[order], size2[order]),
    )


@pytest.mark.parametrize("framing", [Framing(0.6, 0.2, 0.1), Framing(1.7, -0.3, -0.4)])
@pytest.mark.parametrize("n_wrong", [0, 20, 60])
def test_the_framing_is_found_among_wrong_matches(framing, n_wrong):
    found = fit_framing(*matches(framing, 20, n_wrong), least=3)
    assert found is not None
    assert found.scale == pytest.approx(framing.scale, rel=0.01)
    assert (found.x, found.y) == pytest.approx((framing.x, framing.y), abs=0.005)


def test_matches_anywhere_make_no_framing():
    found = [fit_framing(*matches(Framing(1, 0, 0), 0, 12, seed), least=6) for seed in range(20)]
    assert found == [None] * 20


def test_fewer_than_asked_make_no_framing():
    first, second = matches(Framing(0.6, 0.2, 0.1), 5, 0)
    assert fit_framing(first, second, least=5) is not None
    assert fit_framing(first, second, least=6) is None


def test_matches_in_one_place_fit_any_scale():
    here = MatchedPlaces(np.full(5, 0.3), np.full(5, 0.4), np.full(5, 0.02))
    assert fit_framing(here, here, least=3) is None


def test_what_is_shared_lies_in_both_frames():
    first, second = Frame(1.0, 0.75), Frame(0.8, 1.0)
    framing = Framing(0.5, 0.7, -0.1)
    assert framing.shared(first, second) == pytest.approx((0.7, 0.0, 1.0, 0.4))
    back = framing.inverse().shared(second, first)
    assert back == pytest.approx((0.0, 0.2, 0.6, 1.0))
    assert Framing(0.5, 2.0, 0.0).shared(first, second).area_fraction == 0
