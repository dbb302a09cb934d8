"""The subject finder: maps of the subject and of the placed things, from a small network."""

from __future__ import annotations

from typing import TYPE_CHECKING

from auditor.numpy_parts import load_when_used

if TYPE_CHECKING:
    from auditor.saliency.finder import SubjectFinder

load_when_used()  # before the network imports SciPy


def default_finder() -> SubjectFinder:
    """The finder that an audit uses: the trained network, loaded when it is first asked for."""
    from auditor.saliency.network import trained_finder

    return trained_finder()
