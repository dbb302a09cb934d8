"""The sheet of a plan in a real browser, on a telephone and on paper."""

from __future__ import annotations

import math
import re
from urllib.parse import unquote, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe

from auditor.plan.reading import read_plan
from auditor.plan_sheet.write_sheet import write_sheet
from tests.browser.conftest import CHROMIUM, WIDE
from tests.conftest import ROOT

NARROW = {"width": 390, "height": 844}
PLAN = ROOT / "fixtures" / "teahouse" / "plan.toml"
# Below the plan of the demo: shots with more to say, and with less.
MORE = """
[[shot]]
name = "the long table with everything that the kitchen has, seen from its far end"
files = ["*long*", "*table*"]
aspect_ratio = "16:9"
technique = "golden spiral"
subject = { at = "lower right", size = 0.1 }
supporting = [
  { name = "hand-thrown tea bowl with a chipped rim", at = "left third" },
  { name = "another hand-thrown tea bowl", at = "left third" },
  { name = "honey jar", at = "behind" },
  { name = "two forks", at = "beside" },
  { name = "crumbs" },
]
camera_elevation = 30
diagonal = 20

[[shot]]
name = "anything"
files = ["*any*"]
"""

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    # A folder name with everything that must be encoded in an address.
    directory = tmp_path_factory.mktemp("sh eet 100% #1")
    plan = directory / "plan.toml"
    plan.write_text(PLAN.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    return write_sheet(plan, directory / "out", (300, 200)), len(read_plan(plan).shots)


@pytest.fixture
def page_file(sheet):
    return sheet[0]


@pytest.mark.parametrize("viewport", [WIDE, NARROW], ids=["wide", "narrow"])
def test_nothing_is_fetched_and_nothing_complains(open_page, sheet, viewport):
    page, requests, complaints = open_page(viewport=viewport)
    assert page.locator("article.card").count() == sheet[1]
    addresses = [urlsplit(one) for one in requests if not one.startswith("data:")]
    assert [unquote(one.path) for one in addresses] == [str(sheet[0])]
    assert complaints == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("viewport", [WIDE, NARROW], ids=["wide", "narrow"])
def test_everybody_can_use_it(open_page, scheme, viewport):
    # The page allows no script, so the checker's own can only enter past its policy.
    page, _, _ = open_page(color_scheme=scheme, viewport=viewport, bypass_csp=True)
    result = Axe().run(page)
    assert result.response["passes"]
    assert result.response["violations"] == [], result.generate_report()


def test_a_telephone_never_scrolls_sideways(open_page):
    page, _, _ = open_page(viewport=NARROW)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"]


@pytest.mark.parametrize("viewport", [WIDE, NARROW], ids=["wide", "narrow"])
def test_no_word_covers_another_in_the_browsers_own_font(open_page, viewport):
    page, _, _ = open_page(viewport=viewport)
    drawings = page.evaluate(
        """[...document.querySelectorAll('.planned-frame')].map(svg => ({
             frame: [0, 0, svg.viewBox.baseVal.width, svg.viewBox.baseVal.height],
             words: [...svg.querySelectorAll('text')].map(text => {
               const box = text.getBBox();
               // Letters, without the room above and below that the font leaves between lines.
               const spare = box.height * 0.15;
               return [box.x, box.y + spare, box.x + box.width, box.y + box.height - spare];
             })
           }))"""
    )
    assert sum(len(drawing["words"]) for drawing in drawings) > 20
    for drawing in drawings:
        words = drawing["words"]
        for i, a in enumerate(words):
            assert a[0] >= 0
            assert a[2] <= drawing["frame"][2]
            for b in words[:i]:
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_words_are_large_enough_on_a_telephone(open_page):
    page, _, _ = open_page(viewport=NARROW)
    sizes = page.evaluate(
        """[...document.querySelectorAll('.planned-frame')].map(svg =>
             parseFloat(getComputedStyle(svg).getPropertyValue('--text'))
             * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width)"""
    )
    assert min(sizes) > 10


def test_a_frame_is_drawn_at_its_ratio(open_page):
    page, _, _ = open_page()
    ratios = page.evaluate(
        """[...document.querySelectorAll('.planned-frame')].map(svg => {
             const box = svg.getBoundingClientRect(); return box.width / box.height; })"""
    )
    assert ratios[0] == pytest.approx(0.8, rel=0.005)
    assert ratios[-2] == pytest.approx(16 / 9, rel=0.005)
    assert ratios[-1] == pytest.approx(0.8, rel=0.005)  # the set's


def test_a_box_can_be_ticked_without_a_script(open_page):
    page, _, _ = open_page(java_script_enabled=False)
    box = page.locator("article input").first
    box.check()
    assert box.is_checked()


@pytest.mark.parametrize("landscape", [False, True], ids=["portrait", "landscape"])
def test_two_frames_on_a_sheet_of_paper(open_page, sheet, landscape):
    page, _, _ = open_page()
    paper = page.pdf(format="A4", landscape=landscape, print_background=True)
    # A frame that did not fit under another, or was split, would need a further sheet.
    assert paper.count(b"/Type /Page\n") == math.ceil(sheet[1] / 2)


def test_paper_shows_every_frame_and_a_box_to_tick_in_black_and_white(open_page, sheet):
    page, _, _ = open_page()
    page.emulate_media(media="print")
    assert page.locator(".planned-frame:visible").count() == sheet[1]
    assert page.locator(".taken input:visible").count() == sheet[1]
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    strokes = page.evaluate(
        """[...new Set([...document.querySelectorAll('.planned-frame path:not(.place)')]
             .map(path => getComputedStyle(path).stroke))]"""
    )
    for stroke in strokes:
        assert len(set(re.findall(r"\d+", stroke))) == 1  # a grey: nothing is told by colour
    # What is assumed differs from what is planned by its dashes.
    dashed = "getComputedStyle(document.querySelector('.planned-frame path.dashed'))"
    assert page.evaluate(f"{dashed}.strokeDasharray") != "none"
