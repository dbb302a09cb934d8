"""Kill the writing of a report at each change of the disk; run by `test_killed_runs.py`.

Prints how many kills there were and which report the next run made of each.
"""

import json
import os
import shutil
import sys
from pathlib import Path

from auditor.output.report_folder import TEXT_FILES, report_in_work, settle_report
from tests.output.killing import kill_at_each_change

SUMMARY = "summary.html"
PICTURES = ("0001-dish.jpg", "0001-dish-small.jpg")


def write_report(place, word, *, summary, proofs):
    forms = ["summary"] if summary else []
    record = {"schema_version": 1, "auditor_version": word, "forms": forms}
    texts = dict.fromkeys(TEXT_FILES, word) | {"audit.json": json.dumps(record)}
    optional = [SUMMARY] if summary else []
    with report_in_work(place, optional, proofs=proofs) as report:
        for folder in (report.pictures, report.proofs):
            for name in PICTURES if folder else ():
                (folder / name).write_text(word, encoding="utf-8")
        report.publish(texts | dict.fromkeys(optional, word))


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


def word_of(content):
    """Which report a file is of."""
    return "old" if b"old" in content else "new"


def check_what_a_reader_sees(place):
    """Whoever looks at any moment sees parts of one report alone."""
    words = {
        word_of(content)
        for name, content in contents(place).items()
        if content is not None and not name.startswith(".")
    }
    if len(words) > 1:
        raise AssertionError("half old and half new")


def state_of(found, known):
    for name, content in known.items():
        if found == content:
            return name
    raise AssertionError(f"half a report: {sorted(found)}")


class Change:
    """A change of a report, made anew and killed again and again.

    Parameters
    ----------
    place : Path
    before : callable
        Writes what is there before.
    change : callable
        What is killed.
    """

    def __init__(self, place, before, change):
        self.place, self.before, self.change = place, before, change
        self.prepare()
        self.known = {"old": contents(place)}
        change()
        self.known["new"] = contents(place)

    def prepare(self):
        shutil.rmtree(self.place, ignore_errors=True)
        self.before()

    def kill_each(self):
        made = []

        def inspect(_n):
            check_what_a_reader_sees(self.place)
            settle_report(self.place)
            made.append(state_of(contents(self.place), self.known))

        n_kills = kill_at_each_change(self.prepare, self.change, inspect) - 1
        return {"kills": n_kills, "states": made}

    def kill_twice(self, every):
        """Kill the change, and then each change of the disk by which the next run mends it."""
        made = []

        def kill_the_mending(n):
            if n % every:
                return
            left = self.place.with_name("left")
            shutil.rmtree(left, ignore_errors=True)
            if self.place.exists():
                shutil.copytree(self.place, left)
            else:
                left.mkdir()

            def again():
                shutil.rmtree(self.place, ignore_errors=True)
                shutil.copytree(left, self.place)

            def inspect(_n):
                settle_report(self.place)
                made.append(state_of(contents(self.place), self.known))

            kill_at_each_change(again, lambda: settle_report(self.place), inspect)

        kill_at_each_change(self.prepare, self.change, kill_the_mending)
        return {"kills": len(made), "states": made}


def changes(root):
    place = root / "report"
    plain = {"summary": False, "proofs": False}
    full = {"summary": True, "proofs": True}
    for name, before, after in (
        ("first", None, full),
        ("full", full, full),
        ("less", full, plain),
        ("more", plain, full),
    ):
        yield (
            name,
            Change(
                place,
                lambda before=before: before and write_report(place, "old", **before),
                lambda after=after: write_report(place, "new", **after),
            ),
        )


if __name__ == "__main__":
    os.fsync = lambda _: None  # a killed process loses nothing of what it wrote
    root = Path(sys.argv[1])
    found = {}
    for name, change in changes(root):
        found[name] = change.kill_each()
        if name == "more":
            found["twice"] = change.kill_twice(every=5)
    sys.stdout.write(json.dumps(found))
