"""Statistics over many pictures: calibration of confidences, and distribution of errors."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.subject import TOLERANCE

MOST_BINS, LEAST_A_BIN = 5, 12
N_TRIALS = 2000  # for the calibration error by chance: its mean is then accurate to 0.001


@dataclass
class Answers:
    """Results for pictures of one kind, in order; NaN twice for a picture without a subject."""

    errors: list[float] = field(default_factory=list)
    confidences: list[float] = field(default_factory=list)

    def add(self, error: float | None, confidence: float | None) -> None:
        """Add one picture; None, None if it has no subject."""
        self.errors.append(np.nan if error is None else error)
        self.confidences.append(np.nan if confidence is None else confidence)

    def rows(self) -> dict[str, str]:
        """Lines of the table, by name."""
        errors, confidences = np.array(self.errors), np.array(self.confidences)
        answered = ~np.isnan(errors)
        errors, confidences = errors[answered], confidences[answered]
        if errors.size == 0:
            return {"pictures": str(answered.size), "no subject reported": str(answered.size)}
        right = errors <= TOLERANCE
        return {
            "pictures": str(answered.size),
            "no subject reported": str(int((~answered).sum())),
            "centroid error, mean": f"{errors.mean():.4f}",
            "centroid error, median": f"{np.median(errors):.4f}",
            "centroid error, 95th percentile": f"{np.quantile(errors, 0.95):.4f}",
            f"within {TOLERANCE}, of those reported": f"{right.mean():.3f}",
            "confidence, mean": f"{confidences.mean():.3f}",
            "calibration error (by chance)": calibration(confidences, right),
        }


def calibration(confidences: NDArray[np.float64], right: NDArray[np.bool_]) -> str:
    """The expected calibration error, and in brackets its expectation by chance."""
    if n_bins(confidences.size) == 0:
        return "too few"
    found = expected_calibration_error(confidences, right)
    return f"{found:.3f} ({calibration_error_by_chance(confidences):.3f})"


def expected_calibration_error(confidences: NDArray[np.float64], right: NDArray[np.bool_]) -> float:
    """Mean difference between confidence and share of right ones, over bins of equal size.

    Pictures are sorted by confidence and divided into at most `MOST_BINS` bins of nearly equal
    size, fewer if a bin would have less than `LEAST_A_BIN`; each bin is weighted by its pictures.
    Pictures without a subject have no confidence and are counted separately.
    """
    order = np.argsort(confidences, kind="stable")
    bins = np.array_split(order, n_bins(confidences.size))
    gaps = [abs(confidences[part].mean() - right[part].mean()) * part.size for part in bins]
    return float(sum(gaps) / confidences.size)


def n_bins(n_pictures: int) -> int:
    """Number of bins for a number of pictures; 0 if there are too few."""
    return min(MOST_BINS, n_pictures // LEAST_A_BIN)


def calibration_error_by_chance(confidences: NDArray[np.float64]) -> float:
    """Mean calibration error of a sample of this size if every confidence were exactly right.

    A result no higher than this is no evidence of miscalibration.
    """
    generator = np.random.default_rng(1)
    trials = generator.random((N_TRIALS, confidences.size)) < confidences
    return float(np.mean([expected_calibration_error(confidences, trial) for trial in trials]))


def markdown(columns: dict[str, dict[str, str]]) -> str:
    """A Markdown table with its rows in order of first appearance."""
    names = list(dict.fromkeys(name for column in columns.values() for name in column))
    lines = ["| | " + " | ".join(columns) + " |", "| --- |" + " --- |" * len(columns)]
    lines += [
        f"| {name} | " + " | ".join(column.get(name, "") for column in columns.values()) + " |"
        for name in names
    ]
    return "\n".join(lines)
