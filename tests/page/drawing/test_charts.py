import math
import time

import numpy as np
import pytest

from auditor.page.drawing.dial_chart import dial_chart
from auditor.page.drawing.dots import swarm
from auditor.page.drawing.strip_chart import MARGIN, WIDTH, strip_chart
from auditor.record.series_records import SeriesQuantityRecord
from tests.records import NAMES, series


def quantity(values, unit="EV", name="exposure", **changes):
    fields = {
        "quantity": name,
        "unit": unit,
        "centre": None,
        "spread": None,
        "values": [(f"{i}.jpg", v) for i, v in enumerate(values)],
        "outliers": [],
    }
    return SeriesQuantityRecord.model_validate({**fields, **changes})


def numbers_for(record):
    return {file: n for n, (file, _) in enumerate(record.values, start=1)}


def test_dots_do_not_hide_each_other():
    positions = [100.0, 101.0, 102.0, 103.0, 150.0]
    offsets = swarm(positions, 4, 60)
    spots = list(zip(positions, offsets, strict=True))
    for i, a in enumerate(spots):
        for b in spots[i + 1 :]:
            assert math.dist(a, b) >= 8
    assert offsets[4] == 0


@pytest.mark.parametrize("one_sided", [False, True])
@pytest.mark.parametrize("radius", [2.5, 3.5, 5.0])
def test_a_dot_lies_as_near_the_axis_as_is_free(radius, one_sided):
    positions = np.random.default_rng(3).uniform(0, 90, 60).tolist()
    offsets = swarm(positions, radius, 40, one_sided=one_sided)
    placed = []
    for index in sorted(range(len(positions)), key=lambda i: positions[i]):
        own = positions[index], offsets[index]
        rows = range(int(40 / (2 * radius)) + 1)
        nearer = [row * 2 * radius for row in rows if row * 2 * radius < abs(own[1])]
        for away in nearer:
            for side in (away,) if one_sided else (away, -away):
                assert any(math.dist((own[0], side), spot) < 2 * radius for spot in placed)
        if own[1]:  # on the axis lie the dots that find no room too
            assert all(math.dist(own, spot) >= 2 * radius for spot in placed)
        placed.append(own)


def test_a_swarm_of_many_takes_little_time():
    positions = np.random.default_rng(3).uniform(0, 300, 20_000).tolist()
    start = time.process_time()
    swarm(positions, 2.5, 40)
    assert time.process_time() - start < 5  # a tenth of a second; comparing all pairs takes minutes


def test_a_swarm_stays_in_its_room():
    assert max(abs(o) for o in swarm([10.0] * 100, 4, 30)) <= 30
    assert min(swarm([10.0] * 10, 2, 40, one_sided=True)) == 0


def test_larger_values_lie_further_right_and_inside():
    record = quantity([-2.0, 0.0, 0.5, 3.0])
    xs = [float(dot.x) for dot in strip_chart(record, numbers_for(record)).dots]
    assert xs == sorted(xs)
    assert len(set(xs)) == 4
    assert xs[0] >= MARGIN
    assert xs[-1] <= WIDTH - MARGIN


def test_equal_distances_stay_equal():
    record = quantity([0.0, 1.0, 2.0])
    a, b, c = (float(dot.x) for dot in strip_chart(record, numbers_for(record)).dots)
    assert b - a == pytest.approx(c - b, abs=0.11)


def test_a_set_without_variety_looks_like_one():
    record = quantity([0.30, 0.31, 0.32])
    xs = [float(dot.x) for dot in strip_chart(record, numbers_for(record)).dots]
    assert xs[-1] - xs[0] < 10


def test_one_value_alone_can_be_drawn():
    record = quantity([0.0], unit="")
    assert len(strip_chart(record, numbers_for(record)).dots) == 1


def test_outliers_carry_their_number_and_clusters_their_temperature():
    made = series(NAMES)
    temperature = made.quantities[0]
    numbers = {file: n for n, file in enumerate(NAMES, start=1)}
    chart = strip_chart(temperature, numbers, made.colour_temperature_clusters)
    assert [dot.number for dot in chart.dots] == ["", "", "", "4"]
    assert [b.text for b in chart.brackets] == ["6600 K × 3", "4750 K × 1"]
    assert chart.ends == ("cooler", "warmer")  # mired grow to the right
    assert chart.centre
    assert chart.band


def test_temperatures_are_marked_in_kelvin_from_cool_to_warm():
    record = quantity([120.0, 260.0], unit="mired", name="colour_temperature")
    ticks = strip_chart(record, numbers_for(record)).ticks
    kelvins = [int(tick.text.removesuffix(" K")) for tick in ticks]
    assert kelvins == sorted(kelvins, reverse=True)
    assert len(kelvins) >= 3
    for tick in ticks:
        assert MARGIN <= float(tick.x) <= WIDTH - MARGIN


def test_light_lies_on_the_dial_where_it_comes_from():
    record = quantity([12.0, 3.0, 6.0, 9.0], unit="h", name="light")
    chart = dial_chart(record, numbers_for(record))
    (top, right, bottom, left) = ((float(d.x), float(d.y)) for d in chart.dots)
    assert top[1] < right[1] < bottom[1]
    assert left[0] < top[0] < right[0]
    assert top[0] == bottom[0]
    assert left[1] == right[1]
    assert chart.centre == ""
