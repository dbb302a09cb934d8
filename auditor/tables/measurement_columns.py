"""The columns of the table of measurements, in groups in the order of the page."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import VERDICTS, Verdict
from auditor.tables.column import Column, Read, Value, field, part, share
from auditor.vocabulary.techniques import TECHNIQUES

N_PALETTE_COLUMNS = 5  # a picture's main colours; the record holds them all
OF_DIAGONAL = "of the diagonal"


def _sure(name: str, of: Read, allowed: Read, unit: str, decimals: int = 2) -> tuple[Column, ...]:
    """How probable it is that a value is right within an amount, and that amount."""
    return (
        share(f"{name}: probability", of),
        Column(f"{name}: within ({unit})", allowed, decimals),
    )


def _technique(name: str) -> Column:
    def distance(picture: MeasuredPictureRecord) -> Value:
        fit = picture.technique_fit.get(name)
        return None if fit is None else fit.distance

    return Column(f"Distance from {name} ({OF_DIAGONAL})", distance, 3)


def _palette(index: int) -> tuple[Column, ...]:
    def of(picture: MeasuredPictureRecord, name: str) -> Value:
        found = picture.palette[index : index + 1]
        return getattr(found[0], name) if found else None

    number = f"Colour {index + 1}"
    return (
        Column(f"{number}: name", lambda p: of(p, "name")),
        Column(f"{number}: code", lambda p: of(p, "hex")),
        share(f"{number}: share of the frame", lambda p: of(p, "share")),
    )


def _ground(title: str, name: str) -> tuple[Column, ...]:
    def of(one: str) -> Read:
        return field(lambda p: getattr(p, name), one)

    return (
        Column(f"{title}: code", of("hex")),
        share(f"{title}: share of the frame", of("share")),
        *_sure(title, of("confidence"), of("tolerance"), "CIEDE2000", 1),
    )


def _verdicts(verdict: Verdict) -> Column:
    def n(picture: MeasuredPictureRecord) -> Value:
        if picture.plan is None:
            return None
        items = picture.plan.items
        return sum(item.verdict == verdict and not item.on_purpose for item in items)

    return Column(f"Planned items {verdict}", n)


def _on_purpose(picture: MeasuredPictureRecord) -> Value:
    if picture.plan is None:
        return None
    return sum(bool(item.on_purpose) for item in picture.plan.items)


FILE: tuple[Column, ...] = (
    Column("Width (px)", lambda p: p.width),
    Column("Height (px)", lambda p: p.height),
    Column("Colour profile", lambda p: p.colour_profile),
    Column("Creator", lambda p: p.creator),
    Column("Copyright", lambda p: p.copyright),
    Column("Location in the file", lambda p: p.camera.has_gps),
    Column("SHA-256", lambda p: p.sha256),
)

CAMERA: tuple[Column, ...] = (
    Column("Camera make", lambda p: p.camera.make),
    Column("Camera model", lambda p: p.camera.model),
    Column("Lens", lambda p: p.camera.lens),
    Column("Focal length (mm)", lambda p: p.camera.focal_length_mm, 1),
    Column("Focal length, 35 mm film (mm)", lambda p: p.camera.focal_length_35mm, 1),
    Column("Exposure time (s)", lambda p: p.camera.exposure_time_s, 6),
    Column("Aperture (f-number)", lambda p: p.camera.f_number, 1),
    Column("ISO", lambda p: p.camera.iso),
    Column("Taken", lambda p: p.camera.taken),
)

COMPOSITION: tuple[Column, ...] = (
    share("Subject: from the left", lambda p: part(p.subject.centroid, 0)),
    share("Subject: from the top", lambda p: part(p.subject.centroid, 1)),
    share("Subject: left edge", lambda p: part(p.subject.bbox, 0)),
    share("Subject: top edge", lambda p: part(p.subject.bbox, 1)),
    share("Subject: right edge", lambda p: part(p.subject.bbox, 2)),
    share("Subject: bottom edge", lambda p: part(p.subject.bbox, 3)),
    share("Subject: share of the frame", lambda p: p.subject.area_fraction),
    Column("Subject: source", lambda p: p.subject.source),
    *_sure("Subject", lambda p: p.subject.confidence, lambda p: p.subject.tolerance, OF_DIAGONAL),
    Column("Supporting elements", lambda p: len(p.elements)),
    share(
        "Supporting elements: share of the frame",
        lambda p: sum((e.area_fraction for e in p.elements), 0.0),
    ),
    share("Empty space", lambda p: p.negative_space.fraction),
    Column("Empty space: side", lambda p: p.negative_space.side),
    share("Empty space: probability", lambda p: p.negative_space.confidence),
    share("Empty space: within", lambda p: p.negative_space.tolerance),
    Column("Diagonal (°)", field(lambda p: p.diagonal, "angle_deg"), 1),
    Column("Diagonal: strength (0 to 1)", field(lambda p: p.diagonal, "strength")),
    Column("Diagonal: drawn by", field(lambda p: p.diagonal, "drawn_by")),
    *_sure(
        "Diagonal",
        field(lambda p: p.diagonal, "confidence"),
        field(lambda p: p.diagonal, "tolerance"),
        "°",
        1,
    ),
    Column("Leading lines", field(lambda p: p.leading_lines, "kind")),
    Column(
        f"Leading lines: distance from the subject ({OF_DIAGONAL})",
        field(lambda p: p.leading_lines, "distance"),
        3,
    ),
    Column("Leading lines: strength (0 to 1)", field(lambda p: p.leading_lines, "strength")),
    *_sure(
        "Leading lines",
        field(lambda p: p.leading_lines, "confidence"),
        field(lambda p: p.leading_lines, "tolerance"),
        OF_DIAGONAL,
    ),
    Column("Techniques near", lambda p: ", ".join(p.near_techniques) or None),
    *(_technique(name) for name in TECHNIQUES),
    Column("Camera angle (° above the table)", lambda p: p.camera_elevation.deg, 0),
    Column("Camera angle: rims", lambda p: len(p.camera_elevation.ellipses)),
    *_sure(
        "Camera angle",
        lambda p: p.camera_elevation.confidence,
        lambda p: p.camera_elevation.tolerance,
        "°",
        1,
    ),
    Column("Light (clock, camera at 6)", lambda p: p.light.clock),
    Column("Light: name", lambda p: p.light.name),
    Column("Light: side", lambda p: p.light.side),
    *_sure("Light", lambda p: p.light.confidence, lambda p: p.light.tolerance, "hours"),
    Column("Tilt (°, positive anticlockwise)", lambda p: p.roll.deg),
    *_sure("Tilt", lambda p: p.roll.confidence, lambda p: p.roll.tolerance, "°"),
)

COLOUR: tuple[Column, ...] = (
    Column("Colour temperature (K)", lambda p: p.colour_temperature.cct_k, 0),
    Column("Colour temperature (mired)", lambda p: p.colour_temperature.mired, 1),
    Column("Tint (Duv)", lambda p: p.colour_temperature.duv, 4),
    Column("Colour temperature: known by", lambda p: p.colour_temperature.source),
    Column("Colour temperature: lights", lambda p: len(p.colour_temperature.clusters)),
    *_sure(
        "Colour temperature",
        lambda p: p.colour_temperature.confidence,
        lambda p: p.colour_temperature.tolerance,
        "mired",
        1,
    ),
    *(column for index in range(N_PALETTE_COLUMNS) for column in _palette(index)),
    Column("Saturation: mean (C*)", field(lambda p: p.saturation, "mean_chroma"), 1),
    Column("Saturation: median (C*)", field(lambda p: p.saturation, "median_chroma"), 1),
    Column("Saturation: 90th percentile (C*)", field(lambda p: p.saturation, "high_chroma"), 1),
    Column("Echo: name", field(lambda p: p.echo, "name")),
    Column("Echo: code", field(lambda p: p.echo, "hex")),
    share("Echo: share of the frame", field(lambda p: p.echo, "share")),
    Column("Echo: places", lambda p: len(p.echo.places) if p.echo else None),
    *_ground("Background", "background"),
    *_ground("Surface", "surface"),
)

TONE: tuple[Column, ...] = (
    Column("Lightness: mean (L*)", lambda p: p.tone.mean_lightness, 1),
    Column("Contrast (L*)", lambda p: p.tone.contrast, 1),
    Column("Exposure against middle grey (EV)", lambda p: p.tone.exposure_ev),
    share("Clipped highlights", lambda p: p.tone.clipped_highlights),
    share("Clipped shadows", lambda p: p.tone.clipped_shadows),
    Column("Midtones: contrast (L*)", lambda p: p.tone.midtone_contrast, 1),
    Column("Midtones (EV)", lambda p: p.tone.midtone_ev),
    Column("Key", lambda p: p.tone.key),
    Column("Subject: lightness (L*)", field(lambda p: p.subject_tone, "lightness"), 1),
    Column(
        "Subject: lighter than around it (L*)",
        field(lambda p: p.subject_tone, "lightness_difference"),
        1,
    ),
    Column(
        "Subject: colour against what is around it (CIEDE2000)",
        field(lambda p: p.subject_tone, "colour_difference"),
        1,
    ),
    Column("Subject: texture (L*)", field(lambda p: p.subject_tone, "texture"), 1),
    Column("Subject: sharpness (0 to 1)", lambda p: p.focus.subject_sharpness),
    share("Sharpest place: from the left", lambda p: part(p.focus.sharpest_at, 0)),
    share("Sharpest place: from the top", lambda p: part(p.focus.sharpest_at, 1)),
    Column("Subject in focus", lambda p: p.focus.subject_in_focus),
    share("Focus: probability", lambda p: p.focus.confidence),
    Column("Softness: cause", lambda p: p.focus.cause),
    share("Softness: probability", lambda p: p.focus.cause_confidence),
    Column("Border: code", lambda p: p.border.hex if p.border else None),
    Column("Lines of writing", lambda p: len(p.writing)),
)

PLAN: tuple[Column, ...] = (
    Column("Shot", lambda p: p.plan.shot if p.plan else None),
    *(_verdicts(verdict) for verdict in VERDICTS),
    Column("Planned items off on purpose", _on_purpose),
    Column("Mirror image", lambda p: p.plan.mirrored if p.plan else None),
    share(
        "Shot assumed: probability",
        lambda p: p.plan.assumed.probability if p.plan and p.plan.assumed else None,
    ),
    Column(
        "Place among those of its shot",
        lambda p: p.plan.rank.place if p.plan and p.plan.rank else None,
    ),
    Column("Things that would help", lambda p: len(p.advice)),
)

COLUMNS: tuple[Column, ...] = (*PLAN, *COMPOSITION, *COLOUR, *TONE, *CAMERA, *FILE)
