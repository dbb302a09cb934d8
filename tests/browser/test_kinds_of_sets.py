"""The pages of four sets at three widths, light, dark and on paper, with scripts and without.

The sets are the demo, pictures of one table without a plan, a portfolio and a single picture; each
as a report with pictures beside it, and as one file. The summary for a client is looked at in the
same way.
"""

import io
import shutil
import unicodedata
from urllib.parse import unquote, urlsplit

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

from auditor.output.pictures_inside import pictures_inside
from auditor.output.previews import PICTURES_FOLDER, find_previews
from auditor.output.report_folder import PAGE_FILE, RECORD_FILE, SUMMARY_FILE
from auditor.page.html import render_page, render_summary
from auditor.record.json_file import read_record
from tests.browser.conftest import CHROMIUM
from tests.conftest import ROOT
from tests.page.test_portfolio_page import record_of as record_of_pictures
from tests.records import audit, make_previews, measured
from tests.series.made_pictures import of_many_makers, of_one_table

SAMPLE = ROOT / "reports" / "teahouse"
WIDTHS = (390, 834, 1440)
SCHEMES = ("light", "dark")
SETS_OF_SEVERAL = ("demo", "one table", "portfolio")
SETS = (*SETS_OF_SEVERAL, "single")
ONE_FILE = "one.html"
PAGES = (PAGE_FILE, ONE_FILE, SUMMARY_FILE)
DIFFERENT_PAGES = (PAGE_FILE, SUMMARY_FILE)  # the page in one file has the parts of the first
MILLIMETRES_PER_POINT = 25.4 / 72

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")


def record_of(kind, directory):
    if kind == "demo":
        shutil.copytree(SAMPLE / PICTURES_FOLDER, directory / PICTURES_FOLDER)
        record = read_record(SAMPLE / RECORD_FILE)
        return record, find_previews(directory, [picture.file for picture in record.images])
    if kind == "single":
        record = audit(with_plan=False, images=[measured("plate.jpg")])
    else:
        made = of_many_makers(12) if kind == "portfolio" else of_one_table(8)
        record = record_of_pictures(made, directory)
        assert record.kind.kind == ("portfolio" if kind == "portfolio" else "set")
    return record, make_previews(record, directory)


@pytest.fixture(scope="module", params=SETS)
def kind(request):
    return request.param


@pytest.fixture(scope="module")
def report(kind, tmp_path_factory):
    directory = tmp_path_factory.mktemp("report")
    record, previews = record_of(kind, directory)
    (directory / PAGE_FILE).write_text(render_page(record, previews), encoding="utf-8")
    single = record.model_copy(update={"forms": ["single_file"]})
    text = pictures_inside(render_page(single, previews), directory / PICTURES_FOLDER)
    (directory / ONE_FILE).write_text(text, encoding="utf-8")
    (directory / SUMMARY_FILE).write_text(render_summary(record, previews), encoding="utf-8")
    return directory


@pytest.fixture(params=PAGES)
def page_file(report, request):
    return report / request.param


@pytest.fixture
def opened(open_page, page_file):
    def open_it(**options):
        page, requests, complaints = open_page(**options)
        page.evaluate("for (const image of document.images) image.loading = 'eager';")
        for _ in range(200):
            if page.evaluate("[...document.images].every(image => image.complete)"):
                return page, requests, complaints
            page.wait_for_timeout(25)
        raise AssertionError(page_file)

    return open_it


def fits(page):
    return page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_nothing_complains_nothing_is_fetched_and_nothing_is_too_wide(opened, page_file, scripts):
    page, requests, complaints = opened(java_script_enabled=scripts)
    for width in WIDTHS:
        for scheme in SCHEMES:
            page.set_viewport_size({"width": width, "height": 900})
            page.emulate_media(color_scheme=scheme)
            assert fits(page), (width, scheme)
    assert complaints == []
    fetched = [urlsplit(one) for one in requests if not one.startswith("data:")]
    paths = {unquote(one.path) for one in fetched}
    assert {one.scheme for one in fetched} == {"file"}
    others = paths - {str(page_file)}
    assert all(one.startswith(f"{page_file.parent}/{PICTURES_FOLDER}/") for one in others)
    assert bool(others) == (page_file.name != ONE_FILE)
    assert min(page.evaluate("[...document.images].map(image => image.naturalWidth)")) > 0


def only_different_parts(page):
    """Leave out pictures that are described like others: a checker reads for seconds.

    The first picture stays, and the first with each kind of part; one table of all measurements.
    """
    page.evaluate(
        """() => {
          for (const one of document.querySelectorAll('details')) one.open = true;
          const pictures = [...document.querySelectorAll('.picture')];
          const parts = ['.advice', '.misses', '.warning', '.meant'];
          const first = part => pictures.find(one => one.querySelector(part));
          const kept = new Set([pictures[0], ...parts.map(first)]);
          for (const one of pictures) {
            if (!kept.has(one)) one.remove();
            else if (one !== pictures[0]) one.querySelector('.measurements').remove();
          }
        }"""
    )


