"""What was forgotten, in a sentence."""

from __future__ import annotations

from auditor.history.forgetting import Forgotten
from auditor.vocabulary.counts import count

KILO = 1000


def forgotten_sentence(forgotten: Forgotten) -> str:
    """Say what was removed and how much: ``"Removed: 5 remembered shoots (41 kB)."``."""
    if not forgotten.is_there:
        return f"Nothing to remove: no {forgotten.what} are remembered."
    size = _size(forgotten.n_bytes)
    if forgotten.n is None:
        return f"Removed: the remembered {forgotten.what}, which could not be read ({size})."
    if forgotten.what == "shoots":
        return f"Removed: {count(forgotten.n, 'remembered shoot')} ({size})."
    return f"Removed: the remembered measurements of {count(forgotten.n, 'picture')} ({size})."


def _size(n_bytes: int) -> str:
    if n_bytes < KILO:
        return f"{n_bytes} bytes"
    kilobytes = n_bytes / KILO
    return f"{kilobytes:.0f} kB" if kilobytes < KILO else f"{kilobytes / KILO:.1f} MB"
