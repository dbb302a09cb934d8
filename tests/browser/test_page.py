"""The page in a real browser, opened from the disk as a photographer would open it."""

from io import BytesIO
from urllib.parse import unquote, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from pypdf import PdfReader

from auditor.output.report_folder import PAGE_FILE
from auditor.page.attention_view import MOST_SHOWN
from auditor.page.drawing.picture_marks import LAYERS
from auditor.page.html import render_page
from tests.browser.conftest import CHROMIUM, WIDE
from tests.page.test_attention_view import many
from tests.records import NAMES, audit, make_previews, measured, richer_audit

NARROW = {"width": 390, "height": 844}

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")


@pytest.fixture(scope="module")
def report(tmp_path_factory):
    # A folder name with everything that must be encoded in an address.
    directory = tmp_path_factory.mktemp("re port 100% #1")
    record = richer_audit()
    text = render_page(record, make_previews(record, directory))
    (directory / PAGE_FILE).write_text(text, encoding="utf-8")
    return directory


@pytest.fixture
def page_file(report):
    return report / PAGE_FILE


def load_all_pictures(page):
    """Scroll through the page, so that every lazy picture is fetched."""
    for image in page.locator("img").all():
        image.scroll_into_view_if_needed()
    wait_for(page, "[...document.images].every(i => i.complete)")


def wait_for(page, condition):
    """Wait until something holds; the page's policy keeps Playwright from asking by itself."""
    for _ in range(400):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(25)
    raise AssertionError(condition)


def test_nothing_leaves_the_folder_and_nothing_complains(open_page, report):
    page, requests, complaints = open_page()
    load_all_pictures(page)
    assert len(requests) > len(NAMES)
    for address in requests:
        parts = urlsplit(address)
        if parts.scheme == "data":
            continue
        assert parts.scheme == "file"
        assert unquote(parts.path).startswith(f"{report}/")
    assert complaints == []


def test_every_picture_loads(open_page):
    page, _, _ = open_page()
    load_all_pictures(page)
    sizes = page.evaluate("[...document.images].map(i => i.naturalWidth)")
    # Contact sheet, clean and marked of four pictures, and one crop; what to do: three pictures
    # with one beside each of two of them; two pictures of a planned shot.
    assert len(sizes) == 13 + 5 + 2
    assert min(sizes) > 0


