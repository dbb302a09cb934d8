"""Sentences about what repeats."""

from auditor.history.habits import Habit, KeptShare, Trend
from auditor.history.intervals import Interval
from auditor.wording.habits import habit_sentence, interval_of_mean, too_few_sentence


def trend(quantity, axis, mean, interval, n=5):
    return Trend(quantity, axis, n, mean, Interval(*interval), 0.001)


def share(quantity, **changes):
    fields = {
        "n_shoots": 5,
        "n_met": 14,
        "n_decided": 40,
        "others_share": 0.86,
        "below_others": -0.5,
        "probability": 0.0001,
    }
    return KeptShare(quantity, **{**fields, **changes})


def test_one_side():
    habit = Habit(
        share("camera_elevation"), (trend("camera_elevation", "higher", 11.2, (7.6, 14.4)),)
    )
    assert habit_sentence(habit) == (
        "The camera looks on average from 11° higher than planned (95% interval 8 to 14°, in 5 "
        "shoots). Met in 14 of 40 decided items."
    )


def test_the_other_side_is_written_without_a_minus():
    habit = Habit(
        share("colour_temperature"), (trend("colour_temperature", "warmer", -21.0, (-30.0, -12.0)),)
    )
    assert "21 mired cooler than planned (95% interval 12 to 30 mired" in habit_sentence(habit)


def test_light_is_an_angle_round_the_table():
    habit = Habit(share("light"), (trend("light", "front", 1.5, (1.0, 2.0)),))
    assert "from 45° nearer to the front than planned (95% interval 30 to 60°" in habit_sentence(
        habit
    )


def test_two_sides_of_one_place_are_one_sentence():
    habit = Habit(
        share("subject"),
        (
            trend("subject", "across", -0.07, (-0.09, -0.05)),
            trend("subject", "down", 0.06, (0.05, 0.07)),
        ),
    )
    said = habit_sentence(habit)
    assert said.startswith(
        "The subject sits on average 0.07 of the diagonal further left and 0.06 of the diagonal "
        "lower than planned (95% interval 0.05 to 0.09 of the diagonal; 95% interval"
    )


def test_shares_name_what_they_are_of():
    habit = Habit(
        share("negative_space"), (trend("negative_space", "emptier", -0.12, (-0.16, -0.08)),)
    )
    assert "fuller by 12% of the frame than planned (95% interval 8 to 16%" in habit_sentence(habit)


def test_met_less_often():
    assert habit_sentence(Habit(share("palette"), ())) == (
        "Palette: met in 14 of 40 decided items (35%), all else in 86%, in 5 shoots."
    )


def test_an_interval_across_nothing_keeps_its_minus():
    emptier = trend("negative_space", "emptier", 0.005, (-0.02, 0.03))
    assert interval_of_mean(emptier) == "−2 to 3%"


def test_too_few():
    assert too_few_sentence(0) == (
        "No shoots with a plan are remembered. From three on this page says what repeats."
    )
    assert too_few_sentence(1).startswith("One shoot with a plan is remembered.")
    assert too_few_sentence(2).startswith("Two shoots with a plan are remembered.")
