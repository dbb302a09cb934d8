"""What is said of a match by content, and of several pictures of one shot."""

from __future__ import annotations

import json
from typing import Any

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import PicturePlanRecord, RankRecord
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.numbers import percent

LEAST_NAMED = 0.01  # probability from which on a second guess is worth a word (our choice)


def match_messages(picture: MeasuredPictureRecord) -> dict[str, Any]:
    """The parts of a picture's plan that say how it was matched, with their sentences."""
    plan = picture.plan
    if plan is None:
        return {}
    messages: dict[str, Any] = {}
    if plan.assumed is not None:
        message = assumed_sentence(plan, picture.file)
        messages["assumed"] = plan.assumed.model_copy(update={"message": message})
    if plan.rank is not None:
        message = rank_sentence(plan.rank)
        messages["rank"] = plan.rank.model_copy(update={"message": message})
    return messages


def match_sentences(picture: MeasuredPictureRecord) -> tuple[str, ...]:
    """What the page says under the name of the shot."""
    parts = () if picture.plan is None else (picture.plan.assumed, picture.plan.rank)
    return tuple(part.message for part in parts if part is not None and part.message)


def assumed_sentence(plan: PicturePlanRecord, file: str) -> str:
    """Say what a picture was taken for, the second guess, and how to confirm it."""
    if plan.assumed is None:
        raise ValueError("a shot names this picture")
    second, chance = plan.assumed.second, plan.assumed.second_probability
    guess = second_guess(second, chance)
    return (
        f"Taken for “{plan.shot}” by what it shows ({percent(plan.assumed.probability)} sure"
        f"{guess and '; '}{guess}). Add {files_key(file)} to the shot to confirm."
    )


def second_guess(second: str | None, probability: float) -> str:
    """Name the second guess; empty if it is hardly possible."""
    if probability < LEAST_NAMED:
        return ""
    other = "no shot of the plan" if second is None else f"“{second}”"
    return f"second guess: {other}, {percent(probability)}"


def no_shot_sentence(second: str, probability: float, file: str) -> str:
    """Say that a picture fits no shot, and what is the likeliest one."""
    return (
        f"No shot of the plan names this picture, and it fits none well enough; the likeliest is "
        f"“{second}” ({percent(probability)}). If it is, add {files_key(file)} to the shot."
    )


def files_key(file: str) -> str:
    """The line of a plan that names a picture: ``files = ["tea.jpg"]``."""
    return f"files = [{json.dumps(one_line(file), ensure_ascii=False)}]"


def shot_note(plan: PicturePlanRecord) -> str:
    """What stands beside a picture in the list of shots; empty for one of many that is named."""
    notes = []
    if plan.assumed is not None:
        notes.append(f"assumed, {percent(plan.assumed.probability)} sure")
    if plan.rank is not None and plan.rank.place == 1:
        notes.append("keeps it best, with another" if plan.rank.is_shared else "keeps it best")
    return "; ".join(notes)


def rank_sentence(rank: RankRecord) -> str:
    """Say how well a picture keeps the plan beside the others of its shot."""
    of_all = f"of the {count(rank.n_pictures, 'picture')} of this shot"
    best = "best" if rank.place == 1 else f"{_ordinal(rank.place)} best"
    shared = ", another one equally well" if rank.is_shared else ""
    return f"Keeps its plan {best} {of_all}{shared}."


def _ordinal(number: int) -> str:
    """``"second"``, ``"third"``, then ``"4th"`` and so on."""
    words = {2: "second", 3: "third"}
    if number in words:
        return words[number]
    last_two = number % 100
    suffix = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if not 10 < last_two < 20 else "th"
    return f"{number}{suffix}"
