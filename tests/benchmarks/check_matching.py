"""Pictures matched to shots by what they show, against rendered truth; run by hand.

``python tests/benchmarks/check_matching.py TABLES... [--draws N]`` reads folders of
rendered tables, each with its ``truth.json`` (``python -m fixtures.rendering``). From the truth of
a part of each folder it writes plans as a person would: places in steps of 0.05, sizes and empty
space too, angles in steps of 15 degrees, light in half hours; no file is named. It prints

* ``one each``: every picture has its shot; the share of pictures given to it;
* ``with others``: one picture in six has no shot and one shot in six has no picture; the same, with
  the share of the pictures of no shot that are left over, and of shots rightly missing;
* ``several``: two in five shots have a second or third picture, cut a little closer and made
  lighter or darker, as if taken again;
* ``kept loosely``: as with others, but each planned place, size, angle and direction is off by half
  its tolerance or so, and one in six is off altogether;
* ``named wrongly``: two pictures of each set have each other's names; how many of them are said to
  fit another shot better, and how many of those named rightly;
* how long it takes to match all pictures of all folders to forty shots;
* how often matches of a stated probability are right.

With ``--judged PHOTOGRAPHS JUDGED.json`` each photograph's plan in words, without what the eye said
it misses (see `check_verdicts.py`), is a shot: a few words each.
"""

from __future__ import annotations

import argparse
import dataclasses
import io
import json
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from check_verdicts import as_toml
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor import measure, read_plan
from auditor.comparison.by_content import match_by_content
from auditor.comparison.matching import Matches
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Plan

KINDS = ("one each", "with others", "several", "kept loosely")
SIZES = (12, 20, 30, 40)  # pictures of a set, as far as the folder has so many
TRIMS = ((0.03, 0.02, 0.0, 0.04), (0.0, 0.05, 0.04, 0.01))  # left, top, right, bottom
GAINS_EV = (0.2, -0.2)
STEP, ANGLE_STEP, CLOCK_STEP = 0.05, 15, 0.5
# Half of the default tolerances, by which a picture misses a plan that it keeps only loosely.
LOOSE_DEVIATION = {"place": 0.04, "size": 0.03, "clock": 0.6, "angle": 5.0, "space": 0.05}
ALTOGETHER_OFF = 1 / 6
LEAST_ELEMENT = 0.003  # share of the frame: nobody plans what is smaller

Truth = Mapping[str, Any]
Pictures = Mapping[str, MeasuredPhotograph]


def stepped(value: float, step: float) -> float:
    return round(round(value / step) * step, 4)


def shot_text(name: str, truth: Truth, *, files: Sequence[str] = ()) -> str:
    """One shot of a plan, as a person would write it."""
    subject = truth["subject"]
    at = [stepped(part, STEP) for part in subject["centroid"]]
    size = max(STEP, stepped(subject["area_fraction"], STEP))
    clock = stepped(truth["light"]["clock"], CLOCK_STEP) or 12.0
    lines = [
        "[[shot]]",
        f'name = "{name}"',
        f"subject = {{ at = {at}, size = {size} }}",
        f"camera_elevation = {min(90, stepped(truth['camera_elevation_deg'], ANGLE_STEP))}",
        f"light = {{ clock = {clock} }}",
        f"negative_space = {{ fraction = {stepped(truth['negative_space']['fraction'], STEP)} }}",
    ]
    elements = [
        f'{{ name = "{one["name"].replace("_", " ")}", '
        f"at = {[stepped(part, STEP) for part in one['centroid']]} }}"
        for one in truth["elements"]
        if one["area_fraction"] >= LEAST_ELEMENT
    ]
    if elements:
        lines.append(f"supporting = [ {', '.join(elements)} ]")
    if truth["diagonal"]:
        lines.append(f"diagonal = {stepped(truth['diagonal']['angle_deg'], ANGLE_STEP) or 15}")
    if files:
        lines.append(f"files = {json.dumps(list(files))}")
    return "\n".join(lines)


def loosely(truth: Truth, rng: np.random.Generator) -> Truth:
    """The truth of a picture that keeps its plan only roughly, as the plan would have it."""

    def off(value: float, deviation: float, least: float, most: float) -> float:
        if rng.random() < ALTOGETHER_OFF:
            return float(rng.uniform(least, most))
        return float(np.clip(value + rng.normal(0, deviation), least, most))

    def thing(one: Truth, deviation: float) -> Truth:
        x, y = one["centroid"]
        if rng.random() < ALTOGETHER_OFF:
            x, y = rng.uniform(0.1, 0.9, 2)
        place = [float(np.clip(part + rng.normal(0, deviation), 0, 1)) for part in (x, y)]
        return {**one, "centroid": place}

    subject = thing(truth["subject"], LOOSE_DEVIATION["place"])
    size = off(subject["area_fraction"], LOOSE_DEVIATION["size"], 0.03, 0.4)
    clock = off(truth["light"]["clock"], LOOSE_DEVIATION["clock"], 0.5, 12.0)
    angle = off(truth["camera_elevation_deg"], LOOSE_DEVIATION["angle"], 5, 90)
    space = off(truth["negative_space"]["fraction"], LOOSE_DEVIATION["space"], 0.2, 0.9)
    return {
        **truth,
        "subject": {**subject, "area_fraction": size},
        "elements": [thing(one, LOOSE_DEVIATION["place"]) for one in truth["elements"]],
        "light": {"clock": clock},
        "camera_elevation_deg": angle,
        "negative_space": {"fraction": space},
    }


