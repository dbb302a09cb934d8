"""The columns of the table of measurements, named like the record's fields."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from auditor.record.base import (
    Record,
)
from auditor.record.colour_records import (
    GroundRecord,
)
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.record.plan_records import VERDICTS, Verdict
from auditor.vocabulary.techniques import TECHNIQUES

Value = str | float | int | bool | None
Column = tuple[str, Callable[[MeasuredPictureRecord], Value]]

N_PALETTE_COLUMNS = 5  # a picture's main colours; the record holds them all


def part(values: Sequence[float] | None, index: int) -> float | None:
    """One number of a position or rectangle that may be absent."""
    return None if values is None else values[index]


def _technique(name: str) -> Column:
    def distance(picture: MeasuredPictureRecord) -> Value:
        fit = picture.technique_fit.get(name)
        return None if fit is None else fit.distance

    return f"technique_{name.replace(' ', '_')}_distance", distance


def _palette(index: int) -> tuple[Column, Column, Column]:
    def colour(picture: MeasuredPictureRecord) -> Value:
        return picture.palette[index].hex if index < len(picture.palette) else None

    def share(picture: MeasuredPictureRecord) -> Value:
        return picture.palette[index].share if index < len(picture.palette) else None

    def name(picture: MeasuredPictureRecord) -> Value:
        return picture.palette[index].name if index < len(picture.palette) else None

    number = f"palette_{index + 1}"
    return (f"{number}_hex", colour), (f"{number}_share", share), (f"{number}_name", name)


def _field(
    of: Callable[[MeasuredPictureRecord], Record | None], name: str
) -> Callable[[MeasuredPictureRecord], Value]:
    """Reader of one field of a part of the record that may be absent."""

    def read(picture: MeasuredPictureRecord) -> Value:
        found = of(picture)
        return None if found is None else getattr(found, name)

    return read


def _verdicts(verdict: Verdict) -> Column:
    def n(picture: MeasuredPictureRecord) -> Value:
        if picture.plan is None:
            return None
        items = picture.plan.items
        return sum(item.verdict == verdict and not item.on_purpose for item in items)

    return f"plan_n_{verdict}", n


def _on_purpose(picture: MeasuredPictureRecord) -> Value:
    if picture.plan is None:
        return None
    return sum(bool(item.on_purpose) for item in picture.plan.items)


def _ground(name: str, of: Callable[[MeasuredPictureRecord], GroundRecord | None]) -> list[Column]:
    def field(field_name: str) -> Callable[[MeasuredPictureRecord], Value]:
        def read(picture: MeasuredPictureRecord) -> Value:
            ground = of(picture)
            if ground is None:
                return None
            fields: dict[str, Value] = {
                "hex": ground.hex,
                "share": ground.share,
                "confidence": ground.confidence,
                "tolerance": ground.tolerance,
            }
            return fields[field_name]

        return read

    return [(f"{name}_{f}", field(f)) for f in ("hex", "share", "confidence", "tolerance")]


COLUMNS: tuple[Column, ...] = (
    ("width", lambda p: p.width),
    ("height", lambda p: p.height),
    ("sha256", lambda p: p.sha256),
    ("colour_profile", lambda p: p.colour_profile),
    ("creator", lambda p: p.creator),
    ("copyright", lambda p: p.copyright),
    ("camera_make", lambda p: p.camera.make),
    ("camera_model", lambda p: p.camera.model),
    ("camera_lens", lambda p: p.camera.lens),
    ("camera_focal_length_mm", lambda p: p.camera.focal_length_mm),
    ("camera_focal_length_35mm", lambda p: p.camera.focal_length_35mm),
    ("camera_exposure_time_s", lambda p: p.camera.exposure_time_s),
    ("camera_f_number", lambda p: p.camera.f_number),
    ("camera_iso", lambda p: p.camera.iso),
    ("camera_taken", lambda p: p.camera.taken),
    ("camera_has_gps", lambda p: p.camera.has_gps),
    ("subject_x", lambda p: part(p.subject.centroid, 0)),
    ("subject_y", lambda p: part(p.subject.centroid, 1)),
    ("subject_left", lambda p: part(p.subject.bbox, 0)),
    ("subject_top", lambda p: part(p.subject.bbox, 1)),
    ("subject_right", lambda p: part(p.subject.bbox, 2)),
    ("subject_bottom", lambda p: part(p.subject.bbox, 3)),
    ("subject_area_fraction", lambda p: p.subject.area_fraction),
    ("subject_source", lambda p: p.subject.source),
    ("subject_confidence", lambda p: p.subject.confidence),
    ("subject_tolerance", lambda p: p.subject.tolerance),
    ("n_elements", lambda p: len(p.elements)),
    ("elements_area_fraction", lambda p: sum((e.area_fraction for e in p.elements), 0.0)),
    ("negative_space_fraction", lambda p: p.negative_space.fraction),
    ("negative_space_side", lambda p: p.negative_space.side),
    ("negative_space_confidence", lambda p: p.negative_space.confidence),
    ("negative_space_tolerance", lambda p: p.negative_space.tolerance),
    ("diagonal_angle_deg", lambda p: p.diagonal.angle_deg if p.diagonal else None),
    ("diagonal_strength", lambda p: p.diagonal.strength if p.diagonal else None),
    ("diagonal_drawn_by", lambda p: p.diagonal.drawn_by if p.diagonal else None),
    ("diagonal_confidence", lambda p: p.diagonal.confidence if p.diagonal else None),
    ("diagonal_tolerance", lambda p: p.diagonal.tolerance if p.diagonal else None),
    ("leading_lines_kind", lambda p: p.leading_lines.kind if p.leading_lines else None),
    ("leading_lines_distance", lambda p: p.leading_lines.distance if p.leading_lines else None),
    ("leading_lines_strength", lambda p: p.leading_lines.strength if p.leading_lines else None),
    ("leading_lines_confidence", lambda p: p.leading_lines.confidence if p.leading_lines else None),
    ("leading_lines_tolerance", lambda p: p.leading_lines.tolerance if p.leading_lines else None),
    *(_technique(name) for name in TECHNIQUES),
    ("techniques_near", lambda p: ", ".join(p.near_techniques) or None),
    ("camera_elevation_deg", lambda p: p.camera_elevation.deg),
    ("camera_elevation_n_ellipses", lambda p: len(p.camera_elevation.ellipses)),
    ("camera_elevation_confidence", lambda p: p.camera_elevation.confidence),
    ("camera_elevation_tolerance", lambda p: p.camera_elevation.tolerance),
    ("light_clock", lambda p: p.light.clock),
    ("light_name", lambda p: p.light.name),
    ("light_side", lambda p: p.light.side),
    ("light_confidence", lambda p: p.light.confidence),
    ("light_tolerance", lambda p: p.light.tolerance),
    ("roll_deg", lambda p: p.roll.deg),
    ("roll_confidence", lambda p: p.roll.confidence),
    ("roll_tolerance", lambda p: p.roll.tolerance),
    ("colour_temperature_cct_k", lambda p: p.colour_temperature.cct_k),
    ("colour_temperature_duv", lambda p: p.colour_temperature.duv),
    ("colour_temperature_mired", lambda p: p.colour_temperature.mired),
    ("colour_temperature_n_clusters", lambda p: len(p.colour_temperature.clusters)),
    ("colour_temperature_confidence", lambda p: p.colour_temperature.confidence),
    ("colour_temperature_tolerance", lambda p: p.colour_temperature.tolerance),
    *(
        (f"known_temperature_{name}", _field(lambda p: p.known_temperature, name))
        for name in ("mired", "confidence", "tolerance", "by_set")
    ),
    *(column for index in range(N_PALETTE_COLUMNS) for column in _palette(index)),
    *(
        (f"saturation_{name}", _field(lambda p: p.saturation, name))
        for name in ("mean_chroma", "median_chroma", "high_chroma")
    ),
    *((f"echo_{name}", _field(lambda p: p.echo, name)) for name in ("hex", "name", "share")),
    ("echo_n_places", lambda p: len(p.echo.places) if p.echo else None),
    *_ground("background", lambda p: p.background),
    *_ground("surface", lambda p: p.surface),
    ("tone_mean_lightness", lambda p: p.tone.mean_lightness),
    ("tone_contrast", lambda p: p.tone.contrast),
    ("tone_exposure_ev", lambda p: p.tone.exposure_ev),
    ("tone_clipped_highlights", lambda p: p.tone.clipped_highlights),
    ("tone_clipped_shadows", lambda p: p.tone.clipped_shadows),
    ("tone_midtone_contrast", lambda p: p.tone.midtone_contrast),
    ("tone_midtone_ev", lambda p: p.tone.midtone_ev),
    ("tone_key", lambda p: p.tone.key),
    *(
        (f"subject_{name}", _field(lambda p: p.subject_tone, name))
        for name in ("lightness", "lightness_difference", "colour_difference", "texture")
    ),
    ("focus_subject_sharpness", lambda p: p.focus.subject_sharpness),
    ("focus_sharpest_x", lambda p: part(p.focus.sharpest_at, 0)),
    ("focus_sharpest_y", lambda p: part(p.focus.sharpest_at, 1)),
    ("focus_subject_in_focus", lambda p: p.focus.subject_in_focus),
    ("focus_confidence", lambda p: p.focus.confidence),
    ("focus_cause", lambda p: p.focus.cause),
    ("focus_cause_confidence", lambda p: p.focus.cause_confidence),
    ("border_hex", lambda p: p.border.hex if p.border else None),
    ("n_writing", lambda p: len(p.writing)),
    ("plan_shot", lambda p: p.plan.shot if p.plan else None),
    *(_verdicts(verdict) for verdict in VERDICTS),
    ("plan_n_on_purpose", _on_purpose),
    ("plan_mirrored", lambda p: p.plan.mirrored if p.plan else None),
    (
        "plan_assumed_probability",
        lambda p: p.plan.assumed.probability if p.plan and p.plan.assumed else None,
    ),
    ("plan_rank", lambda p: p.plan.rank.place if p.plan and p.plan.rank else None),
    ("n_advice", lambda p: len(p.advice)),
)
