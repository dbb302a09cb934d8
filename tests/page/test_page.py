"""The page as text: what it holds, what it must not hold, whatever the files are called."""

import re
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

import pytest
from pydantic import ValidationError

from auditor.output.report_folder import PAGE_FILE
from auditor.page.html import render_page
from auditor.record.base import (
    ReasonRecord,
)
from auditor.record.picture_record import (
    RefusedPictureRecord,
)
from auditor.record.plan_records import ItemRecord
from tests.records import HOSTILE, NAMES, audit, finding, items, make_previews, measured

PLANNED_COLOUR = {
    "planned": "#e08a1e",
    "found": True,
    "nearest": "#e08a20",
    "name": "peru",
    "difference": 1.0,
    "share": 0.2,
}


class Elements(HTMLParser):
    """All elements with their attributes, and the text outside of style sheet and script."""

    def __init__(self, text):
        super().__init__()
        self.found = []
        self.texts = []
        self.open = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))
        self.open.append(tag)

    def handle_endtag(self, tag):
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data):
        if not {"style", "script"} & set(self.open):
            self.texts.append(data)

    def values(self, *names):
        return [a[name] for _, a in self.found for name in names if a.get(name)]

    @property
    def text(self):
        return " ".join(" ".join(self.texts).split())


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    directory = tmp_path_factory.mktemp("report")
    record = audit()
    text = render_page(record, make_previews(record, directory))
    (directory / PAGE_FILE).write_text(text, encoding="utf-8")
    return directory, Elements((directory / PAGE_FILE).read_text(encoding="utf-8"))


def test_nothing_runs_and_nothing_is_fetched(page):
    directory, elements = page
    text = (directory / PAGE_FILE).read_text(encoding="utf-8")
    tags = {tag for tag, _ in elements.found}
    assert not tags & {"script", "iframe", "object", "embed", "base", "form"}
    assert not [name for _, a in elements.found for name in a if name.startswith("on")]
    for address in elements.values("src", "href"):
        assert urlsplit(address).scheme in {"", "data"}
        assert not address.startswith("//")
    assert "url(" not in re.sub(r"url\(#\w+\)", "", text)
    assert "@import" not in text
    policy = next(a["content"] for tag, a in elements.found if a.get("http-equiv"))
    assert policy.startswith("default-src 'none'")
    assert "script-src" not in policy


def test_every_picture_that_is_shown_lies_beside_the_page(page):
    directory, elements = page
    sources = elements.values("src")
    assert sources
    for source in sources:
        assert (directory / unquote(source)).is_file()
    # Every picture has its room before it is loaded: its size, or the ratio of its figure.
    ratio = ""
    for tag, attributes in elements.found:
        if tag == "figure":
            ratio = attributes.get("style", "")
        if tag == "img":
            if "width" not in attributes:
                assert re.fullmatch(r"--ratio: \d\.\d{4}", ratio)
            else:
                assert int(attributes["width"]) > 0
                assert int(attributes["height"]) > 0
            assert attributes["loading"] == "lazy"
            assert "alt" in attributes


def test_links_within_the_page_lead_somewhere_and_names_are_unique(page):
    _, elements = page
    ids = elements.values("id")
    assert len(ids) == len(set(ids))
    for address in elements.values("href"):
        if address.startswith("#"):
            assert address[1:] in ids


def test_hostile_names_are_shown_and_do_nothing(page):
    directory, elements = page
    assert HOSTILE in elements.text
    assert "<clementines>" in elements.text
    assert ("clementines", {}) not in elements.found
    for file in (directory / "pictures").iterdir():
        assert re.fullmatch(r"\d{4}-[a-z0-9-]+\.jpg", file.name)


def test_folders_above_the_set_stay_private(page):
    directory, elements = page
    text = (directory / PAGE_FILE).read_text(encoding="utf-8")
    assert "somebody" not in text
    assert "Client Name" not in text
    assert elements.text.startswith("teahouse: audit")
    assert "plan: winter.toml" in elements.text


