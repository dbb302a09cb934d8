"""Measurements of one picture: one module or package per quantity, arrays in, `Quantity` out."""
