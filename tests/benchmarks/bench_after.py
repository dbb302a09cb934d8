"""Time and memory of everything that follows measuring, for 100, 1000 and 3000 pictures.

    OMP_NUM_THREADS=1 python tests/benchmarks/bench_after.py FOLDER [number of pictures ...]
        [--keep FILE] [--plan none|names|content] [--burst N]

measures the photographs of FOLDER once (with ``--keep`` they are kept in FILE and read from it the
next time) and repeats them, each a little changed, as `bench_series` does. ``--burst N`` repeats
each so changed picture N times with next to no change, as a camera held on one frame does.

Each number of pictures runs in a process of its own: without a plan, with the plan of the demo
series whose patterns name each picture, and with the same plan without patterns, so that pictures
are matched by what they show. Nothing is measured and nothing is tried; the set is described once
more with one in ten pictures changed, as it is for each place in the row of changes.

Printed for each step: seconds of the processor, and how far the memory of the process rose above
what it held before the step, in MiB. Of the pictures: what one weighs, in kB.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.findings.audited_set import AuditedSet
from auditor.findings.gathering import gather_findings
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.output.previews import Preview
from auditor.page.html import render_page
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Plan
from auditor.planned_set import advise_pictures, compare_pictures, match_shots
from auditor.record.audit_record import AuditRecord
from auditor.record.filling import Heading, make_record
from auditor.record.json_file import record_text
from auditor.series.kind import KindOfSet, SetKind
from auditor.series.portfolio import describe_portfolio
from auditor.series.series import DescribedSet, describe_changed, describe_series, describe_set
from auditor.tables.measurements import measurement_table
from auditor.tables.verdicts import verdict_table
from auditor.wording.messages import with_messages
from tests.benchmarks.bench_series import measured_pictures, varied_set

_SIZES = (100, 1000, 3000)
_PLANS = ("none", "names", "content")
_DEMO_PLAN = Path(__file__).resolve().parents[2] / "fixtures" / "teahouse" / "plan.toml"
_PREVIEW_PX = (1024, 768)
_CHANGED_ONE_IN = 10
_KIB_PER_MIB = 1024

Result = TypeVar("Result")


class Steps:
    """Runs steps and prints what each costs."""

    def __init__(self) -> None:
        self._seconds = 0.0

    def run(self, name: str, step: Callable[[], Result], *, is_summed: bool = True) -> Result:
        """Run one step; its memory is what the process held at most, above what it held before."""
        before = _resident_kib()
        _forget_peak()
        start = time.process_time()
        result = step()
        seconds = time.process_time() - start
        self._seconds += seconds * is_summed
        rise = max(0.0, (_peak_kib() - before) / _KIB_PER_MIB)
        kept = max(0.0, (_resident_kib() - before) / _KIB_PER_MIB)
        say(f"  {seconds:7.2f} s  +{rise:5.0f} MiB, {kept:5.0f} kept  {name}")
        return result

    def say_total(self) -> None:
        """Print the sum of all steps."""
        say(f"  {self._seconds:7.2f} s  in all, {_resident_kib() / _KIB_PER_MIB:.0f} MiB held")


KEPT = TypeAdapter(list[MeasuredPhotograph])  # as measured pictures are kept in a file


def say(line: str) -> None:
    """Show a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def _status_kib(name: str) -> float:
    text = Path("/proc/self/status").read_text(encoding="ascii")
    line = next(line for line in text.splitlines() if line.startswith(f"{name}:"))
    return float(line.split()[1])


def _resident_kib() -> float:
    return _status_kib("VmRSS")


def _peak_kib() -> float:
    return _status_kib("VmHWM")


def _forget_peak() -> None:
    """Let the peak start from what is held now (Linux: man 5 proc, clear_refs)."""
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")


def demo_plan(*, by_content: bool) -> Plan:
    """The plan of the demo series; without its patterns, pictures are matched by content."""
    plan = read_plan(_DEMO_PLAN)
    if not by_content:
        return plan
    return replace(plan, shots=tuple(replace(shot, files=()) for shot in plan.shots))


def _named(pictures: Sequence[MeasuredPhotograph], plan: Plan) -> list[MeasuredPhotograph]:
    """The pictures under names that the plan's patterns claim in turn."""
    names = [shot.files[0].strip("*") for shot in plan.shots if shot.files]
    return [
        replace(picture, file=f"{place:05d}-{names[place % len(names)]}.jpg")
        for place, picture in enumerate(pictures)
    ]


