"""Plans and rules that no person wrote: a fault at its line, soon, whatever the file holds."""

from __future__ import annotations

import os
import time

import pytest

from auditor.delivery.reading import read_rules
from auditor.errors import InvalidPlanError, WrittenFileError
from auditor.plan.reading import MOST_FAULTS, SHOTS_AT_ONCE, read_plan
from auditor.plan.toml_limits import MOST_BYTES, MOST_DEPTH, MOST_ITEMS, MOST_KEY_PARTS, MOST_TEXT

MOST_S = 2  # of this process's own time, from the file to its fault
SHOT = '[[shot]]\nname = "tea"\n'

# What is written, the line of its fault, and a part of what is said of it.
HOSTILE = {
    "integer of 6,000 digits": (SHOT + "camera_elevation = " + "9" * 6000, 3, "characters"),
    "hexadecimal of 60,000": (SHOT + "camera_elevation = 0x" + "f" * 60_000, 3, "characters"),
    "float of 6,000 digits": (SHOT + "camera_elevation = 1." + "9" * 6000, 3, "characters"),
    "key of 100,000 letters": ("x" * 100_000 + " = 1", 1, "characters"),
    "key of 20,000 parts": ("a." * 20_000 + "b = 1", 1, "parts"),
    "key of 20,000 spaced parts": ("a . " * 20_000 + "b = 1", 1, "parts"),
    "key of 20,000 quoted parts": (SHOT + '"a b".' * 20_000 + "b = 1", 3, "parts"),
    "head of 20,000 parts": (SHOT + "[" + "a." * 20_000 + "b]", 3, "parts"),
    "inline key of 20,000 parts": ("x = { " + "a." * 20_000 + "b = 1 }", 1, "parts"),
    "lists in lists": (SHOT + "files = " + "[" * 100_000, 3, "deep"),
    "closed lists in lists": (SHOT + "files = " + "[" * 10_000 + "]" * 10_000, 3, "deep"),
    "tables in tables": ("x = " + "{ a = " * 3000 + "1" + " }" * 3000, 1, "deep"),
    "text of 100,000 letters": (SHOT + f'subject = {{ at = "{"left " * 20_000}" }}', 3, "text"),
    "palette of 10,000": (SHOT + f"palette = [{'1, ' * 10_000}]", 3, "list"),
    "10,000 keys": (SHOT + "\n".join(f"k{n} = 1" for n in range(10_000)), 1, "keys"),
    "quotes that never close": ('"\\' * 100_000, 1, "quotes"),
    "bytes of zero": ("\0" * 1000, 1, "start with a key"),
}


def seconds_of(read, path):
    start = time.process_time()
    with pytest.raises(WrittenFileError) as raised:
        read(path)
    return time.process_time() - start, raised.value


@pytest.mark.parametrize("read", [read_plan, read_rules])
@pytest.mark.parametrize("case", HOSTILE)
def test_a_hostile_text_is_one_fault_at_its_line(tmp_path, read, case):
    text, line, says = HOSTILE[case]
    path = tmp_path / "hostile.toml"
    path.write_text(text, encoding="utf-8")
    taken, error = seconds_of(read, path)
    assert taken < MOST_S
    at = [fault for fault in error.faults if says in fault.message]
    assert [fault.line for fault in at] == [line]
    assert len(str(error)) < 10_000


@pytest.mark.parametrize("read", [read_plan, read_rules])
@pytest.mark.parametrize(
    ("content", "says"),
    [
        (os.urandom(100_000), "not text in UTF-8"),
        ("[[shot]]".encode("utf-16"), "not text in UTF-8"),
        (b"# " + b"x" * MOST_BYTES, "larger than 0.5 MB"),
    ],
    ids=["binary", "UTF-16", "too large"],
)
def test_a_file_that_is_no_plan_is_refused(tmp_path, read, content, says):
    path = tmp_path / "hostile.toml"
    path.write_bytes(content)
    taken, error = seconds_of(read, path)
    assert taken < MOST_S
    assert says in str(error)


