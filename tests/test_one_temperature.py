"""One colour temperature a picture: in row, chart, sentence, group, advice, plan, CSV and JSON.

On three sets: the demo with its plan, a part of the demo with three pictures developed warmer, and
photographs of unrelated scenes that come with scikit-image, as on a telephone.
"""

import csv
import html
import json
import re
from statistics import median

import numpy as np
import pytest
from PIL import Image
from skimage import data

import auditor
from auditor.colorimetry import LINEAR_FROM_BYTE, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from tests.conftest import ROOT

TEAHOUSE = ROOT / "fixtures" / "teahouse"
# Numbers in the record have five significant digits: half of the last one, three times over.
ROUNDED = 0.02
WARMER = ("05-citrus-plate.jpg", "09-lemon-tart.jpg", "10-marmalade-jar.jpg")
TELEPHONE = ("coffee", "chelsea", "rocket", "astronaut", "immunohistochemistry")


def warmer(path, mired):
    with Image.open(path) as picture:
        pixels = np.asarray(picture.convert("RGB"))
    linear = shift_mired(LINEAR_FROM_BYTE[pixels].astype(float), mired)
    return Image.fromarray(np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8))


def with_a_cast(folder):
    for path in sorted(TEAHOUSE.glob("*.jpg"))[2:11]:
        warmer(path, 45 if path.name in WARMER else 0).save(folder / path.name, quality=92)


def of_a_telephone(folder):
    for name in TELEPHONE:
        Image.fromarray(getattr(data, name)()[..., :3]).save(folder / f"{name}.jpg", quality=88)


@pytest.fixture(scope="module", params=["demo", "cast", "telephone"])
def report(request, tmp_path_factory):
    """Folder of a report."""
    if request.param == "demo":
        return request.getfixturevalue("demo")
    folder = tmp_path_factory.mktemp("pictures")
    {"cast": with_a_cast, "telephone": of_a_telephone}[request.param](folder)
    out = tmp_path_factory.mktemp("out") / "report"
    auditor.audit(folder, out=out, jobs=1)
    return out


@pytest.fixture(scope="module")
def record(report):
    return json.loads((report / "audit.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def temperatures(record):
    """Mired of each picture, by file; None where it is not known."""
    return {image["file"]: image["colour_temperature"]["mired"] for image in record["images"]}


@pytest.fixture(scope="module")
def followed(record):
    return next(q for q in record["series"]["quantities"] if q["quantity"] == "colour_temperature")


def test_the_fields_of_one_picture_agree(record):
    for image in record["images"]:
        found, known = image["colour_temperature"], image["known_temperature"]
        if known is None:
            assert found["mired"] is None
            continue
        assert known["mired"] == found["mired"]
        assert (known["confidence"], known["tolerance"]) == (
            found["confidence"],
            found["tolerance"],
        )
        assert known["by_set"] == (found["source"] == "set")
        assert found["cct_k"] == pytest.approx(1e6 / found["mired"], rel=1e-4)
        if len(found["clusters"]) == 1:
            assert found["clusters"][0]["cct_k"] == pytest.approx(found["cct_k"], rel=1e-4)


def test_the_chart_shows_the_temperatures_of_the_pictures(followed, temperatures):
    for file, mired in followed["values"]:
        assert mired == temperatures[file]
    if followed["centre"] is not None:
        values = [mired for _, mired in followed["values"]]
        assert min(values) <= followed["centre"] <= max(values)


def test_who_leaves_the_set_does_so_by_the_same_number(followed, temperatures):
    far = [] if followed["farthest"] is None else [followed["farthest"]]
    for outlier in (*followed["outliers"], *far):
        assert outlier["value"] == temperatures[outlier["file"]]
        assert outlier["deviation"] == pytest.approx(
            outlier["value"] - followed["centre"], abs=ROUNDED
        )
        side = "warmer" if outlier["deviation"] > 0 else "cooler"
        assert side in outlier["message"]
        assert f"({abs(outlier['deviation']):.0f} mired)" in outlier["message"]


def test_groups_are_made_of_the_same_numbers(record, temperatures):
    clusters = record["series"]["colour_temperature_clusters"]
    for cluster in clusters:
        mired = [temperatures[file] for file in cluster["files"]]
        assert cluster["mired"] == pytest.approx(median(mired), abs=ROUNDED)
        assert cluster["shift_mired"] == pytest.approx(
            clusters[0]["mired"] - cluster["mired"], abs=ROUNDED
        )
    sides = [cluster["mired"] for cluster in clusters]
    for cluster, others in ((c, [s for s in sides if s != c["mired"]]) for c in clusters):
        own = [temperatures[file] for file in cluster["files"]]
        assert not any(min(own) < other < max(own) for other in others)


def test_plan_and_advice_start_from_the_same_number(record, temperatures, followed):
    for image in record["images"]:
        mired = temperatures[image["file"]]
        items = [] if image["plan"] is None else image["plan"]["items"]
        for item in items:
            if item["quantity"] == "colour_temperature" and item["measured"] is not None:
                assert item["measured"] == mired
                assert item["difference"] == pytest.approx(mired - item["planned"], abs=ROUNDED)
        goals = [item["planned"] for item in items if item["quantity"] == "colour_temperature"]
        goals += [followed["centre"]] if followed["centre"] is not None else []
        for advice in image["advice"]:
            if advice["kind"] == "colour temperature":
                reached = mired + advice["amount"]
                assert any(reached == pytest.approx(goal, abs=0.5 + ROUNDED) for goal in goals)


def test_the_table_has_the_same_numbers(report, temperatures):
    with (report / "measurements.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["File"] for row in rows} == set(temperatures)
    for row in rows:
        written = row["Colour temperature (mired)"]
        mired = temperatures[row["File"]]
        assert (float(written) if written else None) == (None if mired is None else round(mired, 1))


def test_the_page_writes_one_number_for_each_picture(report, temperatures):
    page = (report / "index.html").read_text(encoding="utf-8")
    text = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())
    written = re.findall(r"\(\d+ K, (\d+) mired\)(?:; tint Duv|; by what)", text)
    known = [f"{mired:.0f}" for mired in temperatures.values() if mired is not None]
    assert sorted(written) == sorted(known)
