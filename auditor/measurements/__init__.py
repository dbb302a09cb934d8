"""Measurements of one picture: one module or package per quantity, arrays in, `Quantity` out."""

from auditor.numpy_parts import load_when_used

load_when_used()  # before the measurements import SciPy
