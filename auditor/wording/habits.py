"""What repeats from shoot to shoot, in sentences."""

from __future__ import annotations

from auditor.history.habits import LEAST_SHOOTS, Habit, KeptShare, Trend
from auditor.vocabulary.counts import count
from auditor.wording.numbers import amount, decimal, percent, scaled
from auditor.wording.quantity_names import in_sentence
from auditor.wording.texts import capital, listed

# What is said of a positive and of a negative mean along each axis.
SIDES = {
    "across": ("right", "left"),
    "down": ("lower", "higher"),
    "larger": ("larger", "smaller"),
    "emptier": ("emptier", "fuller"),
    "higher": ("higher", "lower"),
    "front": ("nearer to the front", "nearer to the back"),
    "warmer": ("warmer", "cooler"),
}
# In this unit a difference along each axis is shown.
UNITS = {
    "across": "fraction of diagonal",
    "down": "fraction of diagonal",
    "larger": "fraction of frame",
    "emptier": "fraction of frame",
    "higher": "deg",
    "front": "h",
    "warmer": "mired",
}
_OPENINGS = {
    "subject": "The subject sits on average {} than planned",
    "subject_size": "The subject is on average {} than planned",
    "negative_space": "The frame is on average {} than planned",
    "camera_elevation": "The camera looks on average from {} than planned",
    "light": "The light comes on average from {} than planned",
    "colour_temperature": "The pictures are on average {} than planned",
}
_SMALL_NUMBERS = ("No", "One", "Two", "Three")


def habit_sentence(habit: Habit) -> str:
    """Say what repeats, how sure that is, and how often the plan was met."""
    share = habit.share
    if not habit.trends:
        return less_often_sentence(share)
    sides = listed([_side(trend) for trend in habit.trends])
    intervals = "; ".join(f"95% interval {interval_of_mean(trend)}" for trend in habit.trends)
    opening = _OPENINGS[share.quantity].format(sides)
    over = f"in {count(habit.trends[0].n_shoots, 'shoot')}"
    return f"{opening} ({intervals}, {over}). {met_sentence(share)}"


def less_often_sentence(share: KeptShare) -> str:
    """Say that a quantity is met less often than what else is planned."""
    others = "" if share.others_share is None else f", all else in {percent(share.others_share)}"
    name = capital(in_sentence(share.quantity))
    return (
        f"{name}: met in {share.n_met} of {count(share.n_decided, 'decided item')} "
        f"({percent(share.n_met / share.n_decided)}){others}, in {count(share.n_shoots, 'shoot')}."
    )


def met_sentence(share: KeptShare) -> str:
    """Say how often a quantity was met."""
    return f"Met in {share.n_met} of {count(share.n_decided, 'decided item')}."


def _side(trend: Trend) -> str:
    words = SIDES[trend.axis][0 if trend.mean > 0 else 1]
    by = amount(abs(trend.mean), UNITS[trend.axis])
    match trend.axis:
        case "across":
            return f"{by} further {words}"
        case "front":
            return f"{by} {words}"
        case "larger" | "emptier":
            return f"{words} by {by} of the frame"
    return f"{by} {words}"


def interval_of_mean(trend: Trend) -> str:
    """The interval of a mean towards the side where it lies, its unit once: ``"8 to 14°"``."""
    turn = 1 if trend.mean > 0 else -1
    ends = sorted((turn * trend.interval.least, turn * trend.interval.most))
    (least, digits, suffix), (most, _, _) = (scaled(end, UNITS[trend.axis]) for end in ends)
    return f"{decimal(least, digits)} to {decimal(most, digits)}{suffix}"


def too_few_sentence(n_shoots: int) -> str:
    """Say that nothing is said yet."""
    number = _SMALL_NUMBERS[n_shoots]
    shoots = "shoot with a plan is" if n_shoots == 1 else "shoots with a plan are"
    least = _SMALL_NUMBERS[LEAST_SHOOTS].lower()
    return f"{number} {shoots} remembered. From {least} on this page says what repeats."
