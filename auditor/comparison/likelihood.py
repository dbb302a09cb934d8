"""How likely each picture is one of each shot, by everything that the plan says of the shot."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.comparison.agreement_evidence import (
    background_ratios,
    diagonal_ratios,
    light_from_above_ratios,
    palette_ratios,
    side_ratios,
    surface_ratios,
    technique_ratios,
)
from auditor.comparison.evidence import Ratios
from auditor.comparison.number_evidence import NUMBERS
from auditor.comparison.place_evidence import element_ratios, subject_ratios
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Plan, Tolerances

_Ratios = Callable[[Sequence[Intent], Sequence[MeasuredPhotograph], Tolerances], Ratios]

# Items with the weight of their evidence, chosen as in `evidence`. Those that say in part the same
# as another count less: a technique is the place of the subject, empty space is what subject and
# elements leave, the surface is among the colours of the palette.
EVIDENCE: tuple[tuple[str, _Ratios, float], ...] = (
    ("subject", subject_ratios, 1.0),
    ("supporting", element_ratios, 1.0),
    ("technique", technique_ratios, 0.4),
    ("diagonal", diagonal_ratios, 0.6),
    ("negative_space_side", side_ratios, 0.6),
    ("light_from_above", light_from_above_ratios, 1.0),
    ("palette", palette_ratios, 0.6),
    ("background", background_ratios, 0.8),
    ("surface", surface_ratios, 0.8),
    *(
        (rule.quantity, rule.ratios, {"negative_space": 0.85}.get(rule.quantity, 1.0))
        for rule in NUMBERS
    ),
)


def log_ratios(plan: Plan, pictures: Sequence[MeasuredPhotograph]) -> NDArray[np.float64]:
    """Logarithm of how much likelier each picture is one of a shot than any picture.

    What all shots plan alike says nothing about which of them a picture is, and is left out.

    Parameters
    ----------
    plan : Plan
    pictures : sequence of MeasuredPhotograph

    Returns
    -------
    (S, P) float array
        Above 0 for pictures that fit the shot better than by chance.
    """
    intents = [shot.intent for shot in plan.shots]
    total = np.zeros((len(intents), len(pictures)))
    if not pictures:
        return total
    for _, ratios, weight in EVIDENCE:
        total += weight * np.log(ratios(intents, pictures, plan.tolerances))
    return total
