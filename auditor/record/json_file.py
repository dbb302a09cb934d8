"""The record as JSON: writing it, reading it back, its schema."""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pydantic import ValidationError

from auditor.errors import UnusableArgumentError
from auditor.record.audit_record import SCHEMA_VERSION, AuditRecord
from auditor.regular_file import read_regular
from auditor.safe_text import for_json, one_line, shown_path

_logger = logging.getLogger(__name__)

MOST_BYTES = 500_000_000
"""Of a record that is read: 20,000 pictures at 25 kB."""

MOST_SHOWN = 80  # characters of a foreign value in a message

# Numbers at the end of a line that pydantic writes otherwise than Python's `repr`: small ones and
# those with an exponent. A text ends with a quotation mark, so that nothing in it is found. A blank
# is before each number; looking ahead for its first character makes the search four times as fast.
_OTHER_FORM = re.compile(
    r" (?=[-\d])(-?(?:0\.0000\d*|\d[\d.]*e-?\d+|\d{16,}\.0))(,?)$", re.MULTILINE
)


def record_text(record: AuditRecord) -> str:
    """A record as JSON, with its keys in the order of the models.

    Names of files, shots and things are those of the folder and the plan, so that they can be
    opened and matched; characters that could do harm where the file is looked at are escaped.
    """
    # Picture by picture: working on the whole text at once takes several times its memory.
    start, empty, end = (
        record.model_copy(update={"images": []})
        .model_dump_json(indent=1)
        .partition('\n "images": []')
    )  # text has no line breaks of its own
    if not record.images:
        return _as_written(f"{start}{empty}{end}") + "\n"
    parts = [_as_written(start), '\n "images": [']
    for number, picture in enumerate(record.images):
        text = _as_written(picture.model_dump_json(indent=1))
        parts += [",\n  " if number else "\n  ", text.replace("\n", "\n  ")]
    return "".join((*parts, "\n ]", _as_written(end), "\n"))


def _as_written(text: str) -> str:
    """Numbers as `repr` writes them, characters that could do harm escaped."""
    return for_json(_OTHER_FORM.sub(lambda found: f" {float(found[1])!r}{found[2]}", text))


def read_record(path: Path) -> AuditRecord:
    """Read the record of an earlier audit.

    Raises
    ------
    UnusableArgumentError
        Where there is none, it cannot be read, or another version of this program wrote it.
    """
    shown = shown_path(path)
    try:
        data = json.loads(read_regular(path, MOST_BYTES).decode("utf-8"))
    except OSError as error:
        raise UnusableArgumentError(
            f"{shown}: cannot be read ({error.strerror or error}). Name the folder of a report "
            "that auditor wrote."
        ) from error
    except (ValueError, RecursionError) as error:
        raise UnusableArgumentError(
            f"{shown}: is not valid JSON ({one_line(str(error))}). Run the audit again."
        ) from error
    version = data.get("schema_version") if isinstance(data, dict) else None
    if version != SCHEMA_VERSION or isinstance(version, bool | float):
        raise UnusableArgumentError(
            f"{shown}: has schema version {_beginning(version)}, and this auditor reads "
            f"{SCHEMA_VERSION}. Run the audit again."
        )
    try:
        return AuditRecord.model_validate(data)
    except ValidationError as error:
        first = error.errors(include_input=False, include_url=False)[0]
        place = ".".join(_beginning(part) for part in first["loc"])
        raise UnusableArgumentError(
            f"{shown}: was not written by auditor ({place}: {one_line(first['msg'])}). Run the "
            "audit again."
        ) from error


@contextmanager
def using_record(path: Path) -> Iterator[None]:
    """Turn a failure on a record that was read back into an error for whoever gave the file.

    The models do not hold every number that a stranger can write: a place far outside the frame,
    a finding that is not there.

    Raises
    ------
    UnusableArgumentError
    """
    try:
        yield
    except (ArithmeticError, LookupError, ValueError) as error:
        _logger.exception("%s", shown_path(path))
        raise UnusableArgumentError(
            f"{shown_path(path)}: holds what no audit writes ({type(error).__name__}: "
            f"{_beginning(error)}). Run the audit again."
        ) from error


def _beginning(value: object) -> str:
    """A foreign value in a message."""
    text = one_line(str(value))
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}…"


def record_schema() -> str:
    """The JSON Schema (2020-12) of the record, made from the models that write it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **AuditRecord.model_json_schema(mode="serialization"),
    }
    return json.dumps(schema, indent=1)
