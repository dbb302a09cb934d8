"""The columns of the table of measurements, named like the record's fields."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from auditor.measurements.technique_fit import TECHNIQUES
from auditor.record.picture_record import (
    GroundRecord,
    MeasuredImageRecord,
    Record,
    Verdict,
)

Value = str | float | int | bool | None
Column = tuple[str, Callable[[MeasuredImageRecord], Value]]

N_PALETTE_COLUMNS = 5  # a picture's main colours; the record holds them all
VERDICTS: tuple[Verdict, ...] = ("met", "close", "missed", "undecided")


def part(values: Sequence[float] | None, index: int) -> float | None:
    """One number of a position or rectangle that may be absent."""
    return None if values is None else values[index]


def _technique(name: str) -> Column:
    def distance(image: MeasuredImageRecord) -> Value:
        fit = image.technique_fit.get(name)
        return None if fit is None else fit.distance

    return f"technique_{name.replace(' ', '_')}_distance", distance


def _palette(index: int) -> tuple[Column, Column, Column]:
    def colour(image: MeasuredImageRecord) -> Value:
        return image.palette[index].hex if index < len(image.palette) else None

    def share(image: MeasuredImageRecord) -> Value:
        return image.palette[index].share if index < len(image.palette) else None

    def name(image: MeasuredImageRecord) -> Value:
        return image.palette[index].name if index < len(image.palette) else None

    number = f"palette_{index + 1}"
    return (f"{number}_hex", colour), (f"{number}_share", share), (f"{number}_name", name)


def _field(
    of: Callable[[MeasuredImageRecord], Record | None], name: str
) -> Callable[[MeasuredImageRecord], Value]:
    """Reader of one field of a part of the record that may be absent."""

    def read(image: MeasuredImageRecord) -> Value:
        found = of(image)
        return None if found is None else getattr(found, name)

    return read


def _verdicts(verdict: Verdict) -> Column:
    def n(image: MeasuredImageRecord) -> Value:
        if image.plan is None:
            return None
        return sum(item.verdict == verdict for item in image.plan.items)

    return f"plan_n_{verdict}", n


def _ground(name: str, of: Callable[[MeasuredImageRecord], GroundRecord | None]) -> list[Column]:
    def field(field_name: str) -> Callable[[MeasuredImageRecord], Value]:
        def read(image: MeasuredImageRecord) -> Value:
            ground = of(image)
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
    ("width", lambda i: i.width),
    ("height", lambda i: i.height),
    ("sha256", lambda i: i.sha256),
    ("colour_profile", lambda i: i.colour_profile),
    ("creator", lambda i: i.creator),
    ("copyright", lambda i: i.copyright),
    ("camera_make", lambda i: i.camera.make),
    ("camera_model", lambda i: i.camera.model),
    ("camera_lens", lambda i: i.camera.lens),
    ("camera_focal_length_mm", lambda i: i.camera.focal_length_mm),
    ("camera_focal_length_35mm", lambda i: i.camera.focal_length_35mm),
    ("camera_exposure_time_s", lambda i: i.camera.exposure_time_s),
    ("camera_f_number", lambda i: i.camera.f_number),
    ("camera_iso", lambda i: i.camera.iso),
    ("camera_taken", lambda i: i.camera.taken),
    ("camera_has_gps", lambda i: i.camera.has_gps),
    ("subject_x", lambda i: part(i.subject.centroid, 0)),
    ("subject_y", lambda i: part(i.subject.centroid, 1)),
    ("subject_left", lambda i: part(i.subject.bbox, 0)),
    ("subject_top", lambda i: part(i.subject.bbox, 1)),
    ("subject_right", lambda i: part(i.subject.bbox, 2)),
    ("subject_bottom", lambda i: part(i.subject.bbox, 3)),
    ("subject_area_fraction", lambda i: i.subject.area_fraction),
    ("subject_source", lambda i: i.subject.source),
    ("subject_confidence", lambda i: i.subject.confidence),
    ("subject_tolerance", lambda i: i.subject.tolerance),
    ("n_elements", lambda i: len(i.elements)),
    ("elements_area_fraction", lambda i: sum((e.area_fraction for e in i.elements), 0.0)),
    ("negative_space_fraction", lambda i: i.negative_space.fraction),
    ("negative_space_side", lambda i: i.negative_space.side),
    ("negative_space_confidence", lambda i: i.negative_space.confidence),
    ("negative_space_tolerance", lambda i: i.negative_space.tolerance),
    ("diagonal_angle_deg", lambda i: i.diagonal.angle_deg if i.diagonal else None),
    ("diagonal_strength", lambda i: i.diagonal.strength if i.diagonal else None),
    ("diagonal_drawn_by", lambda i: i.diagonal.drawn_by if i.diagonal else None),
    ("diagonal_confidence", lambda i: i.diagonal.confidence if i.diagonal else None),
    ("diagonal_tolerance", lambda i: i.diagonal.tolerance if i.diagonal else None),
    ("leading_lines_kind", lambda i: i.leading_lines.kind if i.leading_lines else None),
    ("leading_lines_distance", lambda i: i.leading_lines.distance if i.leading_lines else None),
    ("leading_lines_strength", lambda i: i.leading_lines.strength if i.leading_lines else None),
    ("leading_lines_confidence", lambda i: i.leading_lines.confidence if i.leading_lines else None),
    ("leading_lines_tolerance", lambda i: i.leading_lines.tolerance if i.leading_lines else None),
    *(_technique(name) for name in TECHNIQUES),
    ("camera_elevation_deg", lambda i: i.camera_elevation.deg),
    ("camera_elevation_n_ellipses", lambda i: len(i.camera_elevation.ellipses)),
    ("camera_elevation_confidence", lambda i: i.camera_elevation.confidence),
    ("camera_elevation_tolerance", lambda i: i.camera_elevation.tolerance),
    ("light_clock", lambda i: i.light.clock),
    ("light_name", lambda i: i.light.name),
    ("light_side", lambda i: i.light.side),
    ("light_confidence", lambda i: i.light.confidence),
    ("light_tolerance", lambda i: i.light.tolerance),
    ("roll_deg", lambda i: i.roll.deg),
    ("roll_confidence", lambda i: i.roll.confidence),
    ("roll_tolerance", lambda i: i.roll.tolerance),
    ("colour_temperature_cct_k", lambda i: i.colour_temperature.cct_k),
    ("colour_temperature_duv", lambda i: i.colour_temperature.duv),
    ("colour_temperature_mired", lambda i: i.colour_temperature.mired),
    ("colour_temperature_n_clusters", lambda i: len(i.colour_temperature.clusters)),
    ("colour_temperature_confidence", lambda i: i.colour_temperature.confidence),
    ("colour_temperature_tolerance", lambda i: i.colour_temperature.tolerance),
    *(
        (f"known_temperature_{name}", _field(lambda i: i.known_temperature, name))
        for name in ("mired", "confidence", "tolerance", "by_set")
    ),
    *(column for index in range(N_PALETTE_COLUMNS) for column in _palette(index)),
    *(
        (f"saturation_{name}", _field(lambda i: i.saturation, name))
        for name in ("mean_chroma", "median_chroma", "high_chroma")
    ),
    *((f"echo_{name}", _field(lambda i: i.echo, name)) for name in ("hex", "name", "share")),
    ("echo_n_places", lambda i: len(i.echo.places) if i.echo else None),
    *_ground("background", lambda i: i.background),
    *_ground("surface", lambda i: i.surface),
    ("tone_mean_lightness", lambda i: i.tone.mean_lightness),
    ("tone_contrast", lambda i: i.tone.contrast),
    ("tone_exposure_ev", lambda i: i.tone.exposure_ev),
    ("tone_clipped_highlights", lambda i: i.tone.clipped_highlights),
    ("tone_clipped_shadows", lambda i: i.tone.clipped_shadows),
    ("tone_midtone_contrast", lambda i: i.tone.midtone_contrast),
    ("tone_midtone_ev", lambda i: i.tone.midtone_ev),
    ("tone_key", lambda i: i.tone.key),
    *(
        (f"subject_{name}", _field(lambda i: i.subject_tone, name))
        for name in ("lightness", "lightness_difference", "colour_difference", "texture")
    ),
    ("focus_subject_sharpness", lambda i: i.focus.subject_sharpness),
    ("focus_sharpest_x", lambda i: part(i.focus.sharpest_at, 0)),
    ("focus_sharpest_y", lambda i: part(i.focus.sharpest_at, 1)),
    ("focus_subject_in_focus", lambda i: i.focus.subject_in_focus),
    ("focus_confidence", lambda i: i.focus.confidence),
    ("focus_cause", lambda i: i.focus.cause),
    ("focus_cause_confidence", lambda i: i.focus.cause_confidence),
    ("plan_shot", lambda i: i.plan.shot if i.plan else None),
    *(_verdicts(verdict) for verdict in VERDICTS),
    ("n_advice", lambda i: len(i.advice)),
)
