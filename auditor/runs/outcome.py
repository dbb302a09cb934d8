"""The result of one picture: its measurements, or the reason why it was refused."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.previews import Preview


@dataclass(frozen=True, slots=True)
class RefusedPicture:
    """A picture that could not be measured.

    Attributes
    ----------
    file : str
        Path relative to the folder, with ``/``.
    code : str
        A code of `auditor.reasons.RefusalReason`.
    message : str
        What is wrong with this picture and what to do about it.
    """

    file: str
    code: str
    message: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """A measured picture with its preview, or a refused picture without one.

    Attributes
    ----------
    picture : MeasuredPhotograph or RefusedPicture
    preview : Preview or None
    has_default_area : bool
        True if its camera writes the same area into every picture; the area was then not used.
    """

    picture: MeasuredPhotograph | RefusedPicture
    preview: Preview | None
    has_default_area: bool = False
