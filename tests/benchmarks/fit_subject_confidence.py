"""Fit the confidence of the subject on validation pictures; run by hand after new weights.

``python tests/benchmarks/fit_subject_confidence.py DATA --tables TABLES [--tables TABLES ...]
--weights WEIGHTS.npz`` prints the constants for `auditor/measurements/subject/measure.py`, their
calibration, and how often a correct subject is dropped. WEIGHTS must come from a network that was
not trained on these pictures. The package's weights, the default, were trained on the validation
photographs, so a fit to them is too optimistic.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import expit

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.geometry import describe_mask, distance_fraction
from auditor.measurements.subject import (
    TOLERANCE,
    confidence_cues,
    subject_silhouette,
)
from auditor.measurements.subject.measure import MIN_CONFIDENCE
from auditor.reasons import Reason
from auditor.saliency.network import NetworkFinder, trained_finder
from auditor.saliency.training.scores import centroid_error_fraction
from tests.benchmarks.check_subject_figures import calibration, markdown
from tests.benchmarks.check_subject_kinds import (
    Known,
    map_at_size,
    tables,
    validation_photographs,
)

RIDGES = (0.003, 0.01, 0.03, 0.1, 0.3)  # on standardised cues, with a total weight of 1
N_PARTS, N_ROUNDS = 6, 5  # of the cross-validation

Floats = NDArray[np.float64]


@dataclass
class Kind:
    """Cues and results from the maps of one kind of picture."""

    finder: NetworkFinder
    cues: list[tuple[float, ...]] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)
    refused: dict[str, int] = field(default_factory=dict)
    refused_though_right: int = 0

    def add(self, known: Known) -> None:
        """Run the finder on one picture."""
        width, height = known.picture.size
        maps = self.finder.find(np.asarray(known.picture)).in_frame(width, height)
        silhouette = subject_silhouette(maps.subject, maps.elements)
        if isinstance(silhouette, Reason):
            self.refused[silhouette] = self.refused.get(silhouette, 0) + 1
            of_map = centroid_error_fraction(map_at_size(maps, known.picture.size), known.mask)
            self.refused_though_right += of_map <= TOLERANCE
            return
        found, truth = describe_mask(silhouette.mask), describe_mask(known.mask)
        if found is None or truth is None:
            raise ValueError("an empty mask")
        error = distance_fraction(found.centroid, truth.centroid, width, height)
        self.cues.append(confidence_cues(maps.subject, silhouette))
        self.right.append(error <= TOLERANCE)


def fitted(cues: list[Floats], right: list[Floats], ridge: float) -> tuple[float, Floats]:
    """Bias and weights of the logistic regression; each kind has the same total weight.

    The ridge applies to standardised cues.
    """
    x, y = np.concatenate(cues), np.concatenate(right)
    weights = np.concatenate([np.full(len(part), 1 / len(part) / len(cues)) for part in cues])
    middle = np.average(x, axis=0, weights=weights)
    spread = np.sqrt(np.average((x - middle) ** 2, axis=0, weights=weights))
    z = np.column_stack([np.ones(len(x)), (x - middle) / spread])

    def cost(b: Floats) -> tuple[float, Floats]:
        score = z @ b
        shrunk = ridge * np.concatenate([[0.0], b[1:]])
        value = (weights * (np.logaddexp(0, score) - y * score)).sum() + shrunk @ b / 2
        return float(value), z.T @ (weights * (expit(score) - y)) + shrunk

    b = minimize(cost, np.zeros(z.shape[1]), jac=True).x
    slopes = b[1:] / spread
    return float(b[0] - slopes @ middle), slopes


def cross_validated(cues: list[Floats], right: list[Floats], ridge: float) -> list[Floats]:
    """Confidence of each picture from fits without it, averaged over rounds."""
    answers = [np.zeros(len(part)) for part in cues]
    for round_ in range(N_ROUNDS):
        generator = np.random.default_rng(round_)
        places = [generator.permutation(len(part)) % N_PARTS for part in cues]
        for part in range(N_PARTS):
            seen = [place != part for place in places]
            bias, slopes = fitted(
                [x[s] for x, s in zip(cues, seen, strict=True)],
                [y[s] for y, s in zip(right, seen, strict=True)],
                ridge,
            )
            for answer, x, s in zip(answers, cues, seen, strict=True):
                answer[~s] += expit(bias + x[~s] @ slopes) / N_ROUNDS
    return answers


def log_loss(answers: list[Floats], right: list[Floats]) -> float:
    """Mean over kinds of the mean log loss, in nats."""
    means = [-np.log(np.where(y > 0, p, 1 - p)).mean() for p, y in zip(answers, right, strict=True)]
    return float(np.mean(means))


def report(kind: Kind, answers: Floats) -> dict[str, str]:
    """One column of the table."""
    right = np.array(kind.right)
    n_right = int(right.sum()) + kind.refused_though_right
    n_unsure = int((right & (answers < MIN_CONFIDENCE)).sum())
    return {
        "pictures": str(len(right) + sum(kind.refused.values())),
        "refused by the shape of the map": ", ".join(f"{k} {n}" for k, n in kind.refused.items()),
        "of these the map was right": str(kind.refused_though_right),
        f"under {MIN_CONFIDENCE} confidence": str(int((answers < MIN_CONFIDENCE).sum())),
        "of these right": str(n_unsure),
        "dropped of all right": f"{(kind.refused_though_right + n_unsure) / n_right:.3f}",
        "right": f"{right.mean():.3f}",
        "confidence, mean": f"{answers.mean():.3f}",
        "calibration error (by chance)": calibration(answers, right),
    }


def finder_with(weights: Path | None) -> NetworkFinder:
    """The finder with the weights of a file, or with those of the package."""
    if weights is None:
        return trained_finder()
    with np.load(weights) as stored:
        return NetworkFinder({name: stored[name].astype(np.float32) for name in stored.files})


def main() -> None:
    """Collect the cues, choose the ridge by cross-validation, fit to all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("data", type=Path, help="folder with salient/")
    parser.add_argument("--tables", type=Path, action="append", default=[], required=True)
    parser.add_argument("--weights", type=Path, help="an .npz exported by the training")
    arguments = parser.parse_args()
    finder = finder_with(arguments.weights)
    photographs, rendered = Kind(finder), Kind(finder)
    for known in validation_photographs(arguments.data):
        photographs.add(known)
    for folder in arguments.tables:
        for known in tables(folder):
            rendered.add(known)
    kinds = [photographs, rendered]
    cues = [np.array(kind.cues) for kind in kinds]
    right = [np.array(kind.right, dtype=float) for kind in kinds]
    losses = {ridge: log_loss(cross_validated(cues, right, ridge), right) for ridge in RIDGES}
    ridge = min(losses, key=losses.__getitem__)
    bias, slopes = fitted(cues, right, ridge)
    answers = cross_validated(cues, right, ridge)
    columns = {
        name: report(kind, part)
        for name, kind, part in zip(("photographs", "tables"), kinds, answers, strict=True)
    }
    say = sys.stdout.write
    say("log loss by ridge: " + ", ".join(f"{r} {loss:.4f}" for r, loss in losses.items()) + "\n")
    say(f"\ncross-validated, ridge {ridge}:\n{markdown(columns)}\n\n")
    say(f"CONFIDENCE_BIAS = {bias:.2f}\n")
    say(f"CONFIDENCE_WEIGHTS = ({', '.join(f'{slope:.2f}' for slope in slopes)})\n")


if __name__ == "__main__":
    main()
