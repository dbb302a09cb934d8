"""Objects made up for tests: a complete, plausible measured photograph, any field replaceable."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np

from auditor.colorimetry import Swatch, lab_from_hex
from auditor.colour_signature import ColourSignature
from auditor.geometry import Box, Ellipse, Point, Region
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.colour_temperature import ColourTemperature, TemperatureCluster
from auditor.measurements.diagonal import Diagonal, UnseenDiagonals
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.focus import Focus
from auditor.measurements.keypoints import measure_keypoints
from auditor.measurements.light import Light
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.negative_space import Emptiness, NegativeSpace
from auditor.measurements.palette import Echo, EchoPlace, Saturation
from auditor.measurements.roll import Roll
from auditor.measurements.technique_fit import TechniqueFit
from auditor.measurements.tone import Clipping, SubjectTone, Tone
from auditor.photograph.photograph import CameraSettings
from auditor.quantity import Quantity
from auditor.reasons import Reason

FINGERPRINT = fingerprint(np.random.default_rng(5).integers(0, 255, (50, 40, 3), dtype=np.uint8))

KEYPOINTS = measure_keypoints(np.full((50, 40, 3), 128, dtype=np.uint8))


# Covered where the elements of `measured_photograph` lie, on a grid of 4 by 5.
PLACED = ("0000", "0000", "0000", "0900", "0090")


def swatch(colour: str, share: float) -> Swatch:
    """A colour given as ``#rrggbb`` with its share of the frame."""
    return Swatch(colour, lab_from_hex(colour), share)


def region(x: float, y: float, area_fraction: float) -> Region:
    """A square-ish thing around (x, y); its box is cut off at the frame's edges."""
    half = area_fraction**0.5 / 2
    box = Box(max(0.0, x - half), max(0.0, y - half), min(1.0, x + half), min(1.0, y + half))
    return Region(Point(x, y), box, area_fraction)


def colour_temperature(cct_k: float, duv: float = 0.003) -> ColourTemperature:
    """The colour temperature of a picture under one light."""
    cluster = TemperatureCluster(cct_k, duv, 1.0)
    return ColourTemperature(cct_k, duv, 1e6 / cct_k, (cluster,))


IMBALANCES = {
    "left": (-0.4, 0.0),
    "right": (0.4, 0.0),
    "top": (0.0, -0.4),
    "bottom": (0.0, 0.4),
    "around": (0.0, 0.0),
    "none": (0.0, 0.0),
}


def negative_space(fraction: float, side: str, plain: Emptiness | None = None) -> NegativeSpace:
    """An empty area on one side of the frame, clearly or not at all."""
    to_right, to_bottom = IMBALANCES[side]
    box = Box(0.0, 0.0, 0.4, 1.0)
    return NegativeSpace(fraction, box, 0.8 * fraction, side, to_right, to_bottom, plain)


def tone(**changes: Any) -> Tone:
    """The tone of a picture of middle key; any field replaceable."""
    clipping = Clipping((0.001, 0.0, 0.0), (0.0, 0.0, 0.002), ())
    usual = Tone(52.0, 61.0, 0.1, 0.001, 0.002, 24.0, 0.05, "middle", clipping)
    return dataclasses.replace(usual, **changes)


def measured_photograph(**changes: Any) -> MeasuredPhotograph:
    """A 4:5 picture with its subject on the upper right third, seen from 45 degrees.

    Light from 10.5, 6000 K, two supporting elements, a rising diagonal, empty on the left. Every
    field of `MeasuredPhotograph` can be replaced by name.
    """
    centroid = Point(0.66, 0.34)
    rim = Ellipse(centroid, (0.20, 0.141), 0.0)
    usual = MeasuredPhotograph(
        file="day one/kettle.jpg",
        width=1600,
        height=2000,
        sha256="0f" * 32,
        colour_profile="sRGB (assumed)",
        camera=CameraSettings(make="Maker", model="Body", focal_length_mm=85.0),
        creator=None,
        copyright=None,
        subject=Quantity.measured(region(*centroid, 0.2), confidence=0.9, tolerance=0.05),
        subject_source="estimated",
        subject_is_food_on_dish=False,
        elements=(
            Quantity.measured(region(0.32, 0.68, 0.05), confidence=0.8, tolerance=0.05),
            Quantity.measured(region(0.70, 0.80, 0.03), confidence=0.8, tolerance=0.05),
        ),
        placed=PLACED,
        thin_things=(),
        negative_space=Quantity.measured(
            negative_space(0.46, "left"), confidence=0.9, tolerance=0.05
        ),
        diagonal=Quantity.measured(
            Diagonal(42.0, (Point(0.1, 0.8), Point(0.9, 0.2)), 0.6, "arrangement"),
            confidence=0.85,
            tolerance=8.0,
        ),
        unseen_diagonals=UnseenDiagonals(rising=0.1, falling=0.1),
        leading_lines=Quantity.undetermined(Reason.NO_LEADING_LINES),
        technique_fit={
            "rule of thirds": TechniqueFit(0.007, Point(2 / 3, 1 / 3)),
            "golden ratio": TechniqueFit(0.042, Point(0.618, 0.382)),
            "centred": TechniqueFit(0.16, Point(0.5, 0.5)),
            "diagonals": TechniqueFit(0.0, Point(0.66, 0.34)),
            "golden triangles": TechniqueFit(0.09, Point(0.7, 0.25)),
            "golden spiral": TechniqueFit(0.062, Point(0.724, 0.276)),
            "symmetry": TechniqueFit(0.10, Point(0.5, 0.34), fit=0.2, confidence=0.8),
        },
        camera_elevation=Quantity.measured(
            CameraElevation(45.0, (rim,)), confidence=0.9, tolerance=5.0
        ),
        light=Quantity.measured(Light(10.4), confidence=0.8, tolerance=1.0),
        roll=Quantity.measured(Roll(0.3), confidence=0.9, tolerance=1.0),
        colour_temperature=Quantity.measured(
            colour_temperature(6000.0), confidence=0.9, tolerance=10.0
        ),
        colours=ColourSignature.of((), ()),
        palette=(
            swatch("#6f6a63", 0.40),
            swatch("#cfc7b6", 0.30),
            swatch("#e08a1e", 0.20),
            swatch("#2f4a3c", 0.10),
        ),
        subject_palette=(swatch("#e08a1e", 0.15), swatch("#2f4a3c", 0.05)),
        ground_palette=(swatch("#6f6a63", 0.40), swatch("#cfc7b6", 0.30)),
        echo=Echo(
            "#e08a1e",
            lab_from_hex("#e08a1e"),
            0.05,
            (EchoPlace(Point(0.32, 0.68), Box(0.2, 0.6, 0.4, 0.8), 0.05),),
        ),
        saturation=Saturation(24.0, 11.0, 62.0),
        background=Quantity.measured(swatch("#cfc7b6", 0.30), confidence=0.9, tolerance=5.0),
        surface=Quantity.measured(swatch("#6f6a63", 0.40), confidence=0.9, tolerance=5.0),
        tone=tone(),
        subject_tone=SubjectTone(58.0, 9.0, 14.0, 4.5),
        focus=Quantity.measured(
            Focus(0.7, centroid, subject_in_focus=True), confidence=0.9, tolerance=0.1
        ),
        fingerprint=FINGERPRINT,
        keypoints=KEYPOINTS,
    )
    return dataclasses.replace(usual, **changes)
