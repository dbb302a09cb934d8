"""The summary for a client as text: which pictures it shows, and what it must not say."""

from pathlib import Path

import pytest

from auditor.output.previews import Preview, preview_name
from auditor.page.html import render_summary
from auditor.page.summary_view import MOST_PICTURES, chosen_files, summary_view
from auditor.record.audit_record import ShotRecord
from auditor.record.plan_records import PicturePlanRecord, RankRecord
from tests.page.test_page import Elements
from tests.records import HOSTILE, audit, measured


def previews_of(record):
    return {
        picture.file: Preview(preview_name(n, picture.file), f"{n:04d}-small.jpg", 600, 400)
        for n, picture in enumerate(record.images, start=1)
    }


def of_shot(file, shot, place=None):
    rank = None if place is None else RankRecord(place=place, n_pictures=2)
    return measured(file, plan=PicturePlanRecord(shot=shot, items=[], rank=rank))


@pytest.mark.parametrize("n", [1, MOST_PICTURES, MOST_PICTURES + 1, 167])
def test_at_most_one_sheet_of_pictures_evenly_over_the_set(n):
    record = audit(images=[measured(f"{place:03d}.jpg") for place in range(n)], with_plan=False)
    view = summary_view(record, previews_of(record))
    numbers = [picture.number for picture in view.pictures]
    assert len(numbers) == len(set(numbers)) == min(n, MOST_PICTURES)
    assert numbers == sorted(numbers)
    assert bool(view.shown) == (n > MOST_PICTURES)
    assert numbers[-1] > n - 1 - n / MOST_PICTURES
    large = {preview.file for preview in previews_of(record).values()}
    assert {Path(picture.address).name in large for picture in view.pictures} == {n == 1}


def test_each_shot_is_shown_by_the_picture_that_keeps_its_plan_best():
    images = [of_shot("000.jpg", "a", 2), of_shot("001.jpg", "a", 1), of_shot("002.jpg", "b")]
    images += [measured(f"{place:03d}.jpg") for place in range(3, 100)]
    shots = [ShotRecord(name=name, files=[], missing=False) for name in ("b", "a", "c")]
    chosen = chosen_files(images, audit(images=images, shots=shots))
    assert chosen[:2] == ("002.jpg", "001.jpg")
    assert len(set(chosen)) == MOST_PICTURES


def test_nothing_private_and_nothing_technical_is_said():
    record = audit()
    located = (
        audit()
        .images[3]
        .model_copy(
            update={"camera": audit().images[3].camera.model_copy(update={"has_gps": True})}
        )
    )
    record = record.model_copy(update={"images": [*record.images[:3], located, record.images[4]]})
    text = render_summary(record, previews_of(record))
    said = Elements(text).text
    for word in ("GPS", "somebody", "Client Name", "winter.toml", "Maker", "Body 1", "mired", "ΔE"):
        assert word not in said
        assert word not in text.split("</style>")[1]
    assert "Replace 1 file that could not be opened." in said


def test_foreign_text_is_escaped_and_nothing_runs():
    record = audit(title=HOSTILE, images=[measured(HOSTILE), measured("a.jpg")])
    text = render_summary(record, previews_of(record))
    elements = Elements(text)
    assert "script" not in {tag for tag, _ in elements.found}
    assert "default-src 'none'" in text
    assert HOSTILE.rpartition("/")[2] in elements.text


def test_the_same_record_makes_the_same_summary():
    record = audit()
    assert render_summary(record, {}) == render_summary(record, {})