def plan_of(shots: Sequence[str]) -> Plan:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.toml"
        path.write_text("\n\n".join(shots) + "\n")
        return read_plan(path)


class Measured:
    """Measurements of this run, each made once."""

    def __init__(self) -> None:
        self.known: dict[str, MeasuredPhotograph] = {}

    def picture(self, path: Path) -> MeasuredPhotograph:
        if str(path) not in self.known:
            self.known[str(path)] = measure(path)
        return self.known[str(path)]

    def taken_again(self, path: Path, number: int) -> MeasuredPhotograph:
        """The picture cut a little closer and made lighter or darker."""
        key = f"{path} again {number}"
        if key not in self.known:
            with Image.open(path) as image:
                left, top, right, bottom = TRIMS[number]
                box = (
                    left * image.width, top * image.height,
                    (1 - right) * image.width, (1 - bottom) * image.height,
                )  # fmt: skip
                pixels = np.asarray(image.convert("RGB").crop(tuple(map(round, box))))
            lighter = 255 * (pixels / 255) ** (2 ** -GAINS_EV[number])
            with tempfile.TemporaryDirectory() as folder:
                trimmed = Path(folder) / f"{path.stem}-again-{number}.jpg"
                held = io.BytesIO()
                Image.fromarray(lighter.round().astype(np.uint8)).save(held, "JPEG", quality=92)
                trimmed.write_bytes(held.getvalue())
                self.known[key] = measure(trimmed)
        return self.known[key]


@dataclasses.dataclass
class Counts:
    """Matches of one kind of set."""

    right: int = 0
    planned: int = 0
    left: int = 0
    others: int = 0
    missing: int = 0
    absent: int = 0
    sure: list[tuple[float, bool]] = dataclasses.field(default_factory=list)

    def add(self, matches: Matches, wanted: Mapping[str, str | None], absent: set[str]) -> None:
        """Count the matches of one set; `wanted` has the shot of each file."""
        for file, shot in wanted.items():
            given = matches.shot_of.get(file)
            is_right = (None if given is None else given.name) == shot
            if shot is None:
                self.others += 1
                self.left += is_right
            else:
                self.planned += 1
                self.right += is_right
            if file in matches.assumed:
                self.sure.append((matches.assumed[file].probability, is_right))
        self.absent += len(absent)
        self.missing += len(absent & set(matches.missing))


