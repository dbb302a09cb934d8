"""Turn what was measured, planned, gathered and advised into the record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from auditor.advice.advice import Advice
from auditor.comparison.compare import ComparedItem
from auditor.comparison.matching import Matches
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.record.audit_record import (
    SCHEMA_VERSION,
    AuditRecord,
)
from auditor.record.measured_fields import recorded_quantities
from auditor.record.picture_record import (
    MeasuredImageRecord,
    RefusedImageRecord,
)
from auditor.series.series import Series
from auditor.series.white_balance.known_temperatures import KnownTemperature

# Below what anything here is measured to; keeps the noise of the last bits out of the record.
SIGNIFICANT_DIGITS = 5


@dataclass(frozen=True, slots=True)
class RefusedPicture:
    """A picture that could not be read: a code of `RefusalReason` and what to do about it."""

    file: str
    code: str
    message: str


@dataclass(frozen=True, slots=True)
class PlannedPicture:
    """A picture beside its shot."""

    shot: str
    items: tuple[ComparedItem, ...]


@dataclass(frozen=True, slots=True)
class Findings:
    """Everything that the record is made of.

    Attributes
    ----------
    auditor_version, created : str
    libraries : mapping of str to str
    folder : str
    plan : str or None
        Its path as given.
    title : str or None
        Of the plan.
    pictures : sequence of MeasuredPhotograph or RefusedPicture
        In the order of the set.
    planned : mapping of str to PlannedPicture
        By file; empty without a plan.
    advice : mapping of str to tuple of Advice
        By file.
    matches : Matches or None
    series : Series
    unreadable_folders : sequence of str
        Sub-folders whose pictures are unknown.
    """

    auditor_version: str
    created: str
    libraries: Mapping[str, str]
    folder: str
    plan: str | None
    title: str | None
    pictures: Sequence[MeasuredPhotograph | RefusedPicture]
    planned: Mapping[str, PlannedPicture]
    advice: Mapping[str, tuple[Advice, ...]]
    matches: Matches | None
    series: Series
    unreadable_folders: Sequence[str]


def make_record(findings: Findings) -> AuditRecord:
    """Make the record of an audit."""
    known = {told.file: told for told in findings.series.colour_temperatures}
    images = [
        _refused(picture)
        if isinstance(picture, RefusedPicture)
        else _measured(
            picture,
            findings.planned.get(picture.file),
            findings.advice.get(picture.file, ()),
            known.get(picture.file),
        )
        for picture in findings.pictures
    ]
    matches = findings.matches
    shots = (
        []
        if matches is None
        else [
            {"name": name, "files": list(files), "missing": not files}
            for name, files in matches.files_of.items()
        ]
    )
    return AuditRecord.model_validate(
        _rounded(
            {
                "schema_version": SCHEMA_VERSION,
                "auditor_version": findings.auditor_version,
                "created": findings.created,
                "libraries": dict(findings.libraries),
                "folder": findings.folder,
                "plan": findings.plan,
                "title": findings.title,
                "images": [image.model_dump() for image in images],
                "shots": shots,
                "series": _series(findings.series),
                "delivery": None,
                "warnings": _warnings(findings),
            }
        )
    )


def _refused(picture: RefusedPicture) -> RefusedImageRecord:
    return RefusedImageRecord.model_validate(
        {
            "file": picture.file,
            "status": "refused",
            "reason": {"code": picture.code, "message": picture.message},
        }
    )


def _measured(
    picture: MeasuredPhotograph,
    planned: PlannedPicture | None,
    advice: tuple[Advice, ...],
    known: KnownTemperature | None,
) -> MeasuredImageRecord:
    return MeasuredImageRecord.model_validate(
        {
            "file": picture.file,
            "status": "measured",
            "reason": None,
            "width": picture.width,
            "height": picture.height,
            "sha256": picture.sha256,
            "colour_profile": picture.colour_profile,
            "creator": picture.creator,
            "copyright": picture.copyright,
            "camera": asdict(picture.camera),
            **recorded_quantities(picture),
            "known_temperature": None if known is None else _without(asdict(known), "file"),
            "plan": None if planned is None else asdict(planned),
            "advice": [asdict(item) for item in advice],
        }
    )


def _series(series: Series) -> dict[str, Any]:
    """What is of the whole set; best known colour temperatures stand with their pictures."""
    return _without(asdict(series), "colour_temperatures")


def _without(fields: dict[str, Any], name: str) -> dict[str, Any]:
    return {other: value for other, value in fields.items() if other != name}


def _warnings(findings: Findings) -> list[dict[str, str]]:
    located = [
        {
            "code": "location",
            "file": picture.file,
            "message": "The file says where it was taken (GPS). Remove the location before handing"
            " it over, unless the client asked for it.",
        }
        for picture in findings.pictures
        if isinstance(picture, MeasuredPhotograph) and picture.camera.has_gps
    ]
    unreadable = [
        {
            "code": "unreadable_folder",
            "file": folder,
            "message": f"The folder “{folder}” could not be read, so no picture in it was measured."
            " Give yourself permission to read it, or check the disk, and run the audit again.",
        }
        for folder in findings.unreadable_folders
    ]
    if findings.matches is None:
        return located + unreadable
    unplanned = [
        {"code": "unplanned", "file": file, "message": "No shot of the plan names this picture."}
        for file in findings.matches.unplanned
    ]
    claimed = [
        {
            "code": "claimed_twice",
            "file": file,
            "message": f"Several shots name this picture: {', '.join(shots)}. It was compared with"
            " the first.",
        }
        for file, shots in findings.matches.claimed_twice.items()
    ]
    return located + unreadable + unplanned + claimed


def _rounded(value: object) -> object:
    """The same structure with every number brought to `SIGNIFICANT_DIGITS`."""
    if isinstance(value, float):
        return float(f"{value:.{SIGNIFICANT_DIGITS}g}")
    if isinstance(value, Mapping):
        return {name: _rounded(item) for name, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_rounded(item) for item in value]
    return value
