"""Straight edges in a picture: line segments, and the lines on which they lie."""

from auditor.line_segments.finding import find_line_segments
from auditor.line_segments.pooling import PooledLine, pool_segments
from auditor.line_segments.segments import LineSegments, without_rims

__all__ = [
    "LineSegments",
    "PooledLine",
    "find_line_segments",
    "pool_segments",
    "without_rims",
]
