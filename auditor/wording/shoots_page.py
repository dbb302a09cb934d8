"""The words of the page over all shoots."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.history.habits import LEAST_SHOOTS, MOST_SHOOTS, KeptShare, Trend
from auditor.history.intervals import Interval
from auditor.history.shoot import KeptIntent, Shoot
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.habits import SIDES, UNITS, interval_of_mean, met_sentence
from auditor.wording.numbers import amount, percent
from auditor.wording.quantity_names import in_sentence
from auditor.wording.texts import capital, day, listed

SHOOTS_TEXTS: dict[str, str] = {
    "title": "All shoots",
    "skip": "Skip to what repeats",
    "repeats": "What repeats",
    "nothing": "Nothing repeats beyond doubt in these shoots.",
    "intents": "Item by item",
    "shoots": "The shoots",
    "manual": "How to read this",
    "number": "No.",
    "shoot": "Shoot",
    "day": "Day",
    "pictures": "Pictures",
    "met": "Met",
    "share_axis": "share met",
    "key": (
        "One dot a shoot, in the order of their days; the numbers are those of the list below. The "
        "upright line is the 95% interval of the shoot; where it ends in an open arrow it goes on. "
        "In the charts of differences the level line is the plan, the dashed line the mean of the "
        "shoots and the band its 95% interval."
    ),
}
MANUAL: dict[str, str] = {
    "Share met": (
        "Of the planned items with a verdict that says something, those that are met: the others "
        "are close or missed. What is undecided, or off its plan on purpose, is not counted. The "
        "interval is Wilson’s (1927)."
    ),
    "Difference": (
        "Measured minus planned, averaged over a shoot; 0 for what lies within a planned range. "
        "The interval of a shoot is Student’s (1908), over its pictures; that of all shoots takes "
        "each shoot as one, since the pictures of one day are alike; how much shoots vary is "
        "estimated of all quantities together with each one’s own (after Smyth 2004)."
    ),
    "What repeats": (
        "A side is named if the mean of the shoots is half of the tolerance or more, and differs "
        "from the plan beyond doubt; a quantity is named if it is met clearly less often than all "
        "others. Many quantities are looked at, so the demands are strict (Holm 1979): of "
        "histories in which nothing repeats, fewer than 1 in 20 names anything. A measurement may "
        "itself be off to one side; look at some of the pictures before you change how you work."
    ),
    "What is remembered": (
        "Of each shoot its title, day, number of pictures, the counts of verdicts and the mean "
        "differences, and of each picture a fingerprint, to know it again. No picture and no name "
        "of a file. It stays on this machine; “auditor forget” removes it. Of several audits of "
        f"one shoot the latest counts. The latest {MOST_SHOOTS} shoots are drawn."
    ),
}


def subtitle(shoots: Sequence[Shoot]) -> str:
    """How many shoots, from when to when, with how many pictures."""
    if not shoots:
        return "No shoot is remembered yet."
    first, last = day(shoots[0].day), day(shoots[-1].day)
    when = first if first == last else f"{first} to {last}"
    n = sum(shoot.n_pictures for shoot in shoots)
    return f"{count(len(shoots), 'shoot')} · {when} · {count(n, 'picture')}"


def too_rare_sentence(quantities: Sequence[str]) -> str:
    """Say of which quantities nothing is said, because too few shoots planned them."""
    names = listed([in_sentence(one) for one in quantities])
    return f"Decided in fewer than {LEAST_SHOOTS} shoots, so nothing is said of them: {names}."


def not_drawn_sentence(n_left_out: int) -> str:
    """Say that older shoots are left out."""
    are = "is" if n_left_out == 1 else "are"
    return f"{count(n_left_out, 'earlier shoot')} {are} not drawn and not counted."


def kept_summary(share: KeptShare, n_undecided: int) -> str:
    """How often a quantity was met over the shoots."""
    undecided = f" {n_undecided} undecided." if n_undecided else ""
    return f"{met_sentence(share)}{undecided}"


def trend_summary(trend: Trend) -> str:
    """The mean of one axis over the shoots, with its interval."""
    words = SIDES[trend.axis][0 if trend.mean > 0 else 1]
    by = amount(abs(trend.mean), UNITS[trend.axis])
    return f"Mean: {by} {words} ({interval_of_mean(trend)})"


def share_description(title: str, shoots: Sequence[tuple[int, KeptIntent, Interval]]) -> str:
    """The chart of shares, for those who cannot see it."""
    parts = [
        f"shoot {number}: {intent.met} of {intent.n_decided} ({percent(least)} to {percent(most)})"
        for number, intent, (least, most) in shoots
    ]
    return f"{title}, share met by shoot. {capital('; '.join(parts))}."


def trend_description(
    title: str, axis: str, shoots: Sequence[tuple[int, float, Interval | None]]
) -> str:
    """The chart of differences, for those who cannot see it."""
    unit = UNITS[axis]
    parts = [f"shoot {number}: {_signed(mean, axis, unit)}" for number, mean, _ in shoots]
    return f"{title}, {side_title(axis)}, mean difference by shoot. {capital('; '.join(parts))}."


def dot_title(number: int, shoot: Shoot, said: str) -> str:
    """What a dot says when it is pointed at."""
    return f"{number}: {one_line(shoot.title)}, {said}"


def share_text(intent: KeptIntent) -> str:
    """How often a quantity was met in one shoot."""
    return f"{intent.met} of {intent.n_decided} met"


def difference_text(axis: str, mean: float) -> str:
    """How far off one shoot was."""
    return _signed(mean, axis, UNITS[axis])


def side_title(axis: str) -> str:
    """Both sides of an axis: ``"higher or lower"``."""
    return " or ".join(SIDES[axis])


def _signed(mean: float, axis: str, unit: str) -> str:
    if not mean:
        return "as planned"
    return f"{amount(abs(mean), unit)} {SIDES[axis][0 if mean > 0 else 1]}"


def shoot_day(shoot: Shoot) -> str:
    """The day of a shoot, and whether it is that of the audit."""
    return day(shoot.day) if shoot.is_day_taken else f"{day(shoot.day)} (audited)"


def met_of_shoot(shoot: Shoot) -> str:
    """How many of its decided items were met."""
    n_decided = sum(one.n_decided for one in shoot.intents)
    if not shoot.intents:
        return "without a plan"
    return f"{sum(one.met for one in shoot.intents)} of {count(n_decided, 'decided item')}"


def made_by(version: str) -> str:
    """Say which version made the page."""
    return f"Made by auditor {version}."


def said_of_writing(n_shoots: int, n_habits: int) -> str:
    """Say in a line what the page has."""
    shoots = f"{count(n_shoots, 'shoot')} with a plan"
    if n_shoots < LEAST_SHOOTS:
        return f"{shoots}: nothing is said from fewer than {LEAST_SHOOTS}."
    return f"{shoots}: {count(n_habits, 'thing')} {'repeats' if n_habits == 1 else 'repeat'}."