def draw(
    kind: str, names: Sequence[str], n: int, rng: np.random.Generator
) -> tuple[list[str], list[str]]:
    """Files of the pictures and of the shots of one set."""
    chosen = [str(one) for one in rng.permutation(names)[:n]]
    if kind in ("one each", "several"):
        return sorted(chosen), [str(one) for one in rng.permutation(chosen)]
    part = max(2, n // 6)
    return sorted(chosen[part:]), [str(one) for one in rng.permutation(chosen[:-part])]


def run_set(
    kind: str,
    folder: Path,
    truth: Mapping[str, Truth],
    held: Measured,
    n: int,
    rng: np.random.Generator,
    counts: Counts,
) -> None:
    """Draw one set, match it and count."""
    pictures, shots = draw(kind, sorted(truth), n, rng)
    planned = {
        one: loosely(truth[one], rng) if kind == "kept loosely" else truth[one] for one in shots
    }
    plan = plan_of([shot_text(one, planned[one]) for one in shots])
    measured = {one: held.picture(folder / one) for one in pictures}
    wanted: dict[str, str | None] = {one: one if one in shots else None for one in pictures}
    if kind == "several":
        for at, one in enumerate(sorted(pictures)):
            for number in range(at % 5 // 3 * (1 + at % 2)):
                again = held.taken_again(folder / one, number)
                measured[again.file] = again
                wanted[again.file] = one
    matches = match_by_content(plan, list(measured), list(measured.values()))
    counts.add(matches, wanted, set(shots) - set(pictures))


def named_wrongly(
    folder: Path, truth: Mapping[str, Truth], held: Measured, rng: np.random.Generator
) -> tuple[int, int, int, int]:
    """How many of the pictures that were named wrongly and rightly are said to fit another shot."""
    names = sorted(truth)
    first, second = (str(one) for one in rng.choice(names, 2, replace=False))
    swapped = {first: second, second: first}
    plan = plan_of([shot_text(one, truth[one], files=[swapped.get(one, one)]) for one in names])
    matches = match_by_content(plan, names, [held.picture(folder / one) for one in names])
    n_wrong = sum(one in matches.fits_better for one in swapped)
    return n_wrong, 2, len(matches.fits_better) - n_wrong, len(names) - 2


def judged_plans(photographs: Path, judged: Path, held: Measured) -> Counts:
    """Photographs matched to plans of a few words."""
    plans = json.loads(judged.read_text())
    counts, shots = Counts(), []
    for one in plans:
        words = {
            key: value
            for key, value in one["plan"].items()
            if one["verdicts"].get(key) in ("met", "borderline")
        }
        text = as_toml(words).replace('files = ["*"]\n', "")
        shots.append(text.replace('name = "shot"', f"name = {json.dumps(one['file'])}"))
    pictures = {one["file"]: held.picture(photographs / one["file"]) for one in plans}
    matches = match_by_content(plan_of(shots), list(pictures), list(pictures.values()))
    counts.add(matches, {file: file for file in pictures}, set())
    n_given = len(matches.shot_of)
    say(f"a few words each: {share(n_given, len(pictures))} matched, "
        f"{share(counts.right, n_given)} of them rightly")  # fmt: skip
    return counts


def share(part: int, whole: int) -> str:
    return f"{part} of {whole} ({100 * part / whole:.1f} %)" if whole else "none"


def reliability(sure: Sequence[tuple[float, bool]]) -> Iterator[str]:
    """How often matches are right, by their stated probability."""
    groups: dict[int, list[tuple[float, bool]]] = defaultdict(list)
    edges = (0.0, 0.5, 0.7, 0.8, 0.9, 0.97, 1.01)
    for one in sure:
        groups[int(np.searchsorted(edges, one[0], side="right"))].append(one)
    for at in sorted(groups):
        stated = np.mean([one[0] for one in groups[at]])
        right = np.mean([one[1] for one in groups[at]])
        yield f"stated {stated:.2f}, right {right:.2f} of {len(groups[at])}"


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def drawn_sets(
    kind: str, truths: Mapping[Path, Mapping[str, Truth]], held: Measured, n_draws: int
) -> list[tuple[float, bool]]:
    """Draw sets of one kind, print how many matches are right, and return how sure they were."""
    counts = Counts()
    for at, (folder, truth) in enumerate(truths.items()):
        for size in SIZES:
            rng = np.random.default_rng([20251130, at, size])
            for _ in range(n_draws):
                run_set(kind, folder, truth, held, min(size, len(truth)), rng, counts)
    say(f"{kind}: right {share(counts.right, counts.planned)}, "
        f"of no shot left over {share(counts.left, counts.others)}, "
        f"missing shots {share(counts.missing, counts.absent)}")  # fmt: skip
    return counts.sure


def report_large_set(truths: Mapping[Path, Mapping[str, Truth]], held: Measured) -> None:
    """Match all pictures of all folders to forty shots, and print how long that takes."""
    both = [(folder, name) for folder, truth in truths.items() for name in sorted(truth)]
    pictures = [
        dataclasses.replace(held.picture(folder / name), file=f"{folder.name}/{name}")
        for folder, name in both
    ]
    shots = [shot_text(f"{folder.name}/{name}", truths[folder][name]) for folder, name in both[:40]]
    plan, start = plan_of(shots), time.process_time()
    match_by_content(plan, [one.file for one in pictures], pictures)
    seconds = time.process_time() - start
    say(f"{len(pictures)} pictures and {len(shots)} shots: {seconds:.1f} s of one core")


def report_named_wrongly(
    truths: Mapping[Path, Mapping[str, Truth]], held: Measured, n_draws: int
) -> None:
    """Print how many pictures are said to fit another shot."""
    totals = np.zeros(4, dtype=int)
    for at, (folder, truth) in enumerate(truths.items()):
        rng = np.random.default_rng([20251130, at])
        for _ in range(n_draws):
            totals += named_wrongly(folder, truth, held, rng)
    say(f"said to fit another shot: named wrongly {share(int(totals[0]), int(totals[1]))}, "
        f"named rightly {share(int(totals[2]), int(totals[3]))}")  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tables", type=Path, nargs="*")
    parser.add_argument("--judged", type=Path, nargs=2, metavar=("PHOTOGRAPHS", "JUDGED"))
    parser.add_argument("--draws", type=int, default=2, help="sets drawn of each size and folder")
    given = parser.parse_args()
    held = Measured()
    truths = {one: json.loads((one / "truth.json").read_text()) for one in given.tables}
    sure: list[tuple[float, bool]] = []
    if given.judged:
        sure += judged_plans(*given.judged, held).sure
    for kind in KINDS if given.tables else ():
        sure += drawn_sets(kind, truths, held, given.draws)
    if given.tables:
        report_named_wrongly(truths, held, given.draws)
        report_large_set(truths, held)
    for line in reliability(sure):
        say(line)


if __name__ == "__main__":
    main()