@pytest.mark.parametrize("page_file", DIFFERENT_PAGES, indirect=True)
def test_everybody_can_use_it(opened):
    # The policy allows only the page's own script; the checker's own enters past it.
    page, _, _ = opened(bypass_csp=True)
    only_different_parts(page)
    looks = [("screen", width, scheme) for width in WIDTHS for scheme in SCHEMES]
    for media, width, scheme in [*looks, ("print", 834, "light")]:
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=scheme, media=media)
        result = Axe().run(page)
        assert result.response["passes"]
        found = result.response["violations"]
        assert found == [], (media, width, scheme, result.generate_report())


@pytest.mark.parametrize("page_file", [PAGE_FILE], indirect=True)  # the summary has no script
def test_all_words_are_there_without_scripts(open_page):
    texts = []
    for scripts in (True, False):
        page, _, _ = open_page(java_script_enabled=scripts)
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        page.evaluate("document.getElementById('find')?.remove()")
        texts.append(page.inner_text("body"))
    assert len(texts[0]) > 100
    assert texts[0] == texts[1]


def printed(page):
    data = page.pdf(format="A4", print_background=True, prefer_css_page_size=True)
    return pypdf.PdfReader(io.BytesIO(data))


def words_of(text):
    """The words, however the lines are broken."""
    plain = unicodedata.normalize("NFKC", text)  # a font may have one letter for "fi"
    return "".join(plain.split()).replace("-", "").replace("\u2010", "")


@pytest.mark.parametrize("page_file", DIFFERENT_PAGES, indirect=True)
def test_what_the_screen_says_is_printed(opened):
    page, _, _ = opened()
    said = page.evaluate(
        """[...document.querySelectorAll(
             '.headline, .attention li, .critique li, .misses li, .plan td, .plan tbody th, '
             + '.advice p, .warning, .outliers li, .rules li, main > .statements li, '
             + '.planned-shots li, .groups li, .charts h3, dd'
           )].filter(one => !one.closest('.measurements, .reading-figures'))
             .map(one => one.textContent)"""
    )
    assert said
    paper = words_of("".join(one.extract_text() for one in printed(page).pages))
    lost = [one for one in said if words_of(one) not in paper and not is_split(one, paper)]
    assert lost == []


def is_split(text, paper):
    """Whether a text begins at the foot of a page or column and goes on in the next."""
    words = words_of(text)
    return any(words[:place] in paper and words[place:] in paper for place in range(len(words)))


@pytest.mark.parametrize("page_file", [PAGE_FILE], indirect=True)
@pytest.mark.parametrize("kind", SETS_OF_SEVERAL, indirect=True)
def test_one_picture_a_page_when_asked(opened):
    page, _, _ = opened()
    names = page.evaluate("[...document.querySelectorAll('.picture h3 bdi')].map(b => b.innerText)")
    page.locator("#one-a-page").check()
    pages = [words_of(one.extract_text()) for one in printed(page).pages]
    starts = [
        next(place for place, text in enumerate(pages) if text.startswith(words_of(f"{n}{name}")))
        if n > 1
        else None
        for n, name in enumerate(names, start=1)
    ]
    found = [place for place in starts if place is not None]
    assert found == sorted(set(found))
    assert len(found) == len(names) - 1


@pytest.mark.parametrize("n", [1, 12, 167])
def test_a_summary_is_one_page_of_paper(browser, n, tmp_path):
    long = "a shot with a long name that goes on for a while, longer than a line can be"
    record = audit(with_plan=False, images=[measured(f"plate {place}.jpg") for place in range(n)])
    shots = [
        {"name": f"{long} {place}", "files": [f"plate {place}.jpg"] * (place < 20), "missing": True}
        for place in range(40)
    ]
    record = type(record).model_validate(
        record.model_dump() | {"shots": shots, "title": long.capitalize() * 2}
    )
    # One picture of 600 by 400 pixels for all.
    first = make_previews(record.model_copy(update={"images": record.images[:1]}), tmp_path)
    previews = dict.fromkeys((one.file for one in record.images), *first.values())
    (tmp_path / SUMMARY_FILE).write_text(render_summary(record, previews), encoding="utf-8")
    page = browser.new_page()
    page.goto((tmp_path / SUMMARY_FILE).as_uri())
    (sheet,) = printed(page).pages
    size = [round(float(one) * MILLIMETRES_PER_POINT) for one in sheet.mediabox[2:]]
    assert size == [210, 297]
    assert "Stilltodo" in words_of(sheet.extract_text())
    page.close()
