"""What `auditor plan match` says, and what it writes beside a doubtful match."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.comparison.matching import Assumed, Matches
from auditor.findings.plan_findings import LEAST_SURE
from auditor.runs.outcome import RefusedPicture
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.matches import second_guess
from auditor.wording.numbers import certainty, percent


def remark_of(file: str, guess: Assumed) -> str:
    """A comment for a match that should be looked at; empty for one that is sure enough."""
    if guess.probability >= LEAST_SURE:
        return ""
    name = one_line(file.rpartition("/")[2])
    return f"check {name}: {_how_sure(guess)}"


def lines_of(
    matches: Matches, written: Sequence[str], refused: Sequence[RefusedPicture]
) -> Iterator[str]:
    """One line for each picture that was written, with its runner-up, and for what is left."""
    for shot in written:
        for file in matches.files_of[shot]:
            guess = matches.assumed[file]
            doubt = "" if guess.probability >= LEAST_SURE else ": check this one"
            yield f"{shot}: {one_line(file)} ({_how_sure(guess)}){doubt}"
    for file in matches.unplanned:
        yield _left_over(file, matches.assumed.get(file), refused)
    for shot in matches.missing:
        yield f"{shot}: no picture found."


def _left_over(file: str, guess: Assumed | None, refused: Sequence[RefusedPicture]) -> str:
    name = one_line(file)
    for picture in refused:
        if picture.file == file:
            return f"{name}: could not be measured. {picture.message}"
    if guess is None or guess.second is None:
        return f"{name}: no shot names it."
    likeliest = f"“{guess.second}” ({percent(guess.second_probability)})"
    return f"{name}: fits no shot well enough; the likeliest is {likeliest}."


def _how_sure(guess: Assumed) -> str:
    second = second_guess(guess.second, guess.second_probability)
    return f"{certainty(guess.probability)} sure{second and '; '}{second}"


def summary_of(written: Sequence[str]) -> str:
    """Say how many shots have pictures now that had none."""
    if not written:
        return "nothing was written."
    return f"pictures were written into {count(len(written), 'shot')}."
