"""Light direction: the clock position of the key light around the subject on the table plane."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import reads_backwards
from auditor.measurements.light.cues import read_cues
from auditor.measurements.light.dial import read_dial
from auditor.measurements.light.direction import Light, clock_mirrored
from auditor.measurements.light.scene import lit_scene
from auditor.quantity import Quantity
from auditor.reasons import Reason

__all__ = ["Light", "measure_light"]

CLOCK_TOLERANCE_HOURS = 1.5  # half of the way from back light to side light; a name's half width
ASSUMED_ELEVATION_DEG = 45.0  # the commonest angle between overhead and level; common practice
GUESSED_ELEVATION_TRUST = 0.8  # with it such rendered tables come out as often as is said
MIN_CONFIDENCE = 0.72  # of 23 rendered tables more doubtful eleven are told wrong
MIN_EVIDENCE = 3.5  # log-likelihood; of 60 drawn patchy grounds without light five still pass
MIN_GROUND_SHARE = 0.04  # of the frame; shadows need a ground to fall on


def measure_light(
    pixels: NDArray[np.uint8],
    subject_mask: NDArray[np.bool_],
    element_labels: NDArray[np.int32],
    elevation_deg: float | None,
) -> Quantity[Light]:
    """Tell the direction of the key light from shading, cast shadows and fall-off.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject_mask, element_labels : (h, w) arrays
        Cover the frame.
    elevation_deg : float or None
        Of the camera, to bring directions in the picture to the table plane; 45 is assumed, with
        less confidence, where it is not known.

    Returns
    -------
    Quantity of Light
        Undetermined where there is no thing to be lit, no ground for its shadow, where the light
        is even and where cues contradict each other.
    """
    if not (subject_mask.any() or element_labels.any()):
        return Quantity.undetermined(Reason.NO_SUBJECT)
    elevation = ASSUMED_ELEVATION_DEG if elevation_deg is None else elevation_deg
    mirrored = reads_backwards(pixels)
    scene = lit_scene(pixels, subject_mask, element_labels, elevation, mirrored=mirrored)
    if scene.ground.rows.size < MIN_GROUND_SHARE * scene.labels.size:
        return Quantity.undetermined(Reason.ELEMENTS_FILL_FRAME)
    trust = GUESSED_ELEVATION_TRUST if elevation_deg is None else 1.0
    dial = read_dial(read_cues(scene), elevation, trust)
    if dial.evidence < MIN_EVIDENCE:
        return Quantity.undetermined(Reason.FLAT_LIGHT)
    confidence = dial.within(CLOCK_TOLERANCE_HOURS)
    if confidence < MIN_CONFIDENCE:
        return Quantity.undetermined(Reason.LIGHT_CUES_DISAGREE)
    clock = clock_mirrored(dial.clock) if mirrored else dial.clock
    return Quantity.measured(Light(clock), confidence=confidence, tolerance=CLOCK_TOLERANCE_HOURS)
