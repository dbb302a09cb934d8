"""Find the pictures of shots without file patterns by what they show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from auditor.comparison.capture_time import seconds_of, time_log_ratios
from auditor.comparison.evidence import compared_places
from auditor.comparison.hints import of_one_kind, together
from auditor.comparison.likelihood import log_ratios
from auditor.comparison.likeness import likeness
from auditor.comparison.matching import Assumed, BetterFit, Matches, files_by_shot, match
from auditor.comparison.soft_assignment import Guess, guesses, probabilities, weights_for
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Plan, Shot

# How often what pictures show and what binds them together (capture times, the same food) are
# weighed, each time with the other's result.
N_ROUNDS = 3
# A picture fits another shot clearly better than its own from this ratio of likelihoods on, if it
# fits that one better than chance by `LEAST_FIT`.
CLEARLY_BETTER = 100.0
LEAST_FIT = 10.0


def match_by_content(
    plan: Plan,
    files: Sequence[str],
    measured: Sequence[MeasuredPhotograph],
    alike: Sequence[Sequence[str]] = (),
) -> Matches:
    """Find the shot of each file: by its patterns, or by what its pictures show.

    Parameters
    ----------
    plan : Plan
    files : sequence of str
        All pictures of the set.
    measured : sequence of MeasuredPhotograph
        Those that could be measured.
    alike : sequence of sequence of str
        Groups of pictures that are nearly the same, so that they are of one shot.
    """
    by_name = match(plan, files)
    if not measured:
        return by_name
    ratios = log_ratios(plan, measured)
    fits_better = _fits_better(plan, by_name, measured, ratios)
    assumed = _assumed(plan, by_name, measured, _shared(ratios, measured, alike))
    shots = {shot.name: shot for shot in plan.shots}
    shot_of = by_name.shot_of | {
        file: shots[one.shot] for file, one in assumed.items() if one.shot is not None
    }
    files_of = files_by_shot(plan, files, shot_of)
    return replace(
        by_name,
        files_of=files_of,
        shot_of={file: shot_of[file] for file in files if file in shot_of},
        unplanned=tuple(file for file in files if file not in shot_of),
        missing=tuple(name for name, own in files_of.items() if not own),
        assumed=assumed,
        fits_better=fits_better,
    )


def is_open(shot: Shot, plan: Plan) -> bool:
    """Whether a shot is matched by what pictures show: it names none and plans something itself."""
    return not shot.files and shot.intent != plan.series


def _shared(
    ratios: NDArray[np.float64],
    measured: Sequence[MeasuredPhotograph],
    alike: Sequence[Sequence[str]],
) -> NDArray[np.float64]:
    """The ratios with those of nearly the same pictures averaged."""
    at = {picture.file: index for index, picture in enumerate(measured)}
    shared = ratios.copy()
    for group in alike:
        columns = [at[file] for file in group if file in at]
        if columns:
            shared[:, columns] = ratios[:, columns].mean(axis=1, keepdims=True)
    return shared


def _assumed(
    plan: Plan,
    by_name: Matches,
    measured: Sequence[MeasuredPhotograph],
    ratios: NDArray[np.float64],
) -> dict[str, Assumed]:
    """What the pictures that no shot names were taken for."""
    names = [shot.name for shot in plan.shots]
    shots = [at for at, shot in enumerate(plan.shots) if is_open(shot, plan)]
    pictures = [at for at, one in enumerate(measured) if one.file not in by_name.shot_of]
    if not shots or not pictures:
        return {}
    open_ones = np.ix_(shots, pictures)
    compared = compared_places(len(measured))
    seconds, alike = seconds_of(measured), likeness(measured, compared)
    chances = np.zeros_like(ratios)
    for at, one in enumerate(measured):
        if one.file in by_name.shot_of:
            chances[names.index(by_name.shot_of[one.file].name), at] = 1.0
    total = ratios[open_ones]
    weights = weights_for(len(shots), len(pictures))
    for _ in range(N_ROUNDS):
        chances[open_ones] = probabilities(total, weights)
        hints = together(time_log_ratios(seconds, chances), of_one_kind(alike, chances, compared))
        total = ratios[open_ones] + hints[open_ones]
    found = guesses(total)
    return {
        measured[at].file: _named(guess, [names[shot] for shot in shots])
        for at, guess in zip(pictures, found, strict=True)
    }


def _named(guess: Guess, names: Sequence[str]) -> Assumed:
    return Assumed(
        shot=None if guess.shot is None else names[guess.shot],
        probability=guess.probability,
        second=None if guess.second is None else names[guess.second],
        second_probability=guess.second_probability,
    )


def _fits_better(
    plan: Plan,
    by_name: Matches,
    measured: Sequence[MeasuredPhotograph],
    ratios: NDArray[np.float64],
) -> Mapping[str, BetterFit]:
    """Pictures that fit a shot clearly better than the one whose patterns they fit."""
    names = [shot.name for shot in plan.shots]
    better = {}
    for at, picture in enumerate(measured):
        shot = by_name.shot_of.get(picture.file)
        if shot is None:
            continue
        own, best = names.index(shot.name), int(ratios[:, at].argmax())
        ahead = float(ratios[best, at] - ratios[own, at])
        if ahead >= np.log(CLEARLY_BETTER) and ratios[best, at] >= np.log(LEAST_FIT):
            better[picture.file] = BetterFit(shot.name, names[best], float(np.exp(ahead)))
    return better
