"""Finding and ordering pictures in a real browser, with and without the page's script."""

import pytest

from auditor.output.report_folder import PAGE_FILE
from auditor.page.html import render_page
from auditor.record.by_picture import with_attention
from auditor.record.plan_records import PicturePlanRecord
from tests.browser.conftest import CHROMIUM
from tests.records import CAMERA, audit, finding, item, measured

N = 45  # enough for a long page, of which only the pictures in sight are drawn
MISSED, SOFT = "07-plate.jpg", "31-tea.jpg"

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium is installed here")


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    directory = tmp_path_factory.mktemp("report")
    verdicts = {7: "missed", 8: "close"}
    images = []
    for place in range(N):
        own = item("camera_elevation", 45.0, 46.0, 1.0, 5.0, "deg", verdicts.get(place, "met"))
        images.append(
            measured(
                f"{place:02d}-{'tea' if place % 2 else 'cake'}.jpg" if place != 7 else MISSED,
                plan=PicturePlanRecord(shot="tea by the wall" if place == 4 else "", items=[own]),
                camera=CAMERA.model_copy(update={"taken": f"2026-11-25T09:{59 - place}:00"}),
            )
        )
    record = audit(images=images, shots=[]).model_copy(
        update={"findings": [finding("motion_blur", SOFT), finding("missed", MISSED)]}
    )
    findings = [
        one.model_copy(update={"message": "A sentence.", "quantity": "colour_temperature"})
        for one in record.findings
    ]
    record = with_attention(record.model_copy(update={"findings": findings}))
    text = render_page(record, {})
    (directory / PAGE_FILE).write_text(text, encoding="utf-8")
    return directory / PAGE_FILE


def shown(page, part):
    """Numbers of the pictures that are shown, in the order in which they are seen."""
    return page.evaluate(
        """part => {
          const all = part === 'contact'
            ? [...document.querySelectorAll('.contact > li')]
                .sort((a, b) => (a.style.order || 0) - (b.style.order || 0))
            : [...document.querySelectorAll('.picture')];
          return all.filter(one => !one.hidden)
            .map(one => Number(one.querySelector('.number').textContent));
        }""",
        part,
    )


def settle(page):
    """Let the steps that follow a change come to their end."""
    page.evaluate("dispatchEvent(new Event('beforeprint'))")


@pytest.fixture
def opened(open_page):
    page, _, complaints = open_page()
    yield page
    assert complaints == []


def test_the_script_runs_and_says_how_many_are_shown(opened):
    assert opened.locator("#find").is_visible()
    status = opened.locator("#find-status")
    assert status.inner_text() == f"{N} pictures"
    assert status.get_attribute("role") == "status"


@pytest.mark.parametrize(
    ("control", "value", "found"),
    [
        ("text", "  TEA 3", [4, 14, 24, 32, 34, 36, 38, 40, 44]),
        ("text", "tea wall", [5]),
        ("text", "no such picture", []),
        ("verdict", "missed", [8]),
        ("verdict", "close", [9]),
        ("kind", "kind-0", [32]),
        ("kind", "kind-1", [8]),
    ],
)
def test_pictures_are_found(opened, control, value, found):
    field = opened.locator(f"#find-{control}")
    if control == "text":
        field.press_sequentially(value)
    else:
        field.select_option(value)
    settle(opened)
    assert shown(opened, "contact") == shown(opened, "pictures") == found
    assert opened.locator("#find-status").inner_text() == f"{len(found)} of {N} pictures shown"
    opened.locator("#find-clear").press("Enter")
    settle(opened)
    assert shown(opened, "contact") == shown(opened, "pictures") == list(range(1, N + 1))
    assert opened.evaluate("document.activeElement.id") == "find-text"
    assert opened.locator("#find-clear").is_disabled()


def test_choices_are_joined(opened):
    opened.locator("#find-text").fill("tea")
    opened.locator("#find-verdict").select_option("met")
    settle(opened)
    expected = [n for n in range(2, N + 1, 2) if n != 8]
    assert sorted([*expected, 5]) == shown(opened, "contact")


def test_orders_change_what_is_seen_and_then_what_is_read(opened):
    order = opened.locator("#find-order")
    order.select_option("taken")
    assert shown(opened, "contact") == list(range(N, 0, -1))
    order.select_option("gravity")  # before the first is done
    settle(opened)
    others = [n for n in range(1, N + 1) if n not in {8, 32}]
    assert shown(opened, "contact") == shown(opened, "pictures") == [32, 8, *others]
    in_page = "[...document.querySelectorAll('.contact > li .number')].map(n => +n.textContent)"
    assert opened.evaluate(in_page) == [32, 8, *others]
    order.select_option("set")
    settle(opened)
    assert shown(opened, "pictures") == opened.evaluate(in_page) == list(range(1, N + 1))


def test_the_parts_of_pictures_follow_by_themselves(opened):
    opened.locator("#find-verdict").select_option("missed")
    opened.locator("#find-order").select_option("taken")
    for _ in range(200):
        if shown(opened, "pictures") == [8]:
            return
        opened.wait_for_timeout(25)
    raise AssertionError(shown(opened, "pictures"))


def test_a_link_to_a_hidden_picture_shows_it(opened):
    opened.locator("#find-text").fill("cake")
    settle(opened)
    link = opened.locator(f'#glance a[href="#picture-{int(SOFT[:2]) + 1}"]').first
    link.click()
    assert opened.locator("#picture-32").is_visible()
    assert opened.locator("#find-status").inner_text() == f"{N} pictures"


def test_the_keyboard_reaches_every_control(opened):
    opened.locator("#find-text").focus()
    reached = []
    for _ in range(4):
        reached.append(opened.evaluate("document.activeElement.id"))
        opened.keyboard.press("Tab")
    assert reached == ["find-text", "find-verdict", "find-kind", "find-order"]


def test_without_scripts_there_are_no_controls_and_all_pictures(open_page):
    page, _, _ = open_page(java_script_enabled=False)
    assert not page.locator("#find").is_visible()
    assert page.locator(".contact > li:visible").count() == N
    assert page.locator(".picture:visible").count() == N


def test_only_the_pages_own_script_runs(page_file, open_page, tmp_path):
    changed = page_file.read_text(encoding="utf-8").replace('"use strict";', '"use strict"; ', 1)
    (tmp_path / "changed.html").write_text(changed, encoding="utf-8")
    page, _, complaints = open_page()
    assert complaints == []
    page.goto((tmp_path / "changed.html").as_uri())
    assert not page.locator("#find").is_visible()
    assert "Content Security Policy" in complaints[0]
