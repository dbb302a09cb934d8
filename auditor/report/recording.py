"""Turn what was measured, planned, gathered and advised into the record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from auditor.advice.advice import Advice
from auditor.colorimetry import Swatch
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.comparison import ComparedItem
from auditor.plan.matching import Matches
from auditor.quantity import Quantity
from auditor.reasons import EXPLANATIONS, Reason
from auditor.report.image_record import (
    MeasuredImageRecord,
    RefusedImageRecord,
)
from auditor.report.record import (
    SCHEMA_VERSION,
    AuditRecord,
)
from auditor.series.series import Series

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
    images = [
        _refused(picture)
        if isinstance(picture, RefusedPicture)
        else _measured(picture, findings.planned.get(picture.file), findings.advice)
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
                "series": asdict(findings.series),
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
    advice: Mapping[str, tuple[Advice, ...]],
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
            **_quantities(picture),
            "plan": None if planned is None else asdict(planned),
            "advice": [asdict(item) for item in advice.get(picture.file, ())],
        }
    )


def _quantities(picture: MeasuredPhotograph) -> dict[str, Any]:
    empty_region = {"centroid": None, "bbox": None, "area_fraction": None}
    empty_temperature: dict[str, Any] = {"cct_k": None, "duv": None, "mired": None, "clusters": []}
    empty_focus = {"subject_sharpness": None, "sharpest_at": None, "subject_in_focus": None}
    estimated: dict[str, Quantity[Any]] = {
        "subject": picture.subject,
        "negative_space": picture.negative_space,
        "diagonal": picture.diagonal,
        "camera_elevation": picture.camera_elevation,
        "light": picture.light,
        "roll": picture.roll,
        "colour_temperature": picture.colour_temperature,
        "background": picture.background,
        "surface": picture.surface,
        "focus": picture.focus,
    }
    return {
        "subject": {
            **_estimate(picture.subject, empty_region),
            "source": picture.subject_source,
        },
        "elements": [_estimate(element, empty_region) for element in picture.elements],
        "negative_space": _negative_space(picture),
        "diagonal": None if picture.diagonal.value is None else _estimate(picture.diagonal, {}),
        "technique_fit": {
            name: {
                **asdict(fit),
                "confidence": picture.subject.confidence,
                "tolerance": picture.subject.tolerance,
            }
            for name, fit in picture.technique_fit.items()
        },
        "camera_elevation": _estimate(picture.camera_elevation, {"deg": None, "ellipses": []}),
        "light": _light(picture),
        "roll": _estimate(picture.roll, {"deg": None}),
        "colour_temperature": _estimate(picture.colour_temperature, empty_temperature),
        "palette": [asdict(swatch) for swatch in picture.palette],
        "background": _ground(picture.background),
        "surface": _ground(picture.surface),
        "tone": asdict(picture.tone),
        "focus": _estimate(picture.focus, empty_focus),
        "reasons": {
            name: _reason(quantity.reason)
            for name, quantity in estimated.items()
            if quantity.reason is not None
        },
    }


def _estimate(quantity: Quantity[Any], empty: Mapping[str, object]) -> dict[str, Any]:
    values = dict(empty) if quantity.value is None else asdict(quantity.value)
    return {**values, **_certainty(quantity)}


def _certainty(quantity: Quantity[Any]) -> dict[str, Any]:
    return {
        "confidence": quantity.confidence,
        "tolerance": quantity.tolerance,
        "reason": None if quantity.reason is None else _reason(quantity.reason),
    }


def _reason(reason: Reason) -> dict[str, str]:
    return {"code": str(reason), "message": EXPLANATIONS[reason]}


def _negative_space(picture: MeasuredPhotograph) -> dict[str, Any]:
    space = picture.negative_space.value
    if space is None:
        values: dict[str, Any] = {"fraction": None, "largest_region": None, "side": None}
    else:
        largest = (
            None
            if space.largest_region_bbox is None
            else {"bbox": space.largest_region_bbox, "fraction": space.largest_region_fraction}
        )
        values = {"fraction": space.fraction, "largest_region": largest, "side": space.side}
    return {**values, **_certainty(picture.negative_space)}


def _light(picture: MeasuredPhotograph) -> dict[str, Any]:
    light = picture.light.value
    values = {
        "clock": None if light is None else light.clock,
        "name": None if light is None else light.name,
        "side": None if light is None else light.side,
    }
    return {**values, **_certainty(picture.light)}


def _ground(ground: Quantity[Swatch]) -> dict[str, Any] | None:
    return None if ground.value is None else _estimate(ground, {})


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
