"""The technically weakest pictures, each with its reason; there is no score.

Only what was measured with confidence counts, and only faults that are seen at a glance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median_low

from auditor.colorimetry import mired_from_kelvin
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.portfolio.dimensions import trusted
from auditor.vocabulary.portfolio_terms import Fault

MOST_NAMED = 5  # more would be a list of everything
LEAST_CONFIDENCE = 0.7  # of a fault that is named (our choice, no source)
# Share of the subject, in clipped regions within its box: less are glints (common practice).
LEAST_CLIPPED = 0.1
WITHIN = 0.9  # share of a clipped region that must lie in the subject's box
LEAST_TILT_CONFIDENCE = 0.8  # a plate that is no circle looks like a tilt
STRONG_TILT_DEG = 2.5  # a level line off by 1 degree is seen; this is seen as an accident
NEUTRAL_MIRED, NEUTRAL_DUV = 153.7, 0.0032  # of D65, CIE 15:2018
STRONG_CAST_MIRED = 50.0  # 6500 K against 4900 K or 9600 K: beyond "warm" and "cool" (our choice)
STRONG_CAST_DUV = 0.015  # nearly three times what CIE 224:2017 (0.0054) calls white
SMALL_PX = 1000  # longer side below which a picture does not fill a screen (common practice)
SMALL_SHARE = 0.6  # of the median of all pictures: small among them, too
MIXED_MIRED, MIXED_SHARE = 60.0, 0.2  # two lights that far apart, the smaller one on that share

FAULT_OF_CAUSE = {"missed focus": Fault.MISSED_FOCUS, "motion blur": Fault.MOTION_BLUR}
GRAVEST_FIRST = {fault: place for place, fault in enumerate(Fault)}


@dataclass(frozen=True, slots=True)
class FoundFault:
    """A fault of a picture.

    Attributes
    ----------
    fault : Fault
    value : float or None
        Clipped: the share of the subject. Small: the longer side in pixels. Mixed light: the
        difference in mired. Cast: the distance from neutral in mired, warm positive, or None if
        the cast lies across the locus. Tilt: degrees, positive if level things rise to the right.
    duv : float or None
        Of a cast across the locus: positive towards green.
    severity : float
        How many times the limit; orders faults of one kind only.
    """

    fault: Fault
    severity: float
    value: float | None = None
    duv: float | None = None


@dataclass(frozen=True, slots=True)
class WeakPicture:
    """A picture and its faults, the gravest first."""

    file: str
    faults: tuple[FoundFault, ...]


def weakest(measured: Sequence[MeasuredPhotograph]) -> tuple[WeakPicture, ...]:
    """At most `MOST_NAMED` pictures, the gravest first."""
    if not measured:
        return ()
    usual_side = median_low(max(picture.width, picture.height) for picture in measured)
    found = []
    for picture in measured:
        faults = sorted(_faults(picture, usual_side), key=_gravity)
        if faults:
            found.append(WeakPicture(picture.file, tuple(faults)))
    found.sort(key=lambda weak: (_gravity(weak.faults[0]), weak.file))
    return tuple(found[:MOST_NAMED])


def _gravity(found: FoundFault) -> tuple[int, float]:
    return GRAVEST_FIRST[found.fault], -found.severity


def _faults(picture: MeasuredPhotograph, usual_side: int) -> Iterator[FoundFault]:
    focus = picture.focus.value
    if focus is not None and (focus.cause_confidence or 0.0) >= LEAST_CONFIDENCE:
        fault = FAULT_OF_CAUSE.get(focus.cause or "")
        if fault is not None:
            yield FoundFault(fault, focus.cause_confidence or 0.0)
    clipped = clipped_share_of_subject(picture)
    if clipped >= LEAST_CLIPPED:
        yield FoundFault(Fault.CLIPPED, clipped / LEAST_CLIPPED, clipped)
    side = max(picture.width, picture.height)
    if side < min(SMALL_PX, SMALL_SHARE * usual_side):
        yield FoundFault(Fault.SMALL, usual_side / side, float(side))
    yield from _colour_faults(picture)
    roll = picture.roll
    is_sure = (roll.confidence or 0.0) >= LEAST_TILT_CONFIDENCE
    if roll.value is not None and is_sure and abs(roll.value.deg) >= STRONG_TILT_DEG:
        yield FoundFault(Fault.TILT, abs(roll.value.deg) / STRONG_TILT_DEG, roll.value.deg)


def _colour_faults(picture: MeasuredPhotograph) -> Iterator[FoundFault]:
    own = picture.colour_temperature
    if own.value is None or (own.confidence or 0.0) < LEAST_CONFIDENCE:
        return
    clusters = own.value.clusters
    if len(clusters) > 1 and clusters[1].share >= MIXED_SHARE:
        first, second = (mired_from_kelvin(one.cct_k) for one in clusters[:2])
        apart = abs(first - second)
        if apart >= MIXED_MIRED:
            yield FoundFault(Fault.MIXED_LIGHT, apart / MIXED_MIRED, apart)
            return  # its main light is no cast of the whole picture
    warmer, duv = own.value.mired - NEUTRAL_MIRED, own.value.duv - NEUTRAL_DUV
    along, across = abs(warmer) / STRONG_CAST_MIRED, abs(duv) / STRONG_CAST_DUV
    if max(along, across) >= 1:
        is_along = along >= across
        yield FoundFault(
            Fault.CAST,
            max(along, across),
            warmer if is_along else None,
            None if is_along else duv,
        )


def clipped_share_of_subject(picture: MeasuredPhotograph) -> float:
    """Share of the subject that clipped highlights cover, by regions within its box; at most 1.

    A colour that is clipped in one channel only is strong, not white without detail: no more is
    counted than is clipped in each channel.
    """
    subject = trusted(picture.subject)
    if subject is None or subject.area_fraction <= 0:
        return 0.0
    clipping = picture.tone.clipping
    covered = sum(
        region.share
        for region in clipping.regions
        if region.kind == "highlights" and _share_within(region.bbox, subject.bbox) >= WITHIN
    )
    return min(1.0, min(covered, *clipping.highlights) / subject.area_fraction)


def _share_within(inner: Box, outer: Box) -> float:
    """Share of one box that lies in another."""
    area = (inner.right - inner.left) * (inner.bottom - inner.top)
    width = min(inner.right, outer.right) - max(inner.left, outer.left)
    height = min(inner.bottom, outer.bottom) - max(inner.top, outer.top)
    return max(0.0, width) * max(0.0, height) / area if area > 0 else 0.0
