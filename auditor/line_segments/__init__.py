"""Straight edges in a picture: line segments, and the lines through them."""

from auditor.line_segments.finding import find_line_segments
from auditor.line_segments.pooling import PooledLine, pool_segments
from auditor.line_segments.segments import LineSegments, without_rims
from auditor.line_segments.slant import MIN_SLANT_DEG, is_slanted

__all__ = [
    "MIN_SLANT_DEG",
    "LineSegments",
    "PooledLine",
    "find_line_segments",
    "is_slanted",
    "pool_segments",
    "without_rims",
]
