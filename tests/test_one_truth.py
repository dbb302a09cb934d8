"""The same findings on the screen, on paper, in audit.json and on standard error."""

import json
import shutil
import unicodedata
from io import BytesIO
from urllib.parse import unquote

import piexif
import pytest
from playwright.sync_api import sync_playwright
from pypdf import PdfReader

from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.conftest import ROOT, draw_dish, run_process

PHONE = {"width": 390, "height": 844}
POSITION = {
    piexif.GPSIFD.GPSLatitudeRef: "N",
    piexif.GPSIFD.GPSLatitude: ((46, 1), (30, 1), (0, 1)),
}


def plain(text):
    """A text without what only a layout adds: breaks, spaces, joined letters."""
    return "".join(unicodedata.normalize("NFKC", text).replace("\u00ad", "").split())


def said(record):
    """What each entry says, from audit.json alone: the picture, what to do, what was found."""
    messages = {finding["rank"]: finding["message"] for finding in record["findings"]}
    return [
        [
            *([entry["file"]] if entry["file"] else []),
            *entry["to_do"],
            *dict.fromkeys(messages[rank].removesuffix(".") for rank in entry["findings"]),
        ]
        for entry in record["attention"]
    ]


def assert_says(text, record):
    """The text has every part of every entry, in their order."""
    text, at = plain(text), 0
    for part in (part for entry in said(record) for part in entry):
        found = text.find(plain(part), at)
        assert found >= 0, (part, text[at : at + 300])
        at = found + len(plain(part))


def phone_set(folder):
    """Upright pictures as of a telephone, with their places; two are one file, one is empty."""
    folder.mkdir(parents=True)
    exif = piexif.dump({"GPS": POSITION})
    places = [(0.5, 0.5), (0.4, 0.45), (0.6, 0.55), (0.45, 0.6), (0.55, 0.4), (0.5, 0.42)]
    for number, place in enumerate(places):
        ground = (150, 140, 128) if number else (90, 60, 20)
        draw_dish(place, (600, 800), ground, seed=number).save(
            folder / f"IMG_{number:04}.jpg", quality=92, exif=exif
        )
    shutil.copy(folder / "IMG_0003.jpg", folder / "IMG_0013.jpg")
    (folder / "IMG_0020.jpg").write_bytes(b"")


@pytest.fixture(scope="module", params=["demo", "phone", "single", "single with a place"])
def reported(request, demo, tmp_path_factory):
    """The report's folder, its record, and what the command said."""
    folder = tmp_path_factory.mktemp("reported")
    cache = folder / "cache"
    if request.param == "demo":
        plan = ROOT / "fixtures" / "teahouse" / "plan.toml"
        words = [plan.parent, "--plan", plan]
        # Measured already for the report that other tests share.
        cache = next(parent for parent in demo.parents if (parent / "cache").is_dir()) / "cache"
    elif request.param == "phone":
        phone_set(folder / "DCIM")
        words = [folder / "DCIM"]
    else:
        exif = piexif.dump({"GPS": POSITION} if "place" in request.param else {})
        draw_dish().save(folder / "tart.jpg", exif=exif)
        words = [folder / "tart.jpg"]
    done = run_process(folder, "audit", *words, "--out", "report", XDG_CACHE_HOME=str(cache))
    assert done.returncode == 0, done.stderr
    report = folder / "report"
    record = json.loads((report / "audit.json").read_text(encoding="utf-8"))
    least = {"demo": 7, "phone": 4, "single": 0, "single with a place": 1}
    assert len(record["attention"]) >= least[request.param]
    return report, record, done.stderr


def test_the_record_gathers_each_finding_once(reported):
    _, record, _ = reported
    ranks = [rank for entry in record["attention"] for rank in entry["findings"]]
    assert sorted(ranks) == [finding["rank"] for finding in record["findings"]]
    files = [entry["file"] for entry in record["attention"] if entry["file"]]
    assert len(files) == len(set(files))


def test_standard_error_says_what_the_record_says(reported):
    _, record, errors = reported
    assert_says(errors, record)
    lines = [line for line in errors.splitlines() if line.startswith("- ")]
    assert len(lines) == len(record["attention"])


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")
def test_screen_and_paper_say_what_the_record_says(reported):
    report, record, _ = reported
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        for viewport in (None, PHONE):
            page = browser.new_page(**({} if viewport is None else {"viewport": viewport}))
            page.goto((report / "index.html").as_uri())
            attention = page.locator(".attention")
            assert_says(attention.inner_text(), record)
            entries = attention.locator(".entry").all()
            assert len(entries) == len(record["attention"])
            for entry, written in zip(entries, record["attention"], strict=True):
                assert linked(entry, page) == of_entry(written, record)
        paper = PdfReader(BytesIO(page.pdf(format="A4")))
        browser.close()
    assert_says("\n".join(sheet.extract_text() for sheet in paper.pages), record)


def linked(entry, page):
    """The pictures that an entry leads to, by the numbers on the page."""
    anchors = [link.get_attribute("href") for link in entry.locator("a").all()]
    for anchor in anchors:
        assert page.locator(f'[id="{unquote(anchor[1:])}"]').count() == 1
    return {int(anchor.removeprefix("#picture-")) for anchor in anchors}


def of_entry(entry, record):
    """The pictures that the findings of an entry are about."""
    numbers = {image["file"]: number for number, image in enumerate(record["images"], start=1)}
    own = [one for one in record["findings"] if one["rank"] in entry["findings"]]
    return {numbers[file] for finding in own for file in finding["files"]}
