"""The commands about earlier audits, as a person gives them."""

import json
import sqlite3
from contextlib import closing

import pytest

import auditor
from auditor.record.json_file import record_text
from tests.conftest import draw_dish
from tests.records import audit

PLAN = """
title = "Winter citrus"
[[shot]]
name = "a dish"
files = ["dish*"]
subject = { at = "centre" }
"""
JUST = "Nothing changed.\n"


@pytest.fixture
def cache(tmp_path):
    return tmp_path / "own cache"


@pytest.fixture
def call(call_auditor, cache):
    """Each test with its own remembered shoots."""

    def do(*arguments, **environment):
        return call_auditor(*arguments, XDG_CACHE_HOME=str(cache), **environment)

    return do


@pytest.fixture
def pictures(tmp_path):
    for number in (1, 2, 3):
        folder = tmp_path / f"shoot {number}"
        folder.mkdir()
        draw_dish(seed=number).save(folder / "dish.jpg", quality=90)
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    return tmp_path


def reports(tmp_path, first, second):
    for name, record in (("a", first), ("b", second)):
        (tmp_path / name).mkdir(exist_ok=True)
        (tmp_path / name / "audit.json").write_text(record_text(record), encoding="utf-8")


def n_shoots(cache):
    with closing(sqlite3.connect(cache / "auditor" / "shoots.sqlite")) as connection:
        return connection.execute("SELECT count(*) FROM shoot").fetchone()[0]


@pytest.mark.parametrize("names", [("a", "b"), ("a/audit.json", "b"), ("a", "b/audit.json")])
def test_equal_audits_have_one_line(call, tmp_path, names):
    reports(tmp_path, audit(), audit())
    done = call("compare", *names)
    assert (done.returncode, done.stdout, done.stderr) == (0, JUST, "")


def test_what_changed_goes_to_standard_output_a_line_each(call, tmp_path):
    reports(tmp_path, audit(), audit(auditor_version="0.2.0", with_plan=False))
    done = call("compare", "a", "b")
    assert done.returncode == 0
    lines = done.stdout.splitlines()
    assert lines[0].startswith("Other versions (auditor 0.1.0 → 0.2.0)")
    assert "The earlier audit had a plan, the later one has none." in lines


def test_audits_in_the_wrong_order_are_noticed(call, tmp_path):
    later = audit().model_copy(update={"created": "2027-01-01T00:00:00+00:00"})
    reports(tmp_path, later, audit())
    done = call("compare", "a", "b")
    assert done.stdout == JUST
    assert done.stderr == "The first of the two audits was made after the second.\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (None, "cannot be read"),
        (b"no JSON", "not valid JSON"),
        (b"\xff\xfe\x00", "not valid JSON"),
        (b"[" * 100_000, "not valid JSON"),
        (b"[]", "schema version None"),
        (b'{"schema_version": 1}', "schema version 1"),
        (b'{"schema_version": 2, "images": 7}', "not written by auditor"),
    ],
)
def test_what_is_no_record_ends_with_2_and_its_reason(call, tmp_path, text, words):
    reports(tmp_path, audit(), audit())
    place = tmp_path / "b" / "audit.json"
    place.unlink()
    if text is not None:
        place.write_bytes(text)
    done = call("compare", "a", "b")
    assert (done.returncode, done.stdout) == (2, "")
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_a_record_with_impossible_values_ends_with_2(call, tmp_path):
    reports(tmp_path, audit(), audit())
    place = tmp_path / "a" / "audit.json"
    data = json.loads(place.read_text(encoding="utf-8"))
    data["images"][0]["plan"]["items"][0]["planned"] = "no place"
    place.write_text(json.dumps(data), encoding="utf-8")
    done = call("compare", "a", "b")
    assert done.returncode == 2
    assert "not written by auditor" in done.stderr


def test_names_with_codes_for_the_terminal_are_shown_plainly(call, tmp_path):
    first, *others = audit(refused=False, with_plan=False, findings=[]).images
    named = first.model_copy(update={"file": "a\x1b[31m\nb.jpg"})
    after = audit(refused=False, with_plan=False, findings=[], images=[named, *others])
    reports(tmp_path, audit(refused=False, with_plan=False, findings=[]), after)
    done = call("compare", "a", "b")
    assert "\x1b" not in done.stdout
    assert all(line.isprintable() for line in done.stdout.splitlines())


