"""Technique fit: how near a picture comes to each technique of composition."""

from auditor.measurements.technique_fit.divisions import (
    DIVISIONS,
    fit_techniques,
    golden_triangle_points,
)
from auditor.measurements.technique_fit.fit import FITS_FROM, TechniqueFit
from auditor.measurements.technique_fit.fitting import (
    TECHNIQUES,
    UNSEEN,
    fit_triangle,
    measure_technique_fit,
)
from auditor.measurements.technique_fit.golden_spiral import golden_spiral_curve

__all__ = [
    "DIVISIONS",
    "FITS_FROM",
    "TECHNIQUES",
    "UNSEEN",
    "TechniqueFit",
    "fit_techniques",
    "fit_triangle",
    "golden_spiral_curve",
    "golden_triangle_points",
    "measure_technique_fit",
]
