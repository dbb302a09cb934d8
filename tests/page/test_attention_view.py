"""What to do on the page, planned shots with their verdicts, and the pages of small sets."""

import pytest

from auditor.page.attention_view import LEAST_LATE, MOST_SHOWN, attention_view
from auditor.page.html import render_page
from auditor.page.links import link_pictures
from auditor.page.set_view import set_view
from auditor.page.shots_view import shot_views
from auditor.record.audit_record import ShotRecord
from auditor.record.kind_record import KindRecord
from tests.page.test_page import Elements
from tests.records import NAMES, audit, finding, make_previews, measured, set_rules


def view_of(record, previews=None):
    return attention_view(record, link_pictures(record.images), previews or {})


def entries_of(record, previews=None):
    return [entry for group in view_of(record, previews).groups for entry in group.entries]


def test_entries_are_those_of_the_record_in_its_order(tmp_path):
    record = audit()
    entries = entries_of(record, make_previews(record, tmp_path))
    assert [entry.to_do for entry in entries] == [tuple(one.to_do) for one in record.attention]
    assert [entry.link.name if entry.link else None for entry in entries] == [
        one.file for one in record.attention
    ]
    pictured = [entry for entry in entries if entry.link and entry.link.name in NAMES]
    assert len(pictured) >= 3
    assert all(entry.source is not None for entry in pictured)
    (absent,) = (entry for entry in entries if entry.is_absent)
    assert absent.title == "tea from above"
    planned = next(entry for entry in entries if entry.link and entry.link.name == NAMES[0])
    assert (planned.shot, planned.tallies[0].n) == ("kettle & <clementines>", 3)
    assert planned.others[0].link.number == 2  # the picture that is nearly the same


def many(n):
    return audit(
        images=[measured(f"{number}.jpg") for number in range(n)],
        findings=[
            finding("set_outlier", f"{number}.jpg", quantity="colour_temperature").model_copy(
                update={"rank": number + 1}
            )
            for number in range(n)
        ],
        series=several_outliers(n),
    )


def several_outliers(n):
    series = audit(images=[measured(f"{number}.jpg") for number in range(n)]).series
    quantity = series.quantities[0]
    outliers = [
        quantity.outliers[0].model_copy(update={"file": f"{number}.jpg"}) for number in range(n)
    ]
    quantities = [quantity.model_copy(update={"outliers": outliers}), *series.quantities[1:]]
    return series.model_copy(update={"quantities": quantities})


def test_more_than_a_wall_waits_until_it_is_asked_for():
    view = view_of(many(MOST_SHOWN + LEAST_LATE))
    assert view.n_late == LEAST_LATE
    (group,) = view.groups
    assert [entry.is_late for entry in group.entries] == [False] * MOST_SHOWN + [True] * LEAST_LATE
    assert not group.is_late
    text = render_page(many(MOST_SHOWN + LEAST_LATE), {})
    assert f"Show {LEAST_LATE} more" in text
    assert 'id="show-late"' in text
    assert 'id="show-late"' not in render_page(many(MOST_SHOWN + LEAST_LATE - 1), {})


def test_what_all_pictures_need_names_none_of_them():
    record = audit(refused=False)
    files = [picture.file for picture in record.images]
    for named, title, n_shown in ((files, f"All {len(files)} pictures", 0), (files[1:], "", 3)):
        often = finding("often_missed", *named, quantity="light")
        (entry,) = entries_of(audit(refused=False, findings=[often]))
        assert entry.title == (title or f"{len(named)} pictures")
        assert len(entry.others) == n_shown


def test_shots_carry_the_verdicts_of_their_pictures(tmp_path):
    record = audit()
    found, missing = shot_views(
        record, link_pictures(record.images), make_previews(record, tmp_path)
    )
    assert [[(one.n, one.word) for one in picture.tallies] for picture in found.pictures] == [
        [(3, "met"), (1, "close"), (9, "missed"), (1, "undecided")]
    ] * 2
    assert all(picture.source is not None for picture in found.pictures)
    assert (missing.missing, missing.pictures) == (True, ())


def test_a_picture_alone_is_neither_a_sheet_nor_a_set():
    record = audit(with_plan=False, refused=False, images=[measured("tart.jpg")])
    elements = Elements(render_page(record, {}))
    ids = elements.values("id")
    assert "contact" not in ids
    assert "set" not in ids
    assert not [a for a in elements.values("href") if a in {"#contact", "#set"}]
    assert "The picture" in elements.text
    assert "Picture by picture" not in elements.text
    assert "All 1 pictures" not in elements.text
    assert next(iter(elements.texts)).strip() == "" or elements.text.startswith("tart.jpg: audit")


def test_a_rule_for_the_set_is_shown_with_one_picture_too():
    record = audit(images=[measured("tart.jpg")], set_rules=set_rules()[:1], refused=False)
    assert "set" in Elements(render_page(record, {})).values("id")


@pytest.mark.parametrize("n", [2, 3])
def test_two_or_three_pictures_stand_side_by_side_without_charts(n):
    record = audit(with_plan=False, images=[measured(f"{number}.jpg") for number in range(n)])
    view = set_view(record, link_pictures(record.images))
    assert view.quantities == ()
    assert [row.title for row in view.side_by_side.rows] == ["Colour temperature", "Light"]
    assert view.side_by_side.rows[1].values[0] == "9:30"
    text = Elements(render_page(record, {})).text
    assert "Median" not in text
    assert "spread" not in text.split("How to read this", 2)[1].split("The picture")[0]


def test_four_pictures_have_charts():
    record = audit(with_plan=False)
    view = set_view(record, link_pictures(record.images))
    assert view.side_by_side is None
    assert [chart.title for chart in view.quantities] == ["Colour temperature", "Light"]


def test_single_pictures_have_a_contact_sheet_and_no_set():
    record = audit(with_plan=False, kind=KindRecord(kind="single", is_given=True))
    ids = Elements(render_page(record, {})).values("id")
    assert "contact" in ids
    assert "set" not in ids


def test_a_shot_of_a_picture_that_could_not_be_measured_has_no_verdict():
    shot = ShotRecord(name="tea", files=["e/empty.jpg"], missing=False)
    record = audit(shots=[shot])
    (view,) = shot_views(record, link_pictures(record.images), {})
    assert view.pictures[0].tallies == ()