def test_an_audit_is_remembered_and_forgotten(call, pictures, cache):
    for number in (1, 2, 3):
        folder = f"shoot {number}"
        assert call("audit", folder, "--plan", "plan.toml", "--out", f"r{number}").returncode == 0
        assert call("audit", folder, "--plan", "plan.toml", "--out", f"r{number}").returncode == 0
    assert n_shoots(cache) == 3
    done = call("shoots")
    assert (done.returncode, done.stdout) == (0, "reports/shoots/index.html\n")
    assert done.stderr.startswith("3 shoots with a plan: 0 things repeat.")
    page = (pictures / "reports" / "shoots" / "index.html").read_text(encoding="utf-8")
    assert page.count("Winter citrus") >= 3
    done = call("forget")
    assert (done.returncode, done.stdout) == (0, "")
    shoots, measurements = done.stderr.splitlines()
    assert shoots.startswith("Removed: 3 remembered shoots (")
    assert measurements.startswith("Removed: the remembered measurements of 3 pictures (")
    assert list((cache / "auditor").iterdir()) == []
    done = call("shoots", "--out", "again")
    assert done.stderr.startswith("0 shoots with a plan")


@pytest.mark.parametrize(
    ("option", "left"), [("--shoots", "measurements.sqlite"), ("--measurements", "shoots.sqlite")]
)
@pytest.mark.usefixtures("pictures")
def test_one_of_the_two_can_be_forgotten_alone(call, cache, option, left):
    call("audit", "shoot 1", "--plan", "plan.toml", "--out", "report")
    assert len(call("forget", option).stderr.splitlines()) == 1
    assert [path.name for path in (cache / "auditor").iterdir()] == [left]


@pytest.mark.usefixtures("pictures")
def test_an_audit_without_memory_leaves_nothing(call, cache):
    done = call("audit", "shoot 1", "--plan", "plan.toml", "--out", "report", "--no-memory")
    assert done.returncode == 0
    assert not cache.exists()


@pytest.mark.parametrize("content", [b"no database at all", b""])
def test_a_damaged_file_never_breaks_an_audit(call, pictures, cache, content):
    place = cache / "auditor" / "shoots.sqlite"
    place.parent.mkdir(parents=True)
    place.write_bytes(content)
    done = call("audit", "shoot 1", "--plan", "plan.toml", "--out", "report", "--log", "log.txt")
    assert done.returncode == 0
    assert "sqlite" not in done.stderr
    if content:
        assert place.read_bytes() == content
        assert "not remembered" in (pictures / "log.txt").read_text(encoding="utf-8")
        done = call("shoots")
        assert done.returncode == 2
        assert "auditor forget --shoots" in done.stderr
        assert call("forget", "--shoots").returncode == 0
        assert call("shoots").returncode == 0


def test_an_audit_into_which_nothing_fits_is_not_remembered(call, pictures, cache):
    (pictures / "empty").mkdir()
    assert call("audit", "empty", "--out", "report").returncode == 3
    assert not (cache / "auditor" / "shoots.sqlite").exists()


def test_the_page_is_not_written_over_a_report(call, pictures):
    call("audit", "shoot 1", "--out", "report")
    before = (pictures / "report" / "index.html").read_bytes()
    done = call("shoots", "--out", "report")
    assert done.returncode == 2
    assert "another page" in done.stderr
    assert (pictures / "report" / "index.html").read_bytes() == before


@pytest.mark.usefixtures("measuring_here")
def test_the_library_remembers_where_the_command_does_unless_told_not_to(
    pictures, cache, monkeypatch
):
    monkeypatch.setenv("XDG_CACHE_HOME", str(cache))
    plan = pictures / "plan.toml"
    auditor.audit(pictures / "shoot 1", plan=plan, remember=False)
    assert not cache.exists()
    auditor.audit(pictures / "shoot 1", plan=plan)
    assert n_shoots(cache) == 1
