"""Write a report: everything beside first, then in place, so that nothing is left by halves."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.report.html import write_page
from auditor.report.previews import PICTURES_FOLDER, Preview
from auditor.report.record import AuditRecord
from auditor.report.table import write_table

RECORD_FILE = "audit.json"
TABLE_FILE = "measurements.csv"
PAGE_FILE = "index.html"
# Hidden, so that a folder of pictures that holds the report does not count it among them.
WORK_PREFIX = ".in-work-"


@dataclass(frozen=True, slots=True)
class ReportInWork:
    """A report that is being made beside its place.

    Attributes
    ----------
    work : Path
        Where it is made.
    directory : Path
        Its place.
    """

    work: Path
    directory: Path

    @property
    def pictures(self) -> Path:
        """Folder for the previews."""
        return self.work / PICTURES_FOLDER

    def publish(self, record: AuditRecord, previews: Mapping[str, Preview]) -> None:
        """Write the record, the table and the page, and put all in place of an earlier report.

        Raises
        ------
        UnusableArgumentError
            Where the files cannot be written.
        """
        try:
            write_record(record, self.work / RECORD_FILE)
            write_table(record, self.work / TABLE_FILE)
            write_page(record, previews, self.work)
            self._put_in_place()
        except OSError as error:
            raise _unwritable(self.directory, error) from error

    def _put_in_place(self) -> None:
        old = self.work / "replaced"
        place = self.directory / PICTURES_FOLDER
        if place.exists():
            place.rename(old)
        self.pictures.rename(place)
        for name in (RECORD_FILE, TABLE_FILE, PAGE_FILE):
            (self.work / name).replace(self.directory / name)


@contextmanager
def report_in_work(directory: Path) -> Iterator[ReportInWork]:
    """Make room for a report; whatever was not published is removed afterwards.

    Raises
    ------
    UnusableArgumentError
        Where the folder cannot be made or written.
    """
    missing = [folder for folder in (directory, *directory.parents) if not folder.exists()]
    try:
        directory.mkdir(parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=WORK_PREFIX, dir=directory))
        report = ReportInWork(work, directory)
        report.pictures.mkdir()
    except OSError as error:
        raise _unwritable(directory, error) from error
    try:
        yield report
    finally:
        shutil.rmtree(work, ignore_errors=True)
        for folder in missing:
            if any(folder.iterdir()):
                break
            folder.rmdir()


def write_record(record: AuditRecord, path: Path) -> None:
    """Write a record as JSON, UTF-8, with its keys in the order of the models."""
    text = json.dumps(record.model_dump(mode="json"), indent=1, ensure_ascii=False)
    path.write_text(text + "\n", encoding="utf-8", newline="\n")


def record_schema() -> str:
    """The JSON Schema (2020-12) of the record, made from the models that write it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **AuditRecord.model_json_schema(mode="serialization"),
    }
    return json.dumps(schema, indent=1)


def _unwritable(directory: Path, error: OSError) -> UnusableArgumentError:
    return UnusableArgumentError(
        f"{directory}: the report cannot be written there ({error.strerror or error}). "
        "Name another folder with --out, or make room on the disk."
    )
