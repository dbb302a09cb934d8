"""What a plan was understood to say, one line a shot, for the command that checks it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from auditor.safe_text import one_line
from auditor.wording.cells import Cell, NamedPatch
from auditor.wording.plan_sheet import NOT_PLANNED, NOTHING_PLANNED, Fact

_NUMBERED = re.compile(r"^\d+  ")  # as the elements are on the sheet
_BETWEEN_FACTS, _WITHIN_FACT = "; ", ", "


def understood_line(number: int, name: str, facts: Sequence[Fact]) -> str:
    """Write a shot with what is planned for it: ``"1 kettle: subject upper right; light left"``.

    Parameters
    ----------
    number : int
        Of the shot in the plan, from 1.
    name : str
    facts : sequence of Fact
        What the plan leaves open is left out.
    """
    said = [_fact_text(fact) for fact in facts if fact.cell.text != NOT_PLANNED]
    return f"{number} {one_line(name)}: {_BETWEEN_FACTS.join(said) or NOTHING_PLANNED}"


def _fact_text(fact: Fact) -> str:
    title = _NUMBERED.sub("with ", fact.title[:1].lower() + fact.title[1:])
    return one_line(f"{title} {_cell_text(fact.cell)}")


def _cell_text(cell: Cell) -> str:
    patches = _WITHIN_FACT.join(_patch_text(patch) for patch in cell.colours)
    return patches or cell.text.replace(_BETWEEN_FACTS, _WITHIN_FACT)


def _patch_text(patch: NamedPatch) -> str:
    """A colour's words with its code, which shows what they were taken for."""
    return patch.text if patch.hex in patch.text else f"{patch.text} {patch.hex}"
