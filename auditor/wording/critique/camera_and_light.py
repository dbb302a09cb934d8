"""From where the camera looks and from where the light comes, in one sentence."""

from __future__ import annotations

from auditor.record.picture_record import (
    CameraElevationRecord,
    LightRecord,
    MeasuredPictureRecord,
)
from auditor.vocabulary.camera_angle import camera_words
from auditor.wording.critique.noun import sure
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import degrees
from auditor.wording.positions import dial_text

SURE_ELEVATION, SURE_FLAT, FLAT_DEG = 0.7, 0.8, 34.0
"""Confidence (within 10 degrees) from which a camera angle is said, and from which one up to the
third is: flat and level views are the ones taken for each other (our choice, no source)."""

SURE_LIGHT = 0.745
"""Confidence (within the tolerance, an hour and a half) from which a direction of light is said.
Between 0.66 and this, shadows and bright sides of the photographs looked at did not bear out every
third one, and confidence hardly rises above it: of most photographs nothing is said."""

# Upper ends in degrees; the words for a finished sentence.
CAMERA_LOOKS = (
    (15.0, "stands about level with the table"),
    (FLAT_DEG, "looks down at a flat angle"),
    (40.0, "looks down at an angle"),
    (50.0, "looks down at an angle, as when one sits at the table"),
    (60.0, "looks down at an angle"),
    (80.0, "looks steeply down"),
    (90.0, "looks straight down"),
)
OVERHEAD_DEG, LEVEL_DEG = 80.0, 15.0


def camera_and_light_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say from where the camera and the light look; what is not sure enough is left out."""
    camera, light = _camera(picture.camera_elevation), _light(picture.light)
    parts = [words for words, _ in (camera, light) if words]
    if not parts:
        return None
    return Statement(sentence_of(_joined(camera[0], light[0])), figures_of([camera[1], light[1]]))


def unknown_camera_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say why the camera angle could not be told; none where it or the light is said."""
    if camera_and_light_statement(picture) is not None:
        return None
    reason = picture.reasons.get("camera_elevation")
    if reason is None or picture.camera_elevation.deg is not None:
        words = "neither the camera angle nor the direction of the light could be told for sure"
        figures = [sure(picture.camera_elevation.confidence), sure(picture.light.confidence)]
        labels = ("camera angle", "light")
        said = [f"{label} {one}" for label, one in zip(labels, figures, strict=True) if one]
        return Statement(sentence_of(words), figures_of(said))
    words = "the camera angle could not be told: no rim and no straight edge was sure enough"
    return Statement(sentence_of(words), reason.code)


def _joined(camera: str, light: str) -> str:
    if not camera or not light:
        return camera or light
    return f"{camera}{';' if ',' in camera else ', and'} {light}"


def _camera(found: CameraElevationRecord) -> tuple[str, str]:
    if found.deg is None:
        return "", ""
    least = SURE_FLAT if found.deg <= FLAT_DEG else SURE_ELEVATION
    if (found.confidence or 0.0) < least:
        return "", ""
    words = next((said for end, said in CAMERA_LOOKS if found.deg <= end), CAMERA_LOOKS[-1][1])
    figures = f"camera {degrees(found.deg)} above the table ({camera_words(found.deg)})"
    return f"the camera {words}", f"{figures}, {sure(found.confidence)}"


def _light(found: LightRecord) -> tuple[str, str]:
    confidence = found.confidence or 0.0
    if found.clock is None or found.name is None or confidence < SURE_LIGHT:
        return "", ""
    words = f"the light comes {light_from(found)}, which {EFFECTS[found.name]}"
    return words, f"light from {dial_text(found.clock)} on the dial, {sure(confidence)}"


EFFECTS = {
    "back light": "shows shine and texture",
    "three-quarter back light": "shows texture and form",
    "side light": "models the form",
    "front light": "leaves few shadows to show the form",
}


HALF_DIAL, SURE_SIDE_HOURS = 6.0, 1.25


def light_from(light: LightRecord) -> str:
    """Say from where a light comes: ``"from behind on the left"``."""
    side = light.side
    from_axis = (light.clock or 0.0) % HALF_DIAL
    if min(from_axis, HALF_DIAL - from_axis) < SURE_SIDE_HOURS:
        side = None  # nearer to the axis of the camera than a reading is sure
    if light.name == "side light":
        return f"from the {side}"
    start = "from the front" if light.name == "front light" else "from behind"
    return start if side is None else f"{start} on the {side}"
