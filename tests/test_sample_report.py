"""The sample report is what the command makes now."""

import json
import math

import pytest

from tests.conftest import ROOT

SAMPLE = ROOT / "reports" / "teahouse"
# When and with what a report was made may differ; so may the last digits of a number, where
# another processor adds in another order.
FREE = {"created", "libraries", "auditor_version"}
RELATIVE, ABSOLUTE = 1e-3, 1e-6


def alike(first, second, path="record"):
    """Names of the places where two records differ."""
    if isinstance(first, dict) and isinstance(second, dict):
        if first.keys() != second.keys():
            return [path]
        return [p for key in first for p in alike(first[key], second[key], f"{path}.{key}")]
    if isinstance(first, list) and isinstance(second, list):
        if len(first) != len(second):
            return [path]
        pairs = enumerate(zip(first, second, strict=True))
        return [p for place, (a, b) in pairs for p in alike(a, b, f"{path}[{place}]")]
    if isinstance(first, float) and isinstance(second, float):
        same = math.isclose(first, second, rel_tol=RELATIVE, abs_tol=ABSOLUTE)
        return [] if same else [path]
    return [] if first == second and type(first) is type(second) else [path]


@pytest.fixture(scope="module")
def sample():
    return json.loads((SAMPLE / "audit.json").read_text(encoding="utf-8"))


def test_the_record_is_what_the_command_makes(sample, record):
    free = {name: sample[name] for name in FREE}
    assert alike(sample, {**record, **free}) == []


def test_a_difference_would_be_seen(sample):
    changed = json.loads(json.dumps(sample))
    changed["images"][3]["tone"]["mean_lightness"] += 0.1
    changed["images"][4]["colour_temperature"]["duv"] += 0.0001
    changed["images"][5]["file"] = "another.jpg"
    assert alike(sample, changed) == [
        "record.images[3].tone.mean_lightness",
        "record.images[4].colour_temperature.duv",
        "record.images[5].file",
    ]


def test_the_page_and_its_pictures_are_there(sample):
    page = (SAMPLE / "index.html").read_text(encoding="utf-8")
    corrected = [one for image in sample["images"] for one in image["advice"] if one["preview"]]
    n_pictures = 2 * len(sample["images"]) + len(corrected)
    assert corrected
    assert len(list((SAMPLE / "pictures").iterdir())) == n_pictures
    for preview in (SAMPLE / "pictures").iterdir():
        assert f"pictures/{preview.name}" in page
