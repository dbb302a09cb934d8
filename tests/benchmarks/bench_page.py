"""What the page of a large set costs; run by hand.

    OMP_NUM_THREADS=1 python tests/benchmarks/bench_page.py REPORT [number of pictures ...]

repeats the record and the previews of REPORT (a folder that `auditor audit` wrote) up to each
number (12, 167, 300 and 1000 unless given), renders the page, and opens it in Chromium at 1440 by
900 pixels. The previews are hard links: a picture that is there several times is fetched and
decoded several times, as its addresses differ.

Printed for each number of pictures:

- kB a picture: HTML, larger preview, smaller preview, and all together (goal: at most 150);
- seconds to render, size of the page;
- first view: milliseconds from the start of the navigation until the first paint with content
  (goal: at most 1500), until the largest thing in view is painted, and until the page can be
  filtered (the script at its end has run);
- filter and sort: the slowest of several changes, from the change of a control until the next
  frame is laid out (goal: at most 100); and the time in the script alone;
- memory of the page's heap, and of the process that shows it.

Times are the shortest of `_REPEATS` fresh browser contexts, as other programs at work only make
them longer; "processor" is the time of the page's main thread, which they change little.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.output.previews import PICTURES_FOLDER, Preview, find_previews, preview_name
from auditor.output.report_folder import PAGE_FILE, RECORD_FILE
from auditor.page.html import render_page
from auditor.record.audit_record import AuditRecord
from auditor.record.json_file import read_record

_SIZES = (12, 167, 300, 1000)
_REPEATS = 3
_PAUSE_MS = 500  # between two changes, as a reader makes: what follows a change is done then
_ARGUMENTS = ["--no-sandbox", "--disable-gpu"]
_WIDE = {"width": 1440, "height": 900}

_ASKED = {
    "filter": (
        ("find-text", "cake"),
        ("find-text", ""),
        ("find-verdict", "missed"),
        ("find-verdict", ""),
    ),
    "sort": (("find-order", "gravity"), ("find-order", "taken"), ("find-order", "set")),
}

# Kept from before the page's own content, so that no paint is missed.
_WATCH = """
window.seen = {largest: 0};
new PerformanceObserver(list => {
  for (const entry of list.getEntries()) window.seen.largest = entry.startTime;
}).observe({type: 'largest-contentful-paint', buffered: true});
"""
_TIMES = """
(() => {
  const paint = performance.getEntriesByName('first-contentful-paint')[0];
  const page = performance.getEntriesByType('navigation')[0];
  return {first: paint ? paint.startTime : NaN, largest: window.seen.largest,
          parsed: page.domContentLoadedEventEnd, loaded: page.loadEventEnd,
          heap: performance.memory.usedJSHeapSize};
})()
"""
# A control is changed as by hand; the time ends when styles and layout of the next frame are done.
# The steps that follow wait until then, so that their processor time is not counted.
_CHANGE = """
([name, value]) => new Promise(done => {
  const control = document.getElementById(name);
  const later = window.setTimeout;
  window.setTimeout = () => 0;
  const start = performance.now();
  control.value = value;
  control.dispatchEvent(new Event('input', {bubbles: true}));
  const script = performance.now() - start;
  requestAnimationFrame(() => later(() => {
    window.setTimeout = later;
    done([script, performance.now() - start]);
  }, 0));
})
"""


def repeated(record: AuditRecord, n: int) -> tuple[AuditRecord, dict[str, str]]:
    """A record of `n` pictures under other names, and which picture each is of."""
    files = [picture.file for picture in record.images]
    names = {
        f"{i // len(files):04d}/{files[i % len(files)]}": files[i % len(files)] for i in range(n)
    }
    rounds = [
        {file: f"{place:04d}/{file}" for file in files if f"{place:04d}/{file}" in names}
        for place in range((n - 1) // len(files) + 1)
    ]
    data = record.model_dump(mode="json")
    pictures = {picture["file"]: picture for picture in data["images"]}
    data["images"] = [{**pictures[file], "file": name} for name, file in names.items()]
    data["findings"] = [
        {**one, "files": [new[file] for file in one["files"]]}
        for one in data["findings"]
        for new in rounds
        if all(file in new for file in one["files"])
    ]
    for rank, one in enumerate(data["findings"], start=1):
        one["rank"] = rank
    data["attention"] = []
    data["delivery"] = None
    data["shots"] = [
        {**shot, **{key: _all_of(shot[key], rounds) for key in ("files", "assumed")}}
        for shot in data["shots"]
    ]
    data["series"] = _series(data["series"], rounds)
    return AuditRecord.model_validate(data), names


def _all_of(files: list[str], rounds: list[dict[str, str]]) -> list[str]:
    return [new[file] for new in rounds for file in files if file in new]


def _series(series: dict[str, Any], rounds: list[dict[str, str]]) -> dict[str, Any]:
    quantities = [
        {
            **one,
            "values": [[new[f], v] for new in rounds for f, v in one["values"] if f in new],
            "outliers": [
                {**o, "file": new[o["file"]]}
                for new in rounds
                for o in one["outliers"]
                if o["file"] in new
            ],
            "farthest": None,
        }
        for one in series["quantities"]
    ]
    for key in ("colour_temperature_clusters", "groups"):
        series[key] = [{**one, "files": _all_of(one["files"], rounds)} for one in series[key]]
    settings = [{**one, "outliers": []} for one in series["camera_settings"]]
    return {
        **series,
        "quantities": quantities,
        "camera_settings": settings,
        "duplicates": [],
        "crops": [],
        "alike": [],
    }


def previews_of(
    names: Mapping[str, str], there: Mapping[str, Preview], source: Path, directory: Path
) -> dict[str, Preview]:
    """Hard links of the previews under the names that they would have."""
    (directory / PICTURES_FOLDER).mkdir(parents=True)
    found = {}
    for number, (name, file) in enumerate(names.items(), start=1):
        if (old := there.get(file)) is None:
            continue
        large = preview_name(number, name)
        small = large.replace(".jpg", "-small.jpg")
        for link, target in ((large, old.file), (small, old.small_file)):
            _link(source / PICTURES_FOLDER / target, directory / PICTURES_FOLDER / link)
        found[name] = Preview(large, small, old.width, old.height)
    return found


def _link(source: Path, place: Path) -> None:
    try:
        os.link(source, place)
    except OSError:
        shutil.copyfile(source, place)


def _size_kb(directory: Path, pattern: str) -> float:
    files = (directory / PICTURES_FOLDER).iterdir()
    return sum(f.stat().st_size for f in files if re.fullmatch(pattern, f.name)) / 1000


def _memory_mb(browser_name: str = "--type=renderer") -> float:
    """The largest resident memory of a renderer, of all that are running here."""
    most = 0.0
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            if browser_name not in (status.parent / "cmdline").read_text(errors="replace"):
                continue
            found = re.search(r"VmRSS:\s+(\d+) kB", status.read_text())
        except OSError:
            continue
        most = max(most, int(found[1]) / 1000 if found else 0.0)
    return most


def _processor_ms(tools: CDPSession) -> float:
    """Time of the page's main thread so far."""
    metrics = tools.send("Performance.getMetrics")["metrics"]
    return next(one["value"] for one in metrics if one["name"] == "TaskDuration") * 1000