@pytest.mark.parametrize("read", [read_plan, read_rules])
def test_only_a_regular_file_is_opened(tmp_path, read):
    pipe, sparse, folder = tmp_path / "pipe", tmp_path / "sparse", tmp_path / "folder"
    os.mkfifo(pipe)
    folder.mkdir()
    with sparse.open("wb") as file:
        file.truncate(8 * 2**30)
    link = tmp_path / "endless.toml"
    link.symlink_to("/dev/zero")
    assert "no regular file" in str(seconds_of(read, pipe)[1])
    assert "no regular file" in str(seconds_of(read, link)[1])
    assert "larger than 0.5 MB" in str(seconds_of(read, sparse)[1])
    assert "this is a folder" in str(seconds_of(read, folder)[1])


def test_numbers_that_are_none_and_dates_are_faults_at_their_lines(tmp_path):
    path = tmp_path / "hostile.toml"
    path.write_text(
        "title = 1979-05-27T07:32:00Z\n[[shot]]\nname = 1979-05-27\nfiles = [07:32:00]\n"
        "camera_elevation = inf\nlight = { clock = -inf }\ncolour_temperature = { kelvin = nan }\n"
        "subject = { at = [nan, 1e400], size = 1e308 }\naspect_ratio = inf\n"
        "[tolerance]\nsubject = nan\nlight = 1e300\n",
        encoding="utf-8",
    )
    faults = seconds_of(read_plan, path)[1].faults
    assert [fault.line for fault in faults] == [1, 3, 4, 5, 6, 7, 8, 8, 9, 11, 12]


def test_ten_thousand_shots_are_read_soon(tmp_path):
    path = tmp_path / "many.toml"
    lines = [f'[[shot]]\nname = "s{n}"\nfiles = ["{n}-*"]\n' for n in range(10_000)]
    path.write_text("".join(lines), encoding="utf-8")
    start = time.process_time()
    plan = read_plan(path)
    assert time.process_time() - start < MOST_S
    assert [shot.name for shot in plan.shots] == [f"s{n}" for n in range(10_000)]


def test_a_plan_that_is_all_wrong_is_not_read_to_its_end(tmp_path):
    path = tmp_path / "wrong.toml"
    lines = [f'[[shot]]\nname = "s{n}"\nlight = "lefft{n}"\n' for n in range(5000)]
    path.write_text("".join(lines), encoding="utf-8")
    taken, error = seconds_of(read_plan, path)
    assert taken < MOST_S
    assert len(error.faults) == MOST_FAULTS + 1
    last = error.faults[-1]
    assert (last.key, last.line) == (f"shot[{MOST_FAULTS + 1}]", 3 * MOST_FAULTS + 1)
    assert "not checked yet" in last.message
    assert MOST_FAULTS % SHOTS_AT_ONCE == 0


def test_a_fault_far_down_has_its_own_place(tmp_path):
    path = tmp_path / "long.toml"
    shots = [f'[[shot]]\nname = "s{n}"\n' for n in range(SHOTS_AT_ONCE + 3)]
    path.write_text("".join([*shots, "camera_elevation = 120\n"]), encoding="utf-8")
    (fault,) = seconds_of(read_plan, path)[1].faults
    assert fault.key == f"shot[{SHOTS_AT_ONCE + 3}].camera_elevation"
    assert fault.line == 2 * (SHOTS_AT_ONCE + 3) + 1


def test_what_stands_in_strings_and_comments_counts_for_nothing(tmp_path):
    path = tmp_path / "plan.toml"
    dots, brackets = ".".join("a" * (MOST_KEY_PARTS + 5)), "[" * (MOST_DEPTH + 5)
    note = f"{dots} = {brackets}\n{'9' * 400}\n"
    path.write_text(
        f"# {note.replace(chr(10), ' ')}\nmood = '''\n{note * 30}'''\nclient = \"\"\"{note}\"\"\"\n"
        + SHOT
        + f'files = ["{dots} {brackets}"]\n',
        encoding="utf-8",
    )
    plan = read_plan(path)
    assert [shot.name for shot in plan.shots] == ["tea"]
    assert len(note * 30) > MOST_TEXT


def test_as_many_items_as_a_list_may_have_are_read(tmp_path):
    path = tmp_path / "plan.toml"
    names = ", ".join(f'"pot {n}"' for n in range(MOST_ITEMS))
    path.write_text(f"{SHOT}supporting = [{names}]\n", encoding="utf-8")
    assert len(read_plan(path).shots[0].intent.supporting) == MOST_ITEMS
    path.write_text(f'{SHOT}supporting = [{names}, "one more"]\n', encoding="utf-8")
    with pytest.raises(InvalidPlanError, match="at most 100 items"):
        read_plan(path)
