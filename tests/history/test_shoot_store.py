"""The file in which shoots are remembered."""

import sqlite3
import threading
import time
from contextlib import closing
from pathlib import Path

import pytest

from auditor.errors import ShootsUnreadableError
from auditor.history.shoot import shoot_of
from auditor.history.shoot_store import read_shoots, remember_shoot
from auditor.history.shoots_file import reading_from
from auditor.record.kind_record import KindRecord
from tests.history.invented_shoots import invented_shoot, rng_of
from tests.records import audit, measured

FOLDER = Path("/pictures/finals")


@pytest.fixture
def store(tmp_path):
    return tmp_path / "deep" / "shoots.sqlite"


@pytest.fixture
def shoot():
    return invented_shoot(rng_of(1), n_pictures=8, day="2026-03-01", title="Citrus")


def part(record, first, last):
    return record.model_copy(update={"images": record.images[first:last]})


def without_plan(record):
    images = [image.model_copy(update={"plan": None}) for image in record.images]
    return record.model_copy(update={"images": images})


def edited(record):
    """The same shoot after all its pictures were developed anew."""
    images = [
        image.model_copy(update={"sha256": f"{place:064x}"})
        for place, image in enumerate(record.images)
    ]
    return record.model_copy(update={"images": images})


def n_pictures(store):
    return [shoot.n_pictures for shoot in read_shoots(store)]


def test_what_was_remembered_is_read_back(store, shoot):
    assert remember_shoot(store, shoot, FOLDER)
    (found,) = read_shoots(store)
    assert found == shoot_of(shoot)
    assert found.intents


def test_shoots_come_in_the_order_of_their_days(store):
    for seed, day in enumerate(("2026-05-01", "2025-12-24", "2026-03-09")):
        record = invented_shoot(rng_of(seed), n_pictures=2, day=day)
        remember_shoot(store, record, FOLDER / day)
    assert [shoot.day for shoot in read_shoots(store)] == ["2025-12-24", "2026-03-09", "2026-05-01"]


def test_five_audits_of_one_shoot_are_one_and_the_latest_counts(store, shoot):
    for n in (4, 5, 6, 7, 8):
        assert remember_shoot(store, part(shoot, 0, n), FOLDER / str(n))
    assert n_pictures(store) == [8]


def test_half_of_the_pictures_make_it_the_same_shoot_and_less_do_not(store, shoot):
    remember_shoot(store, part(shoot, 0, 4), FOLDER / "a")
    remember_shoot(store, part(shoot, 2, 6), FOLDER / "b")
    assert n_pictures(store) == [4]
    remember_shoot(store, part(shoot, 5, 8), FOLDER / "c")
    assert sorted(n_pictures(store)) == [3, 4]


def test_a_small_part_of_a_shoot_does_not_take_its_place(store, shoot):
    remember_shoot(store, shoot, FOLDER)
    assert not remember_shoot(store, part(shoot, 0, 2), FOLDER / "two of them")
    assert n_pictures(store) == [8]


def test_several_shoots_together_do_not_take_their_places(store, shoot):
    other = invented_shoot(rng_of(2), n_pictures=8, day="2026-04-01", title="Peel")
    remember_shoot(store, shoot, FOLDER / "a")
    remember_shoot(store, other, FOLDER / "b")
    both = shoot.model_copy(update={"images": [*shoot.images, *other.images]})
    assert not remember_shoot(store, both, FOLDER)
    assert n_pictures(store) == [8, 8]


def with_shots(record):
    return record.model_copy(update={"shots": audit().shots})


def test_edited_pictures_of_the_same_folder_and_plan_are_the_same_shoot(store, shoot):
    remember_shoot(store, with_shots(shoot), FOLDER)
    remember_shoot(store, edited(with_shots(shoot)), FOLDER)
    assert n_pictures(store) == [8]
    remember_shoot(store, edited(edited(with_shots(shoot))), FOLDER / "elsewhere")
    assert n_pictures(store) == [8]  # by their bytes


def test_the_same_folder_and_plan_on_another_day_is_another_shoot(store):
    for seed, day in enumerate(("2026-03-01", "2026-04-01")):
        remember_shoot(store, with_shots(invented_shoot(rng_of(seed), day=day)), FOLDER)
    assert n_pictures(store) == [12, 12]


def test_an_audit_without_a_plan_is_remembered_but_never_in_place_of_one_with_a_plan(store, shoot):
    assert remember_shoot(store, without_plan(shoot), FOLDER)
    assert read_shoots(store)[0].intents == ()
    assert remember_shoot(store, shoot, FOLDER)
    assert not remember_shoot(store, without_plan(shoot), FOLDER)
    assert len(read_shoots(store)) == 1
    assert read_shoots(store)[0].intents


@pytest.mark.parametrize("kind", ["portfolio", "single"])
def test_a_portfolio_or_a_single_picture_without_a_plan_is_no_shoot(store, kind):
    record = audit(
        images=[measured()],
        with_plan=False,
        refused=False,
        kind=KindRecord(kind=kind, is_given=True),
    )
    assert not remember_shoot(store, record, FOLDER)
    assert not store.exists()