def _open(browser: Browser, page_file: Path) -> tuple[Page, CDPSession, dict[str, float]]:
    page = browser.new_context(viewport=_WIDE).new_page()
    tools = page.context.new_cdp_session(page)
    tools.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.add_init_script(_WATCH)
    page.goto(page_file.resolve().as_uri(), wait_until="load", timeout=120_000)
    page.wait_for_timeout(500)
    return page, tools, {**page.evaluate(_TIMES), "processor": _processor_ms(tools)}


def _changes(page: Page, tools: CDPSession) -> dict[str, list[tuple[float, float, float]]]:
    """Milliseconds in the script, to the next frame, and of the processor, of each change."""
    if not page.evaluate("!!document.getElementById('find-text')"):
        return {}
    taken: dict[str, list[tuple[float, float, float]]] = {}
    for kind, changes in _ASKED.items():
        for change in changes:
            before = _processor_ms(tools)
            script, frame = page.evaluate(_CHANGE, list(change))
            own = _processor_ms(tools) - before
            taken.setdefault(kind, []).append((script, frame, own))
            page.evaluate("dispatchEvent(new Event('beforeprint'))")  # what follows is done
            page.wait_for_timeout(_PAUSE_MS)
    return taken


def write(line: str) -> None:
    """Show a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def measure(report: Path, n: int, browser: Browser) -> None:
    """Print what `n` pictures cost."""
    record = read_record(report / RECORD_FILE)
    there = find_previews(report, [picture.file for picture in record.images])
    with tempfile.TemporaryDirectory(dir=report.parent) as folder:
        directory = Path(folder) / "report"
        many, names = repeated(record, n)
        previews = previews_of(names, there, report, directory)
        start = time.perf_counter()
        text = render_page(many, previews)
        rendered = time.perf_counter() - start
        (directory / PAGE_FILE).write_text(text, encoding="utf-8")
        html = len(text.encode()) / 1000
        small = _size_kb(directory, r".*-small\.jpg")
        large = _size_kb(directory, r".*\.jpg") - small
        whole = (html + small + large) / n
        write(
            f"{n} pictures: {whole:.0f} kB a picture (HTML {html / n:.1f}, previews "
            f"{large / n:.1f} and {small / n:.1f}); page {html / 1000:.1f} MB, "
            f"rendered in {rendered:.1f} s"
        )
        runs, changes = [], []
        for _ in range(_REPEATS):
            page, tools, times = _open(browser, directory / PAGE_FILE)
            changes.append(_changes(page, tools))
            runs.append({**times, "memory": _memory_mb()})
            page.context.close()
        least = {key: min(run[key] for run in runs) for key in runs[0]}
        write(
            f"  first paint {least['first']:.0f} ms, largest in view {least['largest']:.0f} ms, "
            f"all read {least['parsed']:.0f} ms, loaded {least['loaded']:.0f} ms; processor "
            f"{least['processor']:.0f} ms; heap {least['heap'] / 1e6:.0f} MB, process "
            f"{least['memory']:.0f} MB"
        )
        for kind in changes[0]:
            n_changes = len(_ASKED[kind])
            script, frame, own = (
                max(min(one[kind][nth][part] for one in changes) for nth in range(n_changes))
                for part in (0, 1, 2)
            )
            write(
                f"  {kind}: {script:.0f} ms in the script, {frame:.0f} ms to the next frame, "
                f"{own:.0f} ms of the processor"
            )


def main() -> None:
    """Measure each size."""
    report = Path(sys.argv[1])
    sizes = [int(one) for one in sys.argv[2:]] or _SIZES
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=_ARGUMENTS
        )
        for n in sizes:
            measure(report, n, browser)
        browser.close()


if __name__ == "__main__":
    main()
