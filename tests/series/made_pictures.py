"""Pictures of one table and of many makers, made up from the factory."""

import dataclasses
import hashlib

import numpy as np

from auditor.colour_signature import ColourSignature
from auditor.colour_signature.signature import SHAPE
from auditor.geometry import Ellipse, Point
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.light import Light
from auditor.quantity import Quantity
from tests.factories import measured_photograph, region, swatch

COLOURS = ("#b3261e", "#2f62a8", "#4f8a43", "#edc428", "#262626", "#f4f2ee", "#6f3f8c", "#e07b1f")
ANGLES = (88.0, 5.0, 45.0, 70.0, 22.0)


def signature(seed):
    """A pattern of colours: equal seeds share it, others have nothing in common."""
    rng = np.random.default_rng(seed)
    bins = sorted(rng.choice(int(np.prod(SHAPE)), 60, replace=False).tolist())
    return ColourSignature.of(bins, rng.integers(5, 100, 60))


def picture(name, *, table=0, angle=45.0, clock=9.0, at=(0.5, 0.5), size=0.3, **changes):
    """A picture of a table; its number decides the colours of the food and around it."""
    ground, food = COLOURS[table % 8], COLOURS[(table + 3) % 8]
    axis = 0.3 * np.sin(np.radians(angle))
    elevation = CameraElevation(angle, (Ellipse(Point(*at), (0.3, float(axis)), 0.0),))
    return measured_photograph(
        file=name,
        sha256=hashlib.sha256(name.encode()).hexdigest(),
        colours=signature(table),
        surface=Quantity.measured(swatch(ground, 0.6), confidence=0.9, tolerance=5.0),
        ground_palette=(swatch(ground, 0.6),),
        subject_palette=(swatch(food, 0.3),),
        camera_elevation=Quantity.measured(elevation, confidence=0.9, tolerance=10.0),
        light=Quantity.measured(Light(clock), confidence=0.9, tolerance=1.0),
        subject=Quantity.measured(region(*at, size), confidence=0.9, tolerance=0.05),
        **changes,
    )


def of_many_makers(n):
    """Pictures that share neither colours, surface, angle nor light; every second is upright."""
    return [
        dataclasses.replace(
            picture(
                f"maker {number}.jpg",
                table=number,
                angle=ANGLES[number % 5],
                clock=1.5 + number % 7 * 1.5,
                size=0.05 + 0.1 * (number % 6),
            ),
            width=1600 if number % 2 else 2400,
            height=2000 if number % 2 else 1600,
        )
        for number in range(n)
    ]


def of_one_table(n):
    """Pictures of one shoot."""
    return [picture(f"shoot {number}.jpg", angle=40.0 + number) for number in range(n)]
