"""The page over all shoots in a real browser."""

from urllib.parse import unquote, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe

from auditor.history.shoot import Shoot, shoot_of
from auditor.output.single_page import write_single_page
from auditor.page.shoots_page import MARK, render_shoots
from tests.browser.conftest import CHROMIUM, WIDE
from tests.history.invented_shoots import invented_shoot, rng_of

NARROW = {"width": 390, "height": 844}
LONG = "Wintercitrusandmarmaladewithoutasinglespaceinitsverylongname" * 2

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    # A folder name with everything that must be encoded in an address.
    directory = tmp_path_factory.mktemp("sho ots 100% #1")
    rng = rng_of(3)
    habits = {"camera_elevation": 15.0, ("subject", "across"): -0.12}
    shoots = [
        shoot_of(invented_shoot(rng, habits, day=f"2026-01-{n + 1:02d}", title=f"Shoot {n}"))
        for n in range(26)
    ]
    shoots.append(Shoot(LONG, "2026-05-01", is_day_taken=False, n_pictures=3, intents=()))
    return write_single_page(directory, render_shoots(shoots, "Made by auditor."), MARK)


@pytest.mark.parametrize("viewport", [WIDE, NARROW], ids=["wide", "narrow"])
def test_nothing_is_fetched_and_nothing_complains(open_page, page_file, viewport):
    page, requests, complaints = open_page(viewport=viewport)
    assert page.locator(".over-shoots").count() > 10
    addresses = [urlsplit(one) for one in requests if not one.startswith("data:")]
    assert [unquote(one.path) for one in addresses] == [str(page_file)]
    assert complaints == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("viewport", [WIDE, NARROW], ids=["wide", "narrow"])
def test_everybody_can_use_it(open_page, scheme, viewport):
    # The page allows no script, so the checker's own can only enter past its policy.
    page, _, _ = open_page(color_scheme=scheme, viewport=viewport, bypass_csp=True)
    result = Axe().run(page)
    assert result.response["passes"]
    assert result.response["violations"] == [], result.generate_report()


@pytest.mark.parametrize("width", [1280, 960, 700, 390, 320])
def test_it_never_scrolls_sideways(open_page, width):
    page, _, _ = open_page(viewport={"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_colour_is_neutral(open_page, scheme):
    page, _, _ = open_page(color_scheme=scheme)
    colours = page.evaluate(
        """[...document.querySelectorAll('body, body *')].flatMap(one => {
             const style = getComputedStyle(one);
             return [style.color, style.backgroundColor, style.fill, style.stroke];
           })"""
    )
    for colour in set(colours) - {"none"}:
        channels = colour.split("(")[1].rstrip(")").split(", ")[:3]
        assert len(set(channels)) == 1, colour  # a tinted surround would shift the eye


def test_no_number_at_an_axis_covers_another(open_page):
    page, _, _ = open_page(viewport=NARROW)
    overlaps = page.evaluate(
        """[...document.querySelectorAll('.over-shoots')].flatMap(svg => {
             const boxes = [...svg.querySelectorAll('text')].map(t => t.getBBox());
             return boxes.flatMap((a, i) => boxes.slice(0, i).filter(b =>
               a.x < b.x + b.width && b.x < a.x + a.width &&
               a.y + 3 < b.y + b.height && b.y + 3 < a.y + a.height).map(b => [a.x, b.x]));
           })"""
    )
    assert overlaps == []


def test_paper_shows_every_chart_on_white(open_page):
    page, _, _ = open_page()
    n_charts = page.locator(".over-shoots").count()
    page.emulate_media(media="print")
    assert page.locator(".over-shoots:visible").count() == n_charts
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert page.pdf(format="A4", print_background=True).startswith(b"%PDF")
