"""Lines of keys in texts whose lines are known: they were counted while the texts were written."""

from __future__ import annotations

import json
import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from auditor.plan.toml_lines import key_as_written, line_of, locate_keys

BY_HAND = '''\
title = "a # b = [c]"  # remark = "x"
owner.name = 'x = y'
"quoted key" = 1
'single # key' = 2

[series]
light = { from = "left", "cl#ck".x = [1, 2] }
palette = [
  "#ffffff",   # white = "#000000"

  "#00,0]00", ]
text = """
name = "no key"
[no.header] \\""" still
"""
raw = \'\'\'
[[shot]]\'\'\'
when = 2024-05-01 07:32:00

[[shot]]
name = "a"
[shot.subject]
at = [0.1, 0.2]
[[shot.supporting]]
name = "jar"
[[shot.supporting]]
name = "cup"

[[ shot ]]
name = "b"
subject.at = "left"
'''


def test_lines_counted_by_hand():
    lines = locate_keys(BY_HAND)
    expected = {
        ("title",): 1,
        ("owner",): 2,
        ("owner", "name"): 2,
        ("quoted key",): 3,
        ("single # key",): 4,
        ("series",): 6,
        ("series", "light"): 7,
        ("series", "light", "from"): 7,
        ("series", "light", "cl#ck"): 7,
        ("series", "light", "cl#ck", "x"): 7,
        ("series", "light", "cl#ck", "x", 0): 7,
        ("series", "light", "cl#ck", "x", 1): 7,
        ("series", "palette"): 8,
        ("series", "palette", 0): 9,
        ("series", "palette", 1): 11,
        ("series", "text"): 12,
        ("series", "raw"): 16,
        ("series", "when"): 18,
        ("shot",): 20,
        ("shot", 0): 20,
        ("shot", 0, "name"): 21,
        ("shot", 0, "subject"): 22,
        ("shot", 0, "subject", "at"): 23,
        ("shot", 0, "subject", "at", 0): 23,
        ("shot", 0, "subject", "at", 1): 23,
        ("shot", 0, "supporting"): 24,
        ("shot", 0, "supporting", 0): 24,
        ("shot", 0, "supporting", 0, "name"): 25,
        ("shot", 0, "supporting", 1): 26,
        ("shot", 0, "supporting", 1, "name"): 27,
        ("shot", 1): 29,
        ("shot", 1, "name"): 30,
        ("shot", 1, "subject"): 31,
        ("shot", 1, "subject", "at"): 31,
    }
    assert lines == expected
    assert set(lines) == set(paths_in(tomllib.loads(BY_HAND)))


def test_a_missing_key_has_the_line_of_its_table():
    lines = locate_keys(BY_HAND)
    assert line_of(lines, ("shot", 1, "files")) == 29
    assert line_of(lines, ("shot", 1, "subject", "size")) == 31
    assert line_of(lines, ("tolerance", "light")) == 0


def test_keys_are_shown_as_written_and_counted_from_one():
    assert key_as_written(("shot", 1, "light", "clock")) == "shot[2].light.clock"
    assert key_as_written(("series", "cl#ck", 0, 2)) == 'series."cl#ck"[1][3]'
    assert key_as_written(()) == ""


def test_a_table_that_was_implied_before_has_the_line_of_its_own_head():
    assert locate_keys("[a.b]\nx = 1\n[a]\ny = 2\n") == {
        ("a",): 3,
        ("a", "b"): 1,
        ("a", "b", "x"): 2,
        ("a", "y"): 4,
    }


def test_carriage_returns_count_once():
    assert locate_keys("a = 1\r\nb = 2\r\n") == {("a",): 1, ("b",): 2}


def paths_in(value, path=()):
    """Every path into what the standard library read."""
    items = ()
    if isinstance(value, dict):
        items = value.items()
    elif isinstance(value, list):
        items = enumerate(value)
    for key, inner in items:
        yield (*path, key)
        yield from paths_in(inner, (*path, key))


# Texts with every character that could be mistaken for structure.
signs = st.text(st.sampled_from("ab=#[]{},.\"'\\ é\t"), max_size=8)
long_signs = st.text(st.sampled_from("ab=#[]{},.' \n"), max_size=12)
bare_keys = st.text(st.sampled_from("abc-_12"), min_size=1, max_size=3)
keys = st.one_of(bare_keys, signs)
scalars = st.one_of(
    st.integers(-9, 9).map(str),
    st.sampled_from(["true", "0.5", "nan", "1979-05-27 07:32:00", "0x1f"]),
    signs.map(lambda text: json.dumps(text, ensure_ascii=False)),
    signs.filter(lambda text: "'" not in text).map(lambda text: f"'{text}'"),
    long_signs.map(lambda text: f'"""{text}"""'),
    long_signs.map(lambda text: "'''" + text.replace("'", "") + "'''"),
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(keys, inner, max_size=3)),
    max_leaves=6,
)
tables = st.dictionaries(keys, values, max_size=4)
fillers = st.sampled_from(["", "\n", "  # [x] = 'y'\n", "\n\n# {\n"])


def key_text(key: str) -> str:
    is_bare = key and all(sign.isascii() and (sign.isalnum() or sign in "-_") for sign in key)
    return key if is_bare else json.dumps(key, ensure_ascii=False)


class Writer:
    """Writes TOML and counts lines as it goes."""

    def __init__(self, data: st.DataObject) -> None:
        self.data = data
        self.text = ""
        self.known: dict[tuple[str | int, ...], int] = {}

    def write(self, text: str) -> None:
        self.text += text

    def note(self, path) -> None:
        self.known[path] = self.text.count("\n") + 1

    def fill(self) -> None:
        self.write(self.data.draw(fillers))

    def table(self, table, path) -> None:
        for key, value in table.items():
            self.fill()
            self.note((*path, key))
            self.write(key_text(key) + " = ")
            self.value(value, (*path, key))
            self.write(self.data.draw(st.sampled_from(["\n", "  # = \"'\n"])))

    def value(self, value, path) -> None:
        if isinstance(value, str):
            self.write(value)
        elif isinstance(value, list):
            self.write("[")
            for index, inner in enumerate(value):
                self.fill()
                self.note((*path, index))
                self.value(inner, (*path, index))
                self.write(" ,")
            self.fill()
            self.write("]")
        else:
            self.write("{ ")
            for number, (key, inner) in enumerate(value.items()):
                self.write(", " if number else "")
                self.note((*path, key))
                self.write(key_text(key) + "=")
                self.value(inner, (*path, key))
            self.write(" }")


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.data())
def test_lines_of_any_text_are_those_counted_while_writing(data):
    writer = Writer(data)
    writer.table(data.draw(tables.map(lambda t: {f"top{k}": v for k, v in t.items()})), ())
    shots = data.draw(st.lists(tables, max_size=3))
    for index, shot in enumerate(shots):
        writer.fill()
        if index == 0:
            writer.note(("shot",))
        writer.note(("shot", index))
        writer.write("[[shot]]  # [[x]]\n")
        writer.table(shot, ("shot", index))
        if data.draw(st.booleans()) and "deep" not in shot:
            writer.fill()
            writer.note(("shot", index, "deep"))
            writer.write('[shot."deep"]\n')
            writer.table(data.draw(tables), ("shot", index, "deep"))
    read = tomllib.loads(writer.text)
    lines = locate_keys(writer.text)
    assert set(lines) == set(paths_in(read))
    assert lines == writer.known
