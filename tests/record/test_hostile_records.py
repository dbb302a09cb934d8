"""A record that a stranger changed: a message, never a traceback."""

from __future__ import annotations

import json
import os

import pytest

from auditor.errors import UnusableArgumentError
from auditor.record.json_file import read_record, record_text
from auditor.redrawing import redraw
from tests.records import audit


def said_of(tmp_path, content):
    path = tmp_path / "audit.json"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(UnusableArgumentError) as raised:
        redraw(tmp_path)
    said = str(raised.value)
    assert said.startswith(f"{path}: ")
    assert "\n" not in said
    assert len(said) < len(str(path)) + 400
    return said


@pytest.mark.parametrize(
    "content",
    [
        "[" * 100_000,
        '{"a": ' * 100_000,
        '{"schema_version": ' + "9" * 6000 + "}",
        '{"schema_version": 1e400}',
        b"\xff\xfe{\0}\0",
        b"\0" * 1000,
        "",
    ],
    ids=["lists", "tables", "digits", "infinite", "UTF-16", "zeros", "empty"],
)
def test_what_is_no_record_is_said_so(tmp_path, content):
    assert "JSON" in said_of(tmp_path, content) or "inf" in said_of(tmp_path, content)


@pytest.mark.parametrize(
    "version", [None, 1, 3, True, 2.0, "2", [2] * 5000, {"a": "\x1b[2J" * 900}, 10**4000]
)
def test_another_schema_version_is_named(tmp_path, version):
    assert "schema version" in said_of(tmp_path, json.dumps({"schema_version": version}))


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("images",), {}),
        (("images", 0, "width"), "wide\x1b[31m"),
        (("images", 0, "width"), float("nan")),
        (("images", 0, "subject", "centroid"), [1e400, 0]),
        (("attention", 0, "findings"), []),
        (("a\nkey\x1b[2J" * 90,), 1),
    ],
)
def test_a_wrong_value_is_named_by_its_place(tmp_path, place, value):
    data = json.loads(record_text(audit()))
    inner = data
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = value
    said_of(tmp_path, json.dumps(data))


def test_a_pipe_in_place_of_a_record_is_not_opened(tmp_path):
    os.mkfifo(tmp_path / "audit.json")
    with pytest.raises(UnusableArgumentError, match="no regular file"):
        read_record(tmp_path / "audit.json")