def test_the_set_at_a_glance(page):
    _, elements = page
    assert (
        "1 of 2 planned shots is there; of 28 planned items, 6 met, 2 close, 18 missed and "
        "2 undecided." in elements.text
    )
    assert "1 picture leaves the set, in colour temperature." in elements.text


def test_attention_comes_in_the_order_of_its_weight(page):
    _, elements = page
    sentences = [
        "The file contains the place where it was taken (GPS).",
        "The file is empty.",
        "No picture was found for “tea from above”.",
        "The light is about four and a half hours of the clock dial too far round",
    ]
    places = [elements.text.index(sentence) for sentence in sentences]
    assert places == sorted(places)
    assert "Warmer than the rest of the set (57 mired)." in elements.text
    assert f"Nearly the same picture as 2, {HOSTILE}." in elements.text


def test_pictures_come_in_the_order_of_the_record(page):
    _, elements = page
    articles = [a["id"] for tag, a in elements.found if tag == "article"]
    assert articles == ["picture-1", "picture-2", "picture-3", "picture-4"]


def test_a_verdict_is_a_word_and_a_shape(page):
    _, elements = page
    shapes = {a["href"] for tag, a in elements.found if tag == "use"}
    assert shapes == {"#shape-met", "#shape-close", "#shape-missed", "#shape-undecided"}
    for word in ("met", "close", "missed", "undecided"):
        assert word in elements.text


def test_a_finding_of_many_pictures_links_them_all():
    files = [f"{n}.jpg" for n in range(6)]
    often = finding("often_missed", *files[:5], quantity="camera_elevation")
    record = audit(images=[measured(file) for file in files], findings=[often])
    text = Elements(render_page(record, {})).text
    assert "Camera angle in 5 pictures, worst first. 1 2 3 4 5" in text


def test_without_a_plan_the_page_is_still_sensible(tmp_path):
    record = audit(with_plan=False, refused=False)
    elements = Elements(render_page(record, make_previews(record, tmp_path)))
    assert "No plan was given, so the pictures are compared with each other only." in elements.text
    assert "Against the plan" not in elements.text
    assert "Planned shots" not in elements.text
    assert "Could not be measured" not in elements.text
    assert "All measurements" in elements.text


def test_a_set_of_refused_pictures_only():
    reason = ReasonRecord(code="damaged", message="The data are damaged.")
    record = audit(
        images=[RefusedPictureRecord(file=name, status="refused", reason=reason) for name in NAMES]
    )
    elements = Elements(render_page(record, {}))
    assert elements.text.count("The data are damaged.") == 8
    assert "0 pictures measured · 4 could not be measured" in elements.text


def test_a_picture_without_a_preview_is_described():
    elements = Elements(render_page(audit(), {}))
    assert not [tag for tag, _ in elements.found if tag == "img"]
    assert (
        "The camera looks from lower than planned: three-quarter (46°); high (70°) was planned."
        in elements.text
    )


def test_a_colour_that_is_no_colour_is_no_record():
    tricky = items()[10].model_dump() | {"colours": [dict(PLANNED_COLOUR, planned="red;x")]}
    with pytest.raises(ValidationError, match="planned"):
        ItemRecord.model_validate(tricky)
    assert ItemRecord.model_validate(tricky | {"colours": [PLANNED_COLOUR]})


def test_the_same_record_makes_the_same_page():
    assert render_page(audit(), {}) == render_page(audit(), {})


def test_a_name_that_is_no_unicode_does_not_stop_the_page(tmp_path):
    name = "caf\udce9.jpg"
    record = audit(images=[measured(name)])
    assert "caf?.jpg" in render_page(record, make_previews(record, tmp_path))


def test_what_is_about_a_file_stands_beside_its_picture_too(page):
    _, elements = page
    located = "The file contains the place where it was taken (GPS)."
    assert elements.text.count(located) == 2  # among the findings and beside the picture
