from __future__ import annotations

import itertools

import numpy as np
import pytest

from auditor.comparison.assignment import assign_elements
from auditor.geometry import Point, distance_fraction
from auditor.plan.shot_plan import PlannedThing
from tests.factories import region

FRAME = (1600, 2000)


def planned_at(*points):
    return [
        PlannedThing(str(number), Point(*point) if point else None)
        for number, point in enumerate(points)
    ]


def found_at(*points):
    return [region(x, y, 0.02) for x, y in points]


def test_each_is_assigned_to_its_own_place_in_any_order():
    places = [(0.2, 0.2), (0.8, 0.2), (0.5, 0.9)]
    for order in itertools.permutations(range(3)):
        found = found_at(*(places[index] for index in order))
        given = assign_elements(planned_at(*places), found, *FRAME, reach=0.15)
        assert [order[index] for index in given] == [0, 1, 2]


def test_the_nearest_is_not_taken_from_one_that_needs_it_more():
    # The first planned is nearest to the first found, but so is the second, which has no other.
    given = assign_elements(
        planned_at((0.50, 0.5), (0.40, 0.5)),
        found_at((0.45, 0.5), (0.60, 0.5)),
        *FRAME,
        reach=0.15,
    )
    assert given == (1, 0)


def test_one_that_is_gone_does_not_push_the_others_from_their_places():
    # Shifting all by one costs the same sum of distances as leaving one where it belongs.
    given = assign_elements(
        planned_at((0.1, 0.5), (0.5, 0.5)), found_at((0.9, 0.5), (0.5, 0.5)), *FRAME, reach=0.15
    )
    assert given == (0, 1)


def test_elements_without_a_place_get_the_remaining_ones():
    planned = planned_at(None, (0.8, 0.8), None, None)
    found = found_at((0.1, 0.1), (0.79, 0.8), (0.5, 0.1))
    assert assign_elements(planned, found, *FRAME, reach=0.15) == (0, 1, 2, None)


@pytest.mark.parametrize("planned", [planned_at(), planned_at(None), planned_at((0.5, 0.5))])
def test_nothing_found(planned):
    assert assign_elements(planned, [], *FRAME, reach=0.15) == (None,) * len(planned)


def test_cheapest_of_all_assignments_by_trying_every_one():
    random = np.random.default_rng(7)
    for _ in range(30):
        n_planned, n_found = random.integers(1, 5, 2)
        planned = planned_at(*random.random((n_planned, 2)).tolist())
        found = found_at(*random.random((n_found, 2)).tolist())

        def out_of_place(given, planned=planned, found=found):
            return sum(
                min(distance_fraction(thing.at, found[index].centroid, *FRAME), 0.2)
                for thing, index in zip(planned, given, strict=True)
                if index is not None
            ) + 0.2 * sum(index is None for index in given)

        best = assign_elements(planned, found, *FRAME, reach=0.2)
        slots = [*range(n_found), *[None] * n_planned]
        cheapest = min(out_of_place(each) for each in itertools.permutations(slots, int(n_planned)))
        assert len({index for index in best if index is not None}) == min(n_planned, n_found)
        assert out_of_place(best) == pytest.approx(cheapest, abs=0.01)
