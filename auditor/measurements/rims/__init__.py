"""Rims of plates, bowls, cups and round boards: ellipses fitted to their edges.

Edges are found at a reduced size (`channels`, `edges`). Ellipses are proposed from the outlines of
placed things (`outlines`) and from arcs that bend one way (`arcs`), alone and in pairs. The ones
that edges support best (`candidates`) are refined to their edge at twice that size
(`edge_profile`, `refinement`) and described by their evidence (`evidence`). Those that are not the
rim of a flat round thing are dropped (`selection`, `levelness`).
"""

from auditor.measurements.rims.finding import find_rims

__all__ = ["find_rims"]
