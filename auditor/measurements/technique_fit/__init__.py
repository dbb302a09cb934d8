"""Technique fit: how well a picture fits each technique of composition."""

from auditor.measurements.technique_fit.divisions import (
    DIVISIONS,
    fit_techniques,
    golden_triangle_points,
)
from auditor.measurements.technique_fit.fit import FITS_FROM, TechniqueFit, near_techniques
from auditor.measurements.technique_fit.measure import (
    MISSING_REASONS,
    fit_triangle,
    measure_technique_fit,
)

__all__ = [
    "DIVISIONS",
    "FITS_FROM",
    "MISSING_REASONS",
    "TechniqueFit",
    "fit_techniques",
    "fit_triangle",
    "golden_triangle_points",
    "measure_technique_fit",
    "near_techniques",
]