def test_marks_lie_exactly_over_their_picture(open_page):
    for viewport in (WIDE, NARROW):
        page, _, _ = open_page(viewport=viewport)
        load_all_pictures(page)
        boxes = page.evaluate(
            """[...document.querySelectorAll('.marked')].map(m => [
                 m.querySelector('img').getBoundingClientRect(),
                 m.querySelector('svg').getBoundingClientRect(),
                 m.querySelector('svg').viewBox.baseVal.width /
                   m.querySelector('svg').viewBox.baseVal.height,
               ].map(r => r.width ? [r.x, r.y, r.width, r.height] : r))"""
        )
        assert boxes
        for image, drawing, ratio in boxes:
            assert drawing == pytest.approx(image, abs=0.5)
            assert image[2] / image[3] == pytest.approx(ratio, rel=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("viewport", [WIDE, NARROW], ids=["wide", "narrow"])
def test_everybody_can_use_it(open_page, scheme, viewport):
    # The page allows no script, so the checker's own can only enter past its policy.
    page, _, _ = open_page(color_scheme=scheme, viewport=viewport, bypass_csp=True)
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    result = Axe().run(page)
    assert result.response["passes"]
    assert result.response["violations"] == [], result.generate_report()


@pytest.mark.parametrize("opened", [False, True])
def test_a_telephone_never_scrolls_sideways(open_page, opened):
    page, _, _ = open_page(viewport=NARROW)
    if opened:
        page.locator("summary").evaluate_all("all => all.forEach(s => s.click())")
    width = page.evaluate("document.documentElement.scrollWidth")
    assert width <= NARROW["width"]


def test_dark_and_light_differ_and_stay_neutral(open_page):
    colours = []
    for scheme in ("light", "dark"):
        page, _, _ = open_page(color_scheme=scheme)
        colours.append(page.evaluate("getComputedStyle(document.body).backgroundColor"))
    assert colours[0] != colours[1]
    for colour in colours:
        channels = colour.removeprefix("rgb(").removesuffix(")").split(", ")
        assert len(set(channels)) == 1  # a tinted surround would shift the eye (ISO 3664)


def test_marks_are_shown_and_hidden_without_a_script(open_page):
    page, _, _ = open_page(java_script_enabled=False)
    # Nothing was put onto the demo pictures, so that nothing of that is drawn.
    for layer in (layer for layer in LAYERS if layer.name != "additions"):
        drawn = page.locator(f"#picture-1 .layer-{layer.name}")
        box = page.locator(f"#show-{layer.name}")
        assert drawn.is_visible() == layer.shown == box.is_checked()
        box.click()
        assert drawn.is_visible() != layer.shown


def test_planned_and_measured_lines_differ_in_more_than_colour(open_page):
    page, _, _ = open_page()
    dashes = page.evaluate(
        """['measured', 'planned'].map(role =>
             getComputedStyle(document.querySelector(`.marks .line.${role}`)).strokeDasharray)"""
    )
    assert dashes[0] == "none"
    assert dashes[1] != "none"


def test_the_contact_sheet_leads_to_the_picture(open_page):
    page, _, _ = open_page()
    page.locator(".contact a").nth(2).click()
    assert page.url.endswith("#picture-3")
    assert page.locator("#picture-3 h3").bounding_box()["y"] < WIDE["height"]


def test_paper_shows_pictures_and_marks(open_page):
    page, _, _ = open_page()
    load_all_pictures(page)
    page.emulate_media(media="print")
    assert page.locator("#picture-1 .clean img").is_visible()
    assert page.locator("#picture-1 .layer-subject").is_visible()
    assert page.locator("#picture-1 .plan").is_visible()
    assert not page.locator(".layers").is_visible()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    whole = page.pdf(format="A4", print_background=True)
    assert whole.startswith(b"%PDF")
    assert whole.count(b"/Type /Page\n") >= len(NAMES)


def test_without_scripts_all_is_there(open_page):
    page, _, _ = open_page(java_script_enabled=False)
    assert page.locator("h1").inner_text() == "teahouse"
    assert "camera looks from lower" in page.locator("#picture-1 .misses").inner_text()


@pytest.mark.parametrize("width", [1280, 1100, 960, 834, 700, 390])
def test_no_table_hides_a_column(open_page, width):
    page, _, _ = open_page(viewport={"width": width, "height": 900})
    hidden = page.evaluate(
        "[...document.querySelectorAll('.scroll')].map(s => s.scrollWidth - s.clientWidth)"
    )
    assert hidden
    assert max(hidden) <= 0


@pytest.mark.parametrize(("n", "drawn"), [(39, "visible"), (40, "auto")])
def test_of_a_long_page_only_the_pictures_in_sight_are_drawn(open_page, report, n, drawn):
    images = [measured(f"{number}.jpg") for number in range(n)]
    text = render_page(audit(with_plan=False, refused=False, images=images), {})
    (report / f"long-{n}.html").write_text(text, encoding="utf-8")
    page, _, _ = open_page()
    page.goto((report / f"long-{n}.html").as_uri())
    found = page.evaluate("getComputedStyle(document.querySelector('.picture')).contentVisibility")
    assert found == drawn


def test_what_waits_on_the_screen_is_printed(open_page, report):
    record = many(MOST_SHOWN + 5)
    text = render_page(record, make_previews(record, report))
    (report / "many.html").write_text(text, encoding="utf-8")
    for scripts in (True, False):
        page, _, _ = open_page(java_script_enabled=scripts)
        page.goto((report / "many.html").as_uri())
        entries = page.locator(".entry")
        assert entries.count() == MOST_SHOWN + 5
        assert sum(entry.is_visible() for entry in entries.all()) == MOST_SHOWN
        paper = PdfReader(BytesIO(page.pdf(format="A4")))
        text = "".join("".join(sheet.extract_text().split()) for sheet in paper.pages)
        to_do = "Bring its colour temperature back to the rest of the set."
        assert text.count("".join(to_do.split())) == MOST_SHOWN + 5
        page.locator("#show-late").check()
        assert all(entry.is_visible() for entry in entries.all())


@pytest.mark.parametrize("page_of", ["richer", "many"])
def test_on_a_telephone_what_to_do_is_large_enough_to_tap(open_page, report, page_of):
    page, _, _ = open_page(viewport=NARROW)
    if page_of == "many":
        record = many(MOST_SHOWN + 5)
        (report / "taps.html").write_text(
            render_page(record, make_previews(record, report)), encoding="utf-8"
        )
        page.goto((report / "taps.html").as_uri())
    targets = page.locator("nav a, .attention a, .show-late, .shots a").all()
    assert len(targets) > 6
    for target in targets:
        if target.is_visible():
            assert target.bounding_box()["height"] >= 44  # CSS pixels (WCAG 2.2, 2.5.5)


def test_the_small_picture_leads_to_the_picture_too(open_page):
    page, _, _ = open_page()
    entry = page.locator(".entry.has-picture:has(img)").first
    href = entry.locator(".entry-title a").get_attribute("href")
    entry.locator("> img").click(force=True)
    assert page.url.endswith(href)


def test_what_to_do_comes_before_the_plan(open_page):
    for width in (1280, 834, 390):
        page, _, _ = open_page(viewport={"width": width, "height": 900})
        plan = page.locator(".against-plan").bounding_box()
        to_do = page.locator(".attention").bounding_box()
        assert (to_do["y"], to_do["x"]) < (plan["y"], plan["x"])
