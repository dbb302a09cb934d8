"""The main job on the demo series, held against the truth that its renderer wrote."""

from __future__ import annotations

import json

import pytest

from auditor.geometry import Point, distance_fraction
from tests.conftest import ROOT

DEMO = ROOT / "fixtures" / "teahouse"
TRUTH = json.loads((DEMO / "truth.json").read_text(encoding="utf-8"))

# What each planted fault shows itself in. A darker or warmer picture has other colours, a subject
# off its place fits its technique no longer: consequences of the same fault, not further ones.
COLOURS = {"palette", "surface", "background"}
SHOWN_IN = {
    "no picture of the shot": {"missing"},
    "subject off its place": {"subject", "technique"},
    "near-duplicate": {"duplicate"},
    "position in EXIF": {"location"},
    "under-exposed": {"series: exposure"},
    "too warm": {"colour_temperature", "series: colour_temperature"},
    "camera too high": {"camera_elevation"},
    "light from the other side": {"light", "series: light"},
}
CONSEQUENCES = {
    "under-exposed": COLOURS | {"series: contrast"},
    "too warm": COLOURS,
}


def images(record):
    return {image["file"]: image for image in record["images"]}


def named(record):
    """Everything that the audit calls a fault: (file or shot, quantity)."""
    found = {(shot["name"], "missing") for shot in record["shots"] if shot["missing"]}
    found |= {(warning["file"], warning["code"]) for warning in record["warnings"]}
    found |= {(second, "duplicate") for _, second in record["series"]["duplicates"]}
    for file, image in images(record).items():
        found |= {
            (file, item["quantity"])
            for item in image["plan"]["items"]
            if item["verdict"] == "missed"
        }
    for quantity in record["series"]["quantities"]:
        found |= {
            (outlier["file"], f"series: {quantity['quantity']}") for outlier in quantity["outliers"]
        }
    return found


def place(fault):
    return fault["file"] or fault["shot"]


def test_every_planted_fault_is_named(record):
    found = named(record)
    silent = [
        fault["fault"]
        for fault in TRUTH["faults"]
        if not any((place(fault), quantity) in found for quantity in SHOWN_IN[fault["fault"]])
    ]
    assert len(TRUTH["faults"]) == 8
    assert silent == []


def test_hardly_anything_else_is_named(record):
    planted = {
        (place(fault), quantity)
        for fault in TRUTH["faults"]
        for quantity in SHOWN_IN[fault["fault"]] | CONSEQUENCES.get(fault["fault"], set())
    }
    assert len(named(record) - planted) <= 2, named(record) - planted


def test_subjects_are_where_they_were_rendered(record):
    close = [
        file
        for file, image in images(record).items()
        if image["subject"]["centroid"] is not None
        and distance_fraction(
            Point(*image["subject"]["centroid"]),
            Point(*TRUTH["images"][file]["subject"]["centroid"]),
            image["width"],
            image["height"],
        )
        <= 0.05
    ]
    assert len(close) >= 10


def test_negative_space_is_what_nothing_was_rendered_on(record):
    close = [
        file
        for file, image in images(record).items()
        if image["negative_space"]["fraction"] is not None
        and abs(
            image["negative_space"]["fraction"]
            - TRUTH["images"][file]["negative_space"]["fraction"]
        )
        <= 0.05
    ]
    assert len(close) >= 10


def test_the_warm_pictures_shift_is_told(record):
    warm = next(fault["file"] for fault in TRUTH["faults"] if fault["fault"] == "too warm")
    shift = TRUTH["images"][warm]["colour_temperature"]["shift_mired"]
    temperature = next(
        quantity
        for quantity in record["series"]["quantities"]
        if quantity["quantity"] == "colour_temperature"
    )
    told = dict(map(tuple, temperature["values"]))[warm] - temperature["centre"]
    assert told == pytest.approx(shift, abs=8)


def test_camera_angles_are_those_of_the_renderers_camera(record):
    # Answered for most pictures, and then right to 10 degrees in nearly all.
    errors = {
        file: abs(image["camera_elevation"]["deg"] - TRUTH["images"][file]["camera_elevation_deg"])
        for file, image in images(record).items()
        if image["camera_elevation"]["deg"] is not None
    }
    assert len(errors) >= 8
    assert sum(error > 10 for error in errors.values()) <= 1, errors
