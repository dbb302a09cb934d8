"""Train the network that judges rows, and write ``row_network.npz``.

    python -m auditor.measurements.additions.training OUT PICTURES... --fonts latin=A.ttf,B.ttf ...

`PICTURES` are photographs without writing. The lines of each script stand in `LINES`.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from auditor.measurements.additions.training.drawn_writing import Script
from auditor.measurements.additions.training.examples import examples

LINES = {
    "latin": (
        "© Anna Berg 2021", "Sunday dinner", "www.somekitchen.org", "Photo: M. Keller", "SAMPLE",
        "Tomato soup with basil", "Recipe no. 12", "Maria Lindqvist Photography", "PROOF",
        "Winter menu", "kitchen & table", "Best served warm",
    ),
    "cyrillic": (
        "Фото: Иван Петров", "Домашний борщ", "Осенний ужин 2021", "ОБРАЗЕЦ",
        "Рецепты на каждый день", "Пример",
    ),
    "chinese": ("家常豆腐", "厨房的味道 2021", "样品图片", "秋天的晚餐", "今日特色菜"),
}  # fmt: skip
N_VARIANTS = 6
N_HIDDEN = 16
SHRINKAGE = 1e-4  # of the squared weights, per example
WEIGHT_OF_OTHERS = 0.35  # rows that are no writing are many more
LIMIT = 4.0  # of a standardised number
N_ITERATIONS = 250

Parts = tuple[NDArray[np.float64], ...]


def main() -> None:
    """Read the pictures, train, write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("pictures", type=Path, nargs="+")
    parser.add_argument("--fonts", nargs="+", required=True, help="SCRIPT=FILE,FILE")
    given = parser.parse_args()
    scripts = {}
    for entry in given.fonts:
        name, _, files = entry.partition("=")
        scripts[name] = Script([Path(file) for file in files.split(",")], LINES[name])
    rows = list(examples(sorted(given.pictures), scripts, N_VARIANTS))
    numbers = np.array([row.features for row in rows])
    truth = np.array([row.is_writing for row in rows], dtype=np.float64)
    centre, scale = numbers.mean(axis=0), numbers.std(axis=0) + 1e-9
    seen = np.clip((numbers - centre) / scale, -LIMIT, LIMIT)
    inner, inner_bias, outer, outer_bias = _fit(seen, truth)
    np.savez(
        given.out,
        centre=centre.astype(np.float32),
        scale=scale.astype(np.float32),
        inner=inner.astype(np.float32),
        inner_bias=inner_bias.astype(np.float32),
        outer=outer.astype(np.float32),
        outer_bias=outer_bias.astype(np.float32),
    )
    sys.stdout.write(f"{len(rows)} rows, {int(truth.sum())} of them writing\n")


def _fit(seen: NDArray[np.float64], truth: NDArray[np.float64]) -> Parts:
    """Weights of one hidden layer, by L-BFGS on the cross entropy."""
    random = np.random.default_rng(0)
    n = seen.shape[1]
    shapes = [(n, N_HIDDEN), (N_HIDDEN,), (N_HIDDEN,), (1,)]
    ends = np.cumsum([int(np.prod(shape)) for shape in shapes])
    weight = np.where(truth == 1, 1.0, WEIGHT_OF_OTHERS)
    shrinkage = SHRINKAGE * truth.size

    def parts(flat: NDArray[np.float64]) -> Parts:
        pieces = np.split(flat, ends[:-1])
        return tuple(piece.reshape(shape) for piece, shape in zip(pieces, shapes, strict=True))

    def loss(flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        inner, inner_bias, outer, outer_bias = parts(flat)
        hidden = np.tanh(seen @ inner + inner_bias)
        odds = hidden @ outer + outer_bias
        wrong = weight * (1 / (1 + np.exp(-np.clip(odds, -40, 40))) - truth)
        back = wrong[:, None] * outer * (1 - hidden**2)
        value = float((weight * (np.logaddexp(0, odds) - truth * odds)).sum())
        value += shrinkage * float((inner**2).sum() + (outer**2).sum())
        slopes = [
            (seen.T @ back + 2 * shrinkage * inner).ravel(),
            back.sum(axis=0),
            hidden.T @ wrong + 2 * shrinkage * outer,
            [wrong.sum()],
        ]
        return value, np.concatenate(slopes)

    start = np.concatenate(
        [
            random.normal(0, n**-0.5, n * N_HIDDEN),
            np.zeros(N_HIDDEN),
            random.normal(0, N_HIDDEN**-0.5, N_HIDDEN),
            [-3.0],
        ]
    )
    best = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": N_ITERATIONS})
    return parts(best.x)


if __name__ == "__main__":
    main()
