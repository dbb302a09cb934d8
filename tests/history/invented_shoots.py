"""Invented shoots: audits whose pictures are off their plan by chance, and on one side by habit."""

from __future__ import annotations

import math
from functools import cache
from hashlib import sha256

import numpy as np

from auditor.quantities import tolerance_rule
from auditor.record.plan_records import PicturePlanRecord
from tests.records import audit, item, measured

# Standard deviations in tolerances of the quantity: of a picture, and of a shoot as a whole.
WITHIN, BETWEEN = 0.6, 0.25
UNDECIDED = 0.1  # share of the items
# How often a thing without a direction is met, and close.
MET, CLOSE = 0.85, 0.05
WIDTH, HEIGHT = 800, 1000
DIAGONAL = math.hypot(WIDTH, HEIGHT)
WITHOUT_DIRECTION = {
    "technique": ("rule of thirds", "fraction of diagonal"),
    "palette": (["#e08a1e"], "CIEDE2000"),
    "surface": (["#6f6a63"], "CIEDE2000"),
    "supporting": ([0.3, 0.7], "fraction of diagonal"),
    "negative_space_side": ("left", ""),
}
SCALARS = {
    "subject_size": ((0.15, 0.3), "fraction of frame"),
    "camera_elevation": ((30.0, 60.0), "deg"),
    "negative_space": ((0.4, 0.6), "fraction of frame"),
    "colour_temperature": ((150.0, 190.0), "mired"),
}


def verdict(difference, tolerance, rng):
    if rng.random() < UNDECIDED:
        return "undecided"
    size = abs(difference) / tolerance
    return "met" if size <= 1 else "close" if size <= 1.5 else "missed"


def invented_items(rng, offsets, rates):
    """The items of one picture; `offsets` in units of each axis, `rates` by quantity."""
    yield _subject(rng, offsets)
    for quantity, (span, unit) in SCALARS.items():
        tolerance = tolerance_rule(quantity).default
        off = offsets.get(quantity, 0.0) + rng.normal(0, WITHIN) * tolerance
        planned = round(rng.uniform(*span), 3)
        found = verdict(off, tolerance, rng)
        yield item(quantity, planned, planned + off, off, tolerance, unit, found)
    yield _light(rng, offsets)
    for quantity, (planned, unit) in WITHOUT_DIRECTION.items():
        rate = rates.get(quantity, MET)
        way = rng.random()
        found = "met" if way < rate else "close" if way < rate + CLOSE * (1 - rate) else "missed"
        found = "undecided" if rng.random() < UNDECIDED else found
        name = "honey jar" if quantity == "supporting" else None
        yield item(quantity, planned, planned, 0.0, None, unit, found, name)


def _subject(rng, offsets):
    tolerance = tolerance_rule("subject").default
    across, down = (
        offsets.get(("subject", axis), 0.0) + rng.normal(0, WITHIN) * tolerance / math.sqrt(2)
        for axis in ("across", "down")
    )
    planned = [0.4, 0.5]
    found = [0.4 + across * DIAGONAL / WIDTH, 0.5 + down * DIAGONAL / HEIGHT]
    off = math.hypot(across, down)
    said = verdict(off, tolerance, rng)
    return item("subject", planned, found, off, tolerance, "fraction of diagonal", said)


def _light(rng, offsets):
    """Light from either side; an offset to the front goes away from 12."""
    tolerance = tolerance_rule("light").default
    front = offsets.get("light", 0.0) + rng.normal(0, WITHIN) * tolerance
    planned, way = ((2.5, 1), (9.5, -1))[rng.integers(2)]
    found = (planned + way * front) % 12 or 12.0
    said = verdict(front, tolerance, rng)
    return item("light", planned, found, way * front, tolerance, "h", said)


@cache
def _picture():
    return measured("a.jpg", width=WIDTH, height=HEIGHT)


def invented_shoot(
    rng, habits=(), rates=(), *, n_pictures=12, day="2026-03-01", title="Citrus", between=BETWEEN
):
    """The audit of one shoot.

    `habits` are by quantity, of the subject by ("subject", axis), in the unit of the axis; each
    shoot as a whole is off by chance too, by `between` tolerances, or as it says by quantity.
    """
    habits, rates = dict(habits), dict(rates)
    keys = [*SCALARS, "light", ("subject", "across"), ("subject", "down")]
    spread = between if isinstance(between, dict) else dict.fromkeys(keys, between)
    offsets = {
        key: habits.get(key, 0.0)
        + rng.normal(0, spread[key])
        * tolerance_rule(key if isinstance(key, str) else "subject").default
        for key in keys
    }
    images = []
    for place in range(n_pictures):
        plan = PicturePlanRecord(shot="a dish", items=list(invented_items(rng, offsets, rates)))
        name = f"{title}-{day}-{place}.jpg"
        camera = _picture().camera.model_copy(update={"taken": f"{day}T10:30:00"})
        images.append(
            _picture().model_copy(
                update={
                    "file": name,
                    "sha256": sha256(f"{name} {rng.integers(1 << 60)}".encode()).hexdigest(),
                    "plan": plan,
                    "camera": camera,
                }
            )
        )
    return _record().model_copy(
        update={"images": images, "title": title, "created": f"{day}T20:00:00+00:00"}
    )


@cache
def _record():
    return audit(images=[_picture()], refused=False, shots=[])


def rng_of(seed):
    return np.random.default_rng(seed)
