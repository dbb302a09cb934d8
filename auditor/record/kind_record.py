"""The model of how the pictures belong together in the record."""

from __future__ import annotations

from typing import Literal

from auditor.record.base import Fraction, Record


class KindRecord(Record):
    """How the pictures belong together, and how that is known; the message says so.

    `n_pairs` pairs of pictures were weighed, of which `n_unlike` share neither colours nor a
    surface; `together` is the mean probability that two pictures are of one shoot. `by_plan` says
    that they are a set because they have a plan.
    """

    kind: Literal["set", "portfolio", "single"]
    is_given: bool
    by_plan: bool = False
    n_pairs: int = 0
    n_unlike: int = 0
    n_cameras: int = 0
    n_formats: int = 0
    together: Fraction | None = None
    message: str = ""
