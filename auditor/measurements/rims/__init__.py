"""Rims of plates, bowls, cups and round boards: ellipses fitted to their edges.

Edges are found at a reduced size (`channels`, `edges`). Ellipses come from the outlines of placed
things (`outlines`) and from arcs that bend one way (`arcs`), those of one ellipse joined; the ones
that edges bear out best (`candidates`) are drawn onto their edge at twice that size
(`edge_profile`, `refinement`), with what speaks for each (`evidence`), and those that are no rim of
a flat round thing are left out (`selection`, `levelness`).
"""

from auditor.measurements.rims.finding import Rim, find_rims

__all__ = ["Rim", "find_rims"]
