"""The rules of a hand-over on the page: what cannot be checked stands together, by its reason."""

from auditor.page.delivery_view import delivery_view
from auditor.page.links import link_pictures
from auditor.record.delivery_record import DeliveryRecord
from tests.records import NAMES, audit


def rule(name, verdict, file=None, reason=None, asked="none", files=()):
    return DeliveryRecord(
        rule=name,
        channel=None,
        file=file,
        files=list(files),
        verdict=verdict,
        asked=asked,
        found=None,
        unit="",
        reason=reason,
        message="",
    )


def view_of(*rules):
    record = audit(delivery=list(rules))
    return delivery_view(record, link_pictures(record.images))


def test_rules_that_cannot_be_checked_stand_together_by_reason():
    view = view_of(
        rule("number_gaps", "undecided", reason="no_numbers"),
        rule("number_doubles", "undecided", reason="no_numbers"),
        rule("files", "undecided", reason="no_pictures"),
        rule("border", "undecided", file=NAMES[0], reason="no_pictures"),
    )
    assert view.n_of["undecided"] == 4
    assert [one.titles for one in view.rules] == [
        ("No gap in the numbers", "No number twice"),
        ("Pictures: none",),
        ("No border",),
    ]


def test_what_all_pictures_break_names_none_of_them():
    files = [picture.file for picture in audit().images]
    broken = [rule("caption", "missed", file=file, reason="missing") for file in files]
    (line,) = view_of(*broken).rules[0].broken
    assert line.is_of_all
    (line,) = view_of(*broken[1:]).rules[0].broken
    assert (line.is_of_all, len(line.links)) == (False, len(files) - 1)
