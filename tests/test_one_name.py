"""One name and one number for one fact, in the record, on the page and on the dial."""

import html
import json
import re

import numpy as np
import pytest

from auditor.measurements.light import Light
from auditor.quantity import Quantity
from auditor.record.audit_record import AuditRecord
from auditor.record.measured_fields import measured_fields
from auditor.wording.colour_names import colour_name
from auditor.wording.positions import light_text
from tests.factories import measured_photograph

DIAL = np.arange(0.025, 12.0001, 0.025).round(3).tolist()  # 480 positions


def called(hours):
    """The name by the definition that other programs rely on: 12 behind the subject, camera at 6.

    Sectors of 45 degrees around 12, 1:30, 3 and beyond (common practice, no source); no side where
    the light comes straight from behind or from the camera.
    """
    away = min(hours, 12 - hours)
    side = " from the right" if hours < 6 else " from the left"
    if away < 0.75:
        return "back light"
    if away < 2.25:
        return "three-quarter back light" + side
    if away <= 3.75:
        return "side light" + side
    return "front light" + (side if away <= 5.25 else "")


@pytest.mark.parametrize("hours", DIAL)
def test_the_record_and_the_page_call_a_light_the_same(hours):
    picture = measured_photograph(
        light=Quantity.measured(Light(hours), confidence=0.8, tolerance=1.0)
    )
    recorded = measured_fields(picture)["light"]
    side = "" if recorded["side"] is None else f" from the {recorded['side']}"
    assert recorded["name"] + side == called(hours)
    assert light_text(hours).split(" (")[0] == called(hours)


def test_a_time_on_the_dial_has_one_name():
    named = {}
    for hours in np.arange(1, 12001) / 1000:
        name, time = light_text(float(hours)).removesuffix(")").split(" (")
        named.setdefault(time, set()).add(name)
    assert {time: names for time, names in named.items() if len(names) > 1} == {}
    assert {"12:00", "3:00", "10:30"} <= set(named)


@pytest.fixture(scope="module")
def text(demo):
    """What a person reads on the page of the demo."""
    page = (demo / "index.html").read_text(encoding="utf-8")
    page = re.sub(r"<(style|script)>.*?</\1>", "", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_the_page_says_what_the_record_says(text, record):
    for finding in record["findings"]:
        assert " ".join(finding["message"].split()) in text
    for quantity in record["series"]["quantities"]:
        for outlier in quantity["outliers"]:
            assert outlier["message"] in text


def test_how_much_warmer_than_the_set_a_picture_is_has_one_number(text, record):
    (quantity,) = (
        q for q in record["series"]["quantities"] if q["quantity"] == "colour_temperature"
    )
    (outlier,) = quantity["outliers"]
    amount = f"{outlier['deviation']:.0f}"
    against_set = r"(?:[Ww]armer|[Cc]ooler) than the (?:rest of the set|other \d+) \((\d+) mired\)"
    everything = json.dumps(record, ensure_ascii=False)
    assert set(re.findall(against_set, text)) == {amount}
    assert set(re.findall(against_set, everything)) == {amount}
    (finding,) = (f for f in record["findings"] if f["set_deviation"] is not None
                  and f["quantity"] == "colour_temperature")  # fmt: skip
    assert finding["set_deviation"] == outlier["deviation"]
    (advice,) = (
        a
        for image in record["images"]
        if image["file"] == outlier["file"]
        for a in image["advice"]
        if a["kind"] == "colour temperature"
    )
    assert -advice["amount"] == pytest.approx(outlier["deviation"], abs=0.5)


def test_verdicts_have_the_same_four_words_everywhere(text, record):
    for other in ("as planned", "could not tell"):
        assert not re.search(rf"\b{other}\b", text)
    verdicts = {item["verdict"] for i in record["images"] for item in i["plan"]["items"]}
    assert verdicts <= {"met", "close", "missed", "undecided"}
    for verdict in ("met", "close", "missed", "undecided"):
        n = sum(item["verdict"] == verdict for i in record["images"] for item in i["plan"]["items"])
        assert f"{n} {verdict}" in text


def test_a_colour_has_one_name(text):
    """Its plain name stands before each code, a share between them at most."""
    share = r"(?:,? (?:under |over )?\d+%(?: of the frame)?)?"
    apart = r"(?:, (?:under )?\d+ ΔE₀₀ apart, on (?:under |over )?\d+% of the frame)?"
    named = re.findall(
        rf"(?<![\w#])((?:[a-z]+ )?(?!under|over)[a-z]+){share}{apart} \(?(#[0-9a-f]{{6}})", text
    )
    assert len(named) > 100
    for before, colour in set(named):
        name = colour_name(colour)
        assert f" {before}".endswith(f" {name}"), (before, colour)


def test_the_demo_is_called_a_set_of_pictures(text):
    for other in ("series", "image", "photograph "):
        assert other not in text.lower().replace("mirror image", ""), other


def test_the_record_is_valid_as_it_was_read(record):
    assert AuditRecord.model_validate(record).findings