def test_nothing_is_kept_that_names_a_file_a_place_or_a_picture(store):
    record = audit(folder="/home/somebody/Client Name/teahouse", refused=False)
    remember_shoot(store, record, Path("/home/somebody/Client Name/teahouse"))
    content = store.read_bytes()
    for word in (b"Client", b"somebody", b"kettle", b".jpg", b"Maker", b"winter.toml"):
        assert word not in content
    assert not any(image.sha256.encode() in content for image in record.images)
    assert b"teahouse" in content  # the title, which the page shows


def test_a_title_that_is_no_valid_text_is_kept_as_far_as_it_is(store):
    record = audit(title="tea\ud800house", refused=False)
    remember_shoot(store, record, FOLDER)
    assert read_shoots(store)[0].title == "tea?house"


def test_nothing_remembered_is_no_shoots_and_makes_no_file(store):
    assert read_shoots(store) == ()
    assert not store.parent.exists()
    store.parent.mkdir()
    store.touch()
    assert read_shoots(store) == ()


def changed(store, statement):
    with closing(sqlite3.connect(store)) as connection, connection:
        connection.execute(statement)


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("PRAGMA user_version = 2", "format 2"),
        ("PRAGMA application_id = 7", "another program"),
        ("DROP TABLE intent", "no such table"),
        ("UPDATE intent SET met = -1", "negative"),
        ("UPDATE intent SET met = 'many'", "many"),
        ("UPDATE deviation SET n = 0", "no items"),
        ("UPDATE deviation SET mean = 9e999", "no number"),
        ("UPDATE deviation SET mean = 'left'", "no number"),
        ("UPDATE shoot SET n_pictures = 'x'", "x"),
    ],
)
def test_what_cannot_be_right_is_refused_with_its_reason(store, shoot, statement, words):
    remember_shoot(store, shoot, FOLDER)
    changed(store, statement)
    with pytest.raises(ShootsUnreadableError, match=words) as caught:
        read_shoots(store)
    assert "auditor forget --shoots" in str(caught.value)


def test_a_quantity_that_this_version_does_not_know_is_left_out(store, shoot):
    remember_shoot(store, shoot, FOLDER)
    before = read_shoots(store)[0].intents
    changed(store, "UPDATE intent SET quantity = 'steam' WHERE quantity = 'palette'")
    after = read_shoots(store)[0].intents
    assert {one.quantity for one in before} - {one.quantity for one in after} == {"palette"}


def test_the_file_of_another_program_is_left_as_it_is(store, shoot):
    store.parent.mkdir()
    changed(store, "CREATE TABLE recipes (name TEXT)")
    before = store.read_bytes()
    with pytest.raises(ShootsUnreadableError, match="another program"):
        remember_shoot(store, shoot, FOLDER)
    assert store.read_bytes() == before


def test_a_file_that_is_no_database_is_left_as_it_is(store, shoot):
    store.parent.mkdir()
    store.write_bytes(b"this is not a database" * 100)
    with pytest.raises(ShootsUnreadableError, match="not a database"):
        remember_shoot(store, shoot, FOLDER)
    assert store.read_bytes().startswith(b"this is not a database")


def test_a_place_that_cannot_be_made_is_said(tmp_path, shoot):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(ShootsUnreadableError):
        remember_shoot(tmp_path / "file" / "shoots.sqlite", shoot, FOLDER)


def test_two_audits_at_once_wait_for_each_other(store, shoot, monkeypatch):
    remember_shoot(store, shoot, FOLDER)
    other = invented_shoot(rng_of(9), n_pictures=3, day="2026-06-01")
    lock = sqlite3.connect(store, check_same_thread=False, isolation_level=None)
    lock.execute("BEGIN EXCLUSIVE")

    def let_go():
        time.sleep(0.3)
        lock.execute("COMMIT")

    thread = threading.Thread(target=let_go)
    thread.start()
    remember_shoot(store, other, FOLDER / "other")
    thread.join()
    assert len(read_shoots(store)) == 2
    monkeypatch.setattr("auditor.history.shoots_file.LOCK_WAIT_S", 0.05)
    lock.execute("BEGIN EXCLUSIVE")
    with pytest.raises(ShootsUnreadableError, match="locked"):
        remember_shoot(store, other, FOLDER / "other")
    lock.close()


def test_what_fails_halfway_is_undone(store, shoot, monkeypatch):
    remember_shoot(store, part(shoot, 0, 5), FOLDER)
    monkeypatch.setattr(
        "auditor.history.shoot_store._insert",
        lambda connection, *_: connection.execute("INSERT INTO nowhere VALUES (1)"),
    )
    with pytest.raises(ShootsUnreadableError):
        remember_shoot(store, shoot, FOLDER)
    assert n_pictures(store) == [5]


def test_reading_changes_nothing(store, shoot):
    remember_shoot(store, shoot, FOLDER)
    before = store.read_bytes()
    with reading_from(store) as connection:
        assert connection is not None
    read_shoots(store)
    assert store.read_bytes() == before
