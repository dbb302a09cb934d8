"""The light direction from shading, cast shadows and fall-off."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import mirror_is_canonical
from auditor.measurements.light.cues import read_cues
from auditor.measurements.light.dial import Dial, combine_cues
from auditor.measurements.light.direction import Light, clock_mirrored
from auditor.measurements.light.fall_off import FallOff, fall_off_of, slope_of, without_slope
from auditor.measurements.light.scene import lit_scene
from auditor.quantity import Quantity
from auditor.reasons import Reason

CLOCK_SPREAD_HOURS = 0.75  # of a right reading: half the tolerance (95 % are within it)
CLOCK_TOLERANCE_HOURS = 1.5  # half the way from back to side light; half the range of a name
ASSUMED_ELEVATION_DEG = 45.0  # the commonest angle between overhead and level; common practice
ASSUMED_ELEVATION_TRUST = 0.8  # makes the confidence match the accuracy on rendered tables
# Factor of the confidence. Of 37 photographs of dishes by many hands in which a viewer could tell
# the direction, 54 % were within the tolerance of what was seen: kitchens have several lights, and
# the viewer errs, too. Rendered tables are right more often than stated.
PHOTOGRAPH_TRUST = 0.75
# Chosen on the rendered tables of `dial`: of those answered 91 % are right without a gradient, and
# 77 to 87 % with one. Looser limits answer more often, but also flat light under a gradient.
MIN_CONFIDENCE = 0.55
MIN_LOCAL_EVIDENCE = 0.8  # log-likelihood; below it shadows and shading say nothing
CLEAR_LOCAL_EVIDENCE = 1.5  # below it an answer is missing because of flat light, not of a dispute
MIN_LOCAL_SUPPORT = 0.2  # probability of the answer by the local cues alone; by chance it is 0.25
# The same under a strong fall-off, which would decide alone although it may have been laid over.
STRONG_FALL_OFF_EV = 0.7  # per half diagonal; 41 % of the tables have a stronger one
MIN_LOCAL_SUPPORT_STRONG = 0.4
MIN_GROUND_SHARE = 0.04  # of the frame; shadows need ground to fall on


def measure_light(
    pixels: NDArray[np.uint8],
    subject_mask: NDArray[np.bool_],
    element_labels: NDArray[np.int32],
    elevation_deg: float | None,
) -> Quantity[Light]:
    """Estimate the direction of the key light from shading, cast shadows and fall-off.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject_mask : (h, w) bool array
        Covers the frame.
    element_labels : (h, w) int32 array
        Covers the frame; 0 where there is no element.
    elevation_deg : float or None
        Camera elevation, which maps directions in the picture to the table plane. If it is not
        known, 45 is assumed and the confidence is lower.

    Returns
    -------
    Quantity of Light
        Undetermined if there is no thing to be lit or no ground for its shadow, if the light shows
        no side, if only the fall-off over the frame shows one, or if the cues contradict each
        other.
    """
    if not (subject_mask.any() or element_labels.any()):
        return Quantity.undetermined(Reason.NO_SUBJECT)
    elevation = ASSUMED_ELEVATION_DEG if elevation_deg is None else elevation_deg
    mirrored = mirror_is_canonical(pixels)
    scene = lit_scene(pixels, subject_mask, element_labels, elevation, mirrored=mirrored)
    if scene.ground.rows.size < MIN_GROUND_SHARE * scene.labels.size:
        return Quantity.undetermined(Reason.ELEMENTS_FILL_FRAME)
    trust = ASSUMED_ELEVATION_TRUST if elevation_deg is None else 1.0
    slope, fall_off = slope_of(scene), fall_off_of(scene)
    even = scene if slope is None else without_slope(scene, slope)
    dial = combine_cues(read_cues(even), fall_off, elevation, trust)
    confidence = dial.within(CLOCK_TOLERANCE_HOURS)
    reason = _reason_against(dial, fall_off, confidence)
    if reason is not None:
        return Quantity.undetermined(reason)
    clock = clock_mirrored(dial.clock) if mirrored else dial.clock
    return Quantity.measured(
        Light(clock),
        confidence=PHOTOGRAPH_TRUST * confidence,
        tolerance=CLOCK_TOLERANCE_HOURS,
        spread=CLOCK_SPREAD_HOURS,
    )


def _reason_against(dial: Dial, fall_off: FallOff | None, confidence: float) -> Reason | None:
    """Why the combined result is no answer; None if it is one."""
    is_strong = fall_off is not None and fall_off.slope_ev > STRONG_FALL_OFF_EV
    needed = MIN_LOCAL_SUPPORT_STRONG if is_strong else MIN_LOCAL_SUPPORT
    is_supported = (
        dial.local_evidence >= MIN_LOCAL_EVIDENCE
        and dial.local_within(CLOCK_TOLERANCE_HOURS) >= needed
    )
    if is_supported and confidence >= MIN_CONFIDENCE:
        return None
    if is_strong and not is_supported:
        return Reason.ONLY_FALL_OFF
    is_flat = dial.local_evidence < CLEAR_LOCAL_EVIDENCE
    return Reason.FLAT_LIGHT if is_flat else Reason.LIGHT_CUES_DISAGREE
