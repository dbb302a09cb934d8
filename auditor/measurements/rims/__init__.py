"""Rims of plates, bowls, cups and round boards: ellipses fitted to their edges.

Edges are found at two reduced sizes (`edges`), linked into arcs that bend one way (`arcs`),
arcs of one ellipse are joined (`candidates`), each ellipse is drawn onto its edge at the full
resolution (`refinement`), and those that are no rim of a flat round thing are left out
(`selection`).
"""

from auditor.measurements.rims.finding import Rim, find_rims

__all__ = ["Rim", "find_rims"]