def _some_changed(pictures: Sequence[MeasuredPhotograph]) -> list[MeasuredPhotograph]:
    """The same set with one picture in ten developed differently."""
    others = varied_set(pictures[::_CHANGED_ONE_IN], len(pictures[::_CHANGED_ONE_IN]), seed=1)
    return [
        one if place % _CHANGED_ONE_IN else replace(others[place // _CHANGED_ONE_IN], file=one.file)
        for place, one in enumerate(pictures)
    ]


def _again(steps: Steps, described: DescribedSet, pictures: Sequence[MeasuredPhotograph]) -> None:
    changed = _some_changed(pictures)
    steps.run(
        "series again, one picture in ten changed (not in the sum)",
        lambda: describe_changed(described, changed),
        is_summed=False,
    )


def _after(pictures: Sequence[MeasuredPhotograph], plan: Plan | None) -> None:
    """Everything that an audit does after measuring but trying and writing."""
    steps = Steps()
    described = steps.run("series", lambda: describe_set(pictures))
    series = described.series
    _again(steps, described, pictures)
    matches, shots = steps.run("matching", lambda: match_shots(plan, pictures, pictures, series))
    planned = steps.run(
        "comparison", lambda: compare_pictures(plan, matches, shots, pictures, series)
    )
    advised = steps.run(
        "choice of advice",
        lambda: advise_pictures(
            plan, shots, planned, pictures, series, lambda _: {}, describe_series
        ),
    )
    if plan is None:
        steps.run("portfolio", lambda: describe_portfolio(pictures))
    audited = AuditedSet(
        pictures=pictures,
        planned=planned,
        advice=advised.advice,
        matches=matches,
        series=series,
        kind=KindOfSet(SetKind.SET, is_given=True),
    )
    findings = steps.run("findings", lambda: gather_findings(audited))
    heading = Heading(
        auditor_version="0",
        created="2025-12-01T00:00:00+00:00",
        libraries={},
        folder="pictures",
        plan=None if plan is None else "plan.toml",
        title=None,
    )
    bare = steps.run("record", lambda: make_record(heading, audited, findings))
    record = steps.run("sentences", lambda: with_messages(bare))
    text = steps.run("record as text", lambda: record_text(record))
    table = steps.run("tables", lambda: measurement_table(record) + verdict_table(record))
    page = steps.run("page", lambda: _page(record))
    steps.say_total()
    sizes = {"audit.json": text, "tables": table, "index.html": page}
    written = ", ".join(f"{name} {len(one) / 1e6:.1f} MB" for name, one in sizes.items())
    say(f"  {len(findings)} findings, {len(series.duplicates)} near-duplicate pairs; {written}")


def _page(record: AuditRecord) -> str:
    width, height = _PREVIEW_PX
    previews = {
        picture.file: Preview(f"{number:04d}.jpg", f"{number:04d}-small.jpg", width, height)
        for number, picture in enumerate(record.images, start=1)
    }
    return render_page(record, previews)


def _one(pattern: Path, n: int, plan_kind: str, burst: int) -> None:
    """One number of pictures with one plan, in this process."""
    patterns = KEPT.validate_json(pattern.read_bytes())
    before = _resident_kib()
    pictures = varied_set(patterns, n, burst=burst)
    plan = None if plan_kind == "none" else demo_plan(by_content=plan_kind == "content")
    if plan is not None and plan_kind == "names":
        pictures = _named(pictures, plan)
    weight_kb = (_resident_kib() - before) * 1.024 / n
    bursts = f", in bursts of {burst}" if burst > 1 else ""
    say(f"{n} pictures, plan: {plan_kind}{bursts}; {weight_kb:.0f} kB a picture")
    _after(pictures, plan)


def main() -> None:
    """Measure, repeat, and run each case in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("folder", type=Path)
    parser.add_argument("sizes", type=int, nargs="*", default=_SIZES)
    parser.add_argument("--keep", type=Path, default=Path("measured.json"))
    parser.add_argument("--plan", choices=_PLANS)
    parser.add_argument("--burst", type=int, default=1)
    parser.add_argument("--alone", action="store_true", help="run one case in this process")
    given = parser.parse_args()
    if given.alone:
        _one(given.keep, given.sizes[0], given.plan, given.burst)
        return
    if not given.keep.exists():
        given.keep.write_bytes(KEPT.dump_json(measured_pictures(given.folder)))
    for n in given.sizes:
        for plan_kind in (given.plan,) if given.plan else _PLANS:
            case: list[Any] = [given.folder, n, "--keep", given.keep, "--plan", plan_kind]
            case += ["--burst", given.burst, "--alone"]
            subprocess.run([sys.executable, __file__, *map(str, case)], check=True)


if __name__ == "__main__":
    main()
