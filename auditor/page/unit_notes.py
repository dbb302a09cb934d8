"""Which units a part of the page uses for the first time."""

from __future__ import annotations

import html
import re
from collections.abc import Set

from auditor.wording.units import UNITS, Unit

# Described for those who cannot see a drawing, and shown nowhere else.
_NOT_SHOWN = tuple(re.compile(rf"<{tag}\b[^<]*</{tag}>") for tag in ("title", "desc"))
_TAG = re.compile(r"<[^>]*>")


class UnitNotes:
    """Explains each unit once, in the order in which the page's parts are laid out.

    What is folded away explains its units for itself: an explanation there does not count for what
    is seen.
    """

    def __init__(self) -> None:
        self._shown: set[str] = set()
        self._folded: set[str] = set()

    def shown(self, part: str) -> tuple[Unit, ...]:
        """Units that a part of the page, as HTML, is the first to show."""
        new = _used(part, self._shown)
        self._shown.update(unit.name for unit in new)
        return new

    def folded(self, part: str) -> tuple[Unit, ...]:
        """The same for a part that is folded away until it is opened."""
        new = _used(part, self._shown | self._folded)
        self._folded.update(unit.name for unit in new)
        return new


def _used(part: str, known: Set[str]) -> tuple[Unit, ...]:
    """The units that a part shows, without those that are known."""
    units = [unit for unit in UNITS if unit.name not in known]
    if not units:
        return ()
    for hidden in _NOT_SHOWN:
        part = hidden.sub("", part)
    text = html.unescape(_TAG.sub("", part))
    return tuple(unit for unit in units if unit.pattern.search(text))
