"""What is said of a match by content, and of several pictures of one shot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import PicturePlanRecord, RankRecord
from auditor.safe_text import file_pattern, quoted
from auditor.vocabulary.counts import count
from auditor.wording.numbers import certainty, percent

LEAST_NAMED = 0.01  # probability from which on a second guess is worth a word (our choice)
MOST_IN_A_KEY = 4  # pictures in a line to be copied; beyond, a command writes it (our choice)
MATCH_COMMAND = "auditor plan match"


def match_messages(
    picture: MeasuredPictureRecord, assumed_of: Mapping[str, Sequence[str]]
) -> dict[str, Any]:
    """The parts of a picture's plan that say how it was matched, with their sentences.

    Parameters
    ----------
    picture : MeasuredPictureRecord
    assumed_of : mapping of str to sequence of str
        By the name of a shot, all pictures that were taken for it.
    """
    plan = picture.plan
    if plan is None:
        return {}
    messages: dict[str, Any] = {}
    if plan.assumed is not None:
        message = assumed_sentence(plan, assumed_of[plan.shot])
        messages["assumed"] = plan.assumed.model_copy(update={"message": message})
    if plan.rank is not None:
        message = rank_sentence(plan.rank)
        messages["rank"] = plan.rank.model_copy(update={"message": message})
    return messages


def match_sentences(picture: MeasuredPictureRecord) -> tuple[str, ...]:
    """What the page says under the name of the shot."""
    parts = () if picture.plan is None else (picture.plan.assumed, picture.plan.rank)
    return tuple(part.message for part in parts if part is not None and part.message)


def assumed_sentence(plan: PicturePlanRecord, files: Sequence[str]) -> str:
    """Say what a picture was taken for, the second guess, and how to confirm it.

    Parameters
    ----------
    plan : PicturePlanRecord
    files : sequence of str
        All pictures that were taken for its shot: the shot has one key for them all.
    """
    if plan.assumed is None:
        raise ValueError("a shot names this picture")
    second, chance = plan.assumed.second, plan.assumed.second_probability
    guess = second_guess(second, chance)
    how = (
        f"Add {files_key(files)} to the shot to confirm."
        if len(files) <= MOST_IN_A_KEY
        else f"`{MATCH_COMMAND}` writes all pictures of the shot into the plan."
    )
    return (
        f"Taken for “{plan.shot}” by what it shows ({certainty(plan.assumed.probability)} sure"
        f"{guess and '; '}{guess}). {how}"
    )


def second_guess(second: str | None, probability: float) -> str:
    """Name the second guess; empty if it is hardly possible."""
    if probability < LEAST_NAMED:
        return ""
    other = "no shot of the plan" if second is None else f"“{second}”"
    return f"second guess: {other}, {percent(probability)}"


def no_shot_sentence(second: str, probability: float, files: Sequence[str]) -> str:
    """Say that a picture fits no shot, and what is the likeliest one.

    Parameters
    ----------
    second : str
        The likeliest shot.
    probability : float
    files : sequence of str
        The pictures that were taken for that shot, and this one last.
    """
    how = (
        f"add {files_key(files)} to the shot"
        if len(files) <= MOST_IN_A_KEY
        else f"add {quoted(file_pattern(files[-1]))} to what `{MATCH_COMMAND}` writes into the shot"
    )
    return (
        f"No shot of the plan names this picture, and it fits none well enough; the likeliest is "
        f"“{second}” ({percent(probability)}). If it is, {how}."
    )


def files_key(files: Sequence[str]) -> str:
    """The line of a plan that names the pictures of a shot: ``files = ["tea.jpg"]``."""
    return f"files = [{', '.join(quoted(file_pattern(file)) for file in files)}]"


def shot_note(plan: PicturePlanRecord) -> str:
    """What stands beside a picture in the list of shots; empty for one of many that is named."""
    notes = []
    if plan.assumed is not None:
        notes.append(f"assumed, {certainty(plan.assumed.probability)} sure")
    if plan.rank is not None and plan.rank.place == 1:
        shared = ", together with another one" if plan.rank.is_shared else ""
        notes.append(f"nearest to the plan{shared}")
    return "; ".join(notes)


def rank_sentence(rank: RankRecord) -> str:
    """Say how well a picture keeps the plan beside the others of its shot."""
    nearest = "nearest" if rank.place == 1 else f"{_ordinal(rank.place)} nearest"
    shared = ", together with another one" if rank.is_shared else ""
    of_all = f"Of the {count(rank.n_pictures, 'picture')} of this shot"
    return f"{of_all} the {nearest} to the plan{shared}."


def _ordinal(number: int) -> str:
    """``"second"``, ``"third"``, then ``"4th"`` and so on."""
    words = {2: "second", 3: "third"}
    if number in words:
        return words[number]
    last_two = number % 100
    suffix = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if not 10 < last_two < 20 else "th"
    return f"{number}{suffix}"
