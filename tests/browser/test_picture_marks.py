"""Words over pictures in a real browser, and what is pressed with a finger."""

import numpy as np
import pytest

from auditor.output.report_folder import PAGE_FILE
from auditor.page.html import render_page
from auditor.record.plan_records import MatchRecord, PicturePlanRecord
from tests.browser.conftest import CHROMIUM, WIDE
from tests.records import audit, item, items, make_previews, measured, mixed_light

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")

N_PICTURES = 6
NARROW = {"width": 390, "height": 844}
MIDDLE = {"width": 800, "height": 900}
NAMES = (
    "honey jar",
    "wooden serving board with rosemary and salt",
    "WWWWWWWWWWWW",
    "蜜柑の小さな鉢と茶碗",
    "linen napkin",
    "second bowl of clementines",
    "MINT",
    "a",
    "half orange",
    "tea bowl behind the cakes",
    "spoon",
    "שקדים",
)
LAYERS_ON = "document.querySelectorAll('.layers input').forEach(i => { i.checked = true })"
MEASURE = """[...document.querySelectorAll('.reading svg.marks')].map(svg => ({
  frame: box(svg),
  words: [...svg.querySelectorAll('text')].map(t => [t.textContent, ...box(t)])
    .filter(([, , , width]) => width > 0)}));
function box(e) { const r = e.getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; }"""


def twelve(seed):
    """A picture with a dozen planned things of every kind of name, found anywhere."""
    rng = np.random.default_rng(seed)
    planned = []
    for number, name in enumerate(NAMES):
        x, y = rng.uniform(0, 0.9, 2)
        one = item(
            *("supporting", [x, y], [x, y], 0.0, 0.1, "fraction of diagonal", "met"), element=name
        )
        match = MatchRecord(bbox=(x, y, x + 0.1, y + 0.1), element=None, seen_as="outline")
        # Every third was not found: its name stands where it was planned.
        planned.append(one if number % 3 == 0 else one.model_copy(update={"match": match}))
    plan = PicturePlanRecord(shot="s", items=[*items(), *planned])
    return measured(f"{seed}.jpg", plan=plan, colour_temperature=mixed_light(["01", "01"]))


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    directory = tmp_path_factory.mktemp("marks")
    record = audit(images=[twelve(seed) for seed in range(N_PICTURES)])
    text = render_page(record, make_previews(record, directory))
    (directory / PAGE_FILE).write_text(text, encoding="utf-8")
    return directory / PAGE_FILE


@pytest.mark.parametrize("viewport", [WIDE, MIDDLE, NARROW], ids=["wide", "middle", "narrow"])
def test_no_two_words_meet_and_none_leaves_its_picture(open_page, viewport):
    page, _, _ = open_page(viewport=viewport)
    page.evaluate(LAYERS_ON)
    drawings = page.evaluate(f"(() => {{ return {MEASURE} }})()")
    assert len(drawings) == N_PICTURES
    for drawing in drawings:
        left, top, width, height = drawing["frame"]
        words = drawing["words"]
        # The subject, a dozen things, the honey jar of the plan, and two colours of light.
        assert len(words) >= 15
        for text, x, y, w, h in words:
            assert x >= left - 0.5, text
            assert y >= top - 0.5, text
            assert x + w <= left + width + 0.5, text
            assert y + h <= top + height + 0.5, text
        for n, (text, x, y, w, h) in enumerate(words):
            for other, x2, y2, w2, h2 in words[:n]:
                apart = x >= x2 + w2 or x2 >= x + w or y >= y2 + h2 or y2 >= y + h
                assert apart, (text, other)


@pytest.mark.parametrize("viewport", [WIDE, MIDDLE, NARROW], ids=["wide", "middle", "narrow"])
def test_words_are_large_enough_to_read(open_page, viewport):
    page, _, _ = open_page(viewport=viewport)
    drawings = page.evaluate(f"(() => {{ return {MEASURE} }})()")
    for drawing in drawings:
        assert min(word[4] for word in drawing["words"]) >= 11  # px, of the line


def test_a_number_in_the_picture_has_its_name_under_it(open_page):
    for viewport in (WIDE, NARROW):
        page, _, _ = open_page(viewport=viewport)
        drawn = page.evaluate(
            """[...document.querySelectorAll('#picture-1 .reading')].map(r => [
                 [...r.querySelectorAll('text')].filter(t => t.getBoundingClientRect().width)
                   .map(t => t.textContent).filter(t => /^[0-9]+$/.test(t)),
                 [...r.querySelectorAll('.names b')].filter(b => b.getBoundingClientRect().width)
                   .map(b => b.textContent)])[0]"""
        )
        numbers, key = drawn
        assert sorted(numbers) == sorted(key)
        assert key  # the longest name never fits


def test_what_is_pressed_with_a_finger_is_high_enough(open_page):
    page, _, _ = open_page(viewport=NARROW, has_touch=True)
    small = page.evaluate(
        """[...document.querySelectorAll('nav a, main a, main label, main summary, main input')]
          .filter(e => e.getClientRects().length && !e.closest('label:not(:scope)')
            || e.tagName == 'LABEL')
          .filter(e => e.getBoundingClientRect().height < 44)
          // Exempt (WCAG 2.2, 2.5.8): a link in a sentence, whose line sets its height.
          .filter(e => !(e.tagName == 'A' && getComputedStyle(e).display == 'inline'
            && e.parentElement.textContent.trim() != e.textContent.trim()))
          .map(e => [e.tagName, e.textContent.trim().slice(0, 40),
            e.getBoundingClientRect().height])"""
    )
    assert small == []
    # An input is pressed by its whole label.
    assert page.locator("main input").count() == page.locator("main label input").count() > 0
