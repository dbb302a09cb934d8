"""The subject finder: maps of the subject and of the placed things, from a small network."""

from auditor.saliency.finder import SubjectFinder
from auditor.saliency.network import trained_finder


def default_finder() -> SubjectFinder:
    """The finder that an audit uses: the trained network."""
    return trained_finder()
