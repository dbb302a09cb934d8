"""The record as JSON: writing it, reading it back, its schema."""

from __future__ import annotations

import json
import re
from pathlib import Path

from pydantic import ValidationError

from auditor.errors import UnusableArgumentError
from auditor.record.audit_record import SCHEMA_VERSION, AuditRecord

# Numbers at the end of a line that pydantic writes otherwise than Python's `repr`: small ones and
# those with an exponent. A text ends with a quotation mark, so that nothing in it is found.
_OTHER_FORM = re.compile(r"(-?(?:0\.0000\d*|\d[\d.]*e-?\d+|\d{16,}\.0))(,?)$", re.MULTILINE)


def record_text(record: AuditRecord) -> str:
    """A record as JSON, with its keys in the order of the models."""
    text = record.model_dump_json(indent=1)
    return _OTHER_FORM.sub(lambda found: repr(float(found[1])) + found[2], text) + "\n"


def read_record(path: Path) -> AuditRecord:
    """Read the record of an earlier audit.

    Raises
    ------
    UnusableArgumentError
        Where there is none, it cannot be read, or another version of this program wrote it.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise UnusableArgumentError(
            f"{path}: cannot be read ({error.strerror or error}). Name the folder of a report that "
            "auditor wrote."
        ) from error
    except (ValueError, RecursionError) as error:
        raise UnusableArgumentError(
            f"{path}: is not valid JSON ({error}). Run the audit again."
        ) from error
    version = data.get("schema_version") if isinstance(data, dict) else None
    if version != SCHEMA_VERSION:
        raise UnusableArgumentError(
            f"{path}: has schema version {version}, and this auditor reads {SCHEMA_VERSION}. Run "
            "the audit again."
        )
    try:
        return AuditRecord.model_validate(data)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"])
        raise UnusableArgumentError(
            f"{path}: was not written by auditor ({place}: {first['msg']}). Run the audit again."
        ) from error


def record_schema() -> str:
    """The JSON Schema (2020-12) of the record, made from the models that write it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **AuditRecord.model_json_schema(mode="serialization"),
    }
    return json.dumps(schema, indent=1)
