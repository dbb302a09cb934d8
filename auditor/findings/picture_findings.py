"""Findings about pictures by themselves: what was put onto them, and whether they are sharp."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.findings.codes import FindingCode
from auditor.findings.finding import Finding
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.runs.outcome import RefusedPicture

FAULTS = {"missed focus": FindingCode.MISSED_FOCUS, "motion blur": FindingCode.MOTION_BLUR}
"""Causes of softness after which a picture has to be shot again; they are named only if sure."""


def addition_findings(
    pictures: Sequence[MeasuredPhotograph | RefusedPicture], *, is_set: bool = True
) -> Iterator[Finding]:
    """One finding for all pictures with writing, and one where only some of a set have a border.

    A border that the whole set has was meant. Of pictures with and without, the fewer are named.
    """
    measured = [picture for picture in pictures if isinstance(picture, MeasuredPhotograph)]
    written = tuple(picture.file for picture in measured if picture.writing)
    if written:
        yield Finding(FindingCode.WRITING, written, severity=float(len(written)))
    bordered = tuple(picture.file for picture in measured if picture.border is not None)
    plain = tuple(picture.file for picture in measured if picture.border is None)
    if is_set and bordered and plain:
        fewer = min(bordered, plain, key=len)
        yield Finding(
            FindingCode.BORDER,
            fewer,
            severity=float(len(fewer)),
            value=float(len(bordered)),
            expected=0.0 if fewer is bordered else float(len(measured)),
        )


def focus_findings(
    pictures: Sequence[MeasuredPhotograph | RefusedPicture],
) -> Iterator[Finding]:
    """One finding for each picture that missed its focus or has motion blur."""
    for picture in pictures:
        if isinstance(picture, RefusedPicture) or picture.focus.value is None:
            continue
        code = FAULTS.get(picture.focus.value.cause or "")
        if code is not None:
            confidence = picture.focus.value.cause_confidence or 0.0
            yield Finding(code, (picture.file,), severity=confidence)
