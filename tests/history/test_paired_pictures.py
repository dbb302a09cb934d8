"""Which picture of one audit is which of another."""

from auditor.history.paired_pictures import pair_pictures
from auditor.record.base import ReasonRecord
from auditor.record.picture_record import RefusedPictureRecord
from tests.records import audit, measured


def record(*images):
    return audit(images=list(images), refused=False, with_plan=False)


def picture(file, content):
    return measured(file, sha256=f"{content:064x}")


def refused(file):
    reason = ReasonRecord(code="empty_file", message="The file is empty.")
    return RefusedPictureRecord(file=file, status="refused", reason=reason)


def names(found):
    return (
        [(pair.before.file, pair.after.file) for pair in found.pairs],
        [one.file for one in found.added],
        [one.file for one in found.removed],
    )


def test_the_same_bytes_are_the_same_picture_whatever_its_name():
    found = pair_pictures(record(picture("a", 1), picture("b", 2)), record(picture("c", 1)))
    assert names(found) == ([("a", "c")], [], ["b"])
    assert found.pairs[0].is_renamed
    assert not found.pairs[0].is_replaced


def test_another_file_under_the_same_name_replaces_the_picture():
    found = pair_pictures(record(picture("a", 1)), record(picture("a", 2), picture("b", 3)))
    assert names(found) == ([("a", "a")], ["b"], [])
    assert found.pairs[0].is_replaced


def test_two_pictures_that_exchanged_their_names_are_renamed_and_not_replaced():
    found = pair_pictures(
        record(picture("a", 1), picture("b", 2)), record(picture("a", 2), picture("b", 1))
    )
    assert names(found)[0] == [("b", "a"), ("a", "b")]
    assert not any(pair.is_replaced for pair in found.pairs)


def test_of_copies_of_one_file_each_has_its_own():
    found = pair_pictures(
        record(picture("a", 1), picture("b", 1)), record(picture("b", 1), picture("c", 1))
    )
    assert names(found) == ([("b", "b"), ("a", "c")], [], [])


def test_a_picture_that_can_be_measured_now_counts_as_replaced():
    found = pair_pictures(record(refused("a"), picture("z", 9)), record(picture("a", 1)))
    assert names(found) == ([("a", "a")], [], ["z"])
    assert found.pairs[0].is_replaced


def test_refused_pictures_are_paired_by_name_alone():
    found = pair_pictures(
        record(refused("a"), refused("b"), picture("z", 9)), record(refused("b"), picture("z", 9))
    )
    assert names(found) == ([("b", "b"), ("z", "z")], [], ["a"])
