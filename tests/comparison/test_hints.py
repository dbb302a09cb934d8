import time

import numpy as np
import pytest

from auditor.comparison.capture_time import seconds_of, time_log_ratios
from auditor.comparison.hints import MOST_RATIO
from auditor.comparison.likeness import likeness
from auditor.photograph.photograph import CameraSettings
from tests.factories import measured_photograph, swatch

MOST = np.log(MOST_RATIO)


def taken(*times):
    return [measured_photograph(camera=CameraSettings(taken=time)) for time in times]


def test_times_are_read_and_what_is_no_time_is_unknown():
    seconds = seconds_of(taken("2025-01-18T09:00:00", None, "soon", "2025-01-18T09:01:30"))
    assert seconds[[0, 3]].tolist() == [0, 90]
    assert np.isnan(seconds[[1, 2]]).all()


def test_seconds_do_not_depend_on_the_summer_time_of_the_machine(monkeypatch):
    # In Berlin the night of 25 October 2026 has 25 hours: 3 o'clock comes twice (IANA tz database).
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    try:
        seconds = seconds_of(taken("2026-10-25T01:30:00", "2026-10-25T03:30:00"))
    finally:
        monkeypatch.undo()
        time.tzset()
    assert seconds.tolist() == [0, 7200]


def test_without_times_there_is_no_hint():
    chances = np.full((2, 3), 0.5)
    assert not time_log_ratios(seconds_of(taken(None, None, None)), chances).any()
    assert not time_log_ratios(np.zeros(3), chances).any()  # all at once


def test_a_picture_taken_beside_one_of_a_shot_is_likelier_of_that_shot():
    # Two shots far apart in time and not in the order of the plan; the third picture was taken
    # right after the first.
    seconds = np.array([0.0, 9000.0, 60.0, 9100.0, 9200.0])
    chances = np.array([[1.0, 0, 0.4, 0, 0], [0, 1.0, 0.4, 1, 1]])
    hints = time_log_ratios(seconds, chances)
    assert hints[0, 2] > 0 > hints[1, 2]


def test_the_order_of_the_plan_counts_only_where_the_set_was_taken_in_it():
    seconds = np.arange(10) * 600.0
    unsure = np.full(10, 0.1)
    in_order, reversed_order = np.eye(10), np.eye(10)[:, ::-1]
    for known, expected in ((in_order, True), (reversed_order, False)):
        chances = np.column_stack([known[:, :9], unsure])
        hints = time_log_ratios(seconds, chances)
        is_last_likelier = bool(hints[9, 9] > hints[0, 9] + 0.5)
        assert is_last_likelier is expected


def test_no_hint_of_times_says_more_than_it_may():
    hints = time_log_ratios(np.arange(30) * 60.0, np.eye(30))
    assert np.abs(hints).max() <= 2 * MOST + 1e-9  # two hints: nearness and order


def test_subjects_of_the_same_colours_are_alike():
    orange, white, green = swatch("#e08a1e", 0.1), swatch("#f0ede6", 0.2), swatch("#2f6a3c", 0.1)
    near = likeness(
        [
            measured_photograph(subject_palette=(orange, white)),
            measured_photograph(subject_palette=(white, orange)),
            measured_photograph(subject_palette=(green,)),
            measured_photograph(subject_palette=()),
        ]
    )
    assert near[0, 1] == pytest.approx(1)
    assert near[0, 2] < 0.01
    assert not near[3].any()
    assert near == pytest.approx(near.T)


def test_without_any_subject_nothing_is_alike():
    assert not likeness([measured_photograph(subject_palette=())] * 2).any()
