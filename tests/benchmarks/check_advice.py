"""Check advice: is the plan or the set reached when it is really followed?

Run by hand: python tests/benchmarks/check_advice.py PHOTOGRAPHS [development] [--most N] [--jobs N]

PHOTOGRAPHS is a folder of photographs (``food`` of the shared data). In alphabetical order those
with an even index are for development, the odd ones for checking. The demo series in
``fixtures/teahouse`` is added to both as a set with its plan.

Each case is a picture that is off a plan or a set which it can reach, by construction: a plan that
a hidden crop of the picture meets; the colour temperature, the surface, the level or the set of the
picture before it was changed by a known amount. The advice is then followed with Pillow, numpy and
colour-science alone, from the numbers in the record, saved as JPEG of quality 92, and measured.

Prints for each kind how often advice was offered, how often it reached all that it said, and how
often something that was met was lost; for crops the share of the frame that was taken beside that
which the hidden crop took.
"""

from __future__ import annotations

import argparse
import json
import random
import statistics
import sys
import tempfile
import time
import warnings
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps

from auditor.accepted import Accepted, AcceptedColour
from auditor.advice.case import make_case
from auditor.advice.offering import offered
from auditor.advice.trying import try_corrections
from auditor.comparison.compare import compare, composed_shots
from auditor.comparison.item import Verdict
from auditor.comparison.matching import match
from auditor.geometry import Box
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, PlannedThing, Shot
from auditor.record.advice_record import AdviceRecord
from auditor.runs.measured_file import MeasuringTask, measure_picture
from auditor.runs.measuring import measure_all
from auditor.runs.run import starting_run
from auditor.runs.store import default_location
from auditor.runs.trying import TrialTask, try_changes
from auditor.series.series import describe_series

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science says what it could draw with
    import colour

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "fixtures" / "teahouse"
QUALITY = 92
STORE = default_location()
LEVEL_DEG = 0.7
RATIOS = (1.0, 0.8, 1.25, 1.5, 2 / 3)
SEED = 20261130


# --- following the numbers of the record, without auditor ---------------------------------------


def follow(image: Image.Image, change: dict) -> Image.Image:
    """The picture after the change of a record, by Pillow, numpy and colour-science."""
    width, height = image.size
    if change["turn_deg"]:
        image = image.rotate(-change["turn_deg"], Image.Resampling.BICUBIC)
    left, top, right, bottom = change["crop"]
    edges = (round(left * width), round(top * height), round(right * width), round(bottom * height))
    if edges != (0, 0, width, height):
        image = image.crop(edges)
    if not change["mired"] and not change["exposure_ev"] and change["saturation"] == 1:
        return image
    light = colour.cctf_decoding(np.asarray(image) / 255, function="sRGB")
    light = light * 2 ** change["exposure_ev"]
    if change["mired"]:
        light = light @ white_shift(change["mired"]).T
    light = np.clip(light, 0, 1)
    if change["saturation"] != 1:
        lab = colour.XYZ_to_Lab(light @ TO_XYZ.T, WHITE)
        lab[..., 1:] *= change["saturation"]
        light = np.clip(colour.Lab_to_XYZ(lab, WHITE) @ np.linalg.inv(TO_XYZ).T, 0, 1)
    coded = colour.cctf_encoding(light, function="sRGB")
    return Image.fromarray(np.rint(np.clip(coded, 0, 1) * 255).astype(np.uint8))


WHITE = np.array([0.3127, 0.3290])
TO_XYZ = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ


def white_shift(mired: float) -> np.ndarray:
    """Matrix of linear sRGB that moves the white point from D65 along the Planckian locus."""
    kelvin, duv = colour.temperature.uv_to_CCT_Ohno2013(colour.xy_to_UCS_uv(WHITE))
    whites = [
        colour.xy_to_XYZ(
            colour.UCS_uv_to_xy(colour.temperature.CCT_to_uv_Ohno2013(np.array([one, duv])))
        )
        for one in (kelvin, 1e6 / (1e6 / kelvin + mired))
    ]
    adapted = colour.adaptation.matrix_chromatic_adaptation_VonKries(*whites, transform="Bradford")
    return np.linalg.inv(TO_XYZ) @ adapted @ TO_XYZ


def inscribed(width: int, height: int, deg: float) -> tuple[float, float, float, float]:
    sine, cosine = abs(np.sin(np.radians(deg))), abs(np.cos(np.radians(deg)))
    scale = min(width / (width * cosine + height * sine), height / (width * sine + height * cosine))
    return ((1 - scale) / 2, (1 - scale) / 2, (1 + scale) / 2, (1 + scale) / 2)


NOTHING = {
    "turn_deg": 0.0,
    "crop": (0.0, 0.0, 1.0, 1.0),
    "mired": 0.0,
    "exposure_ev": 0.0,
    "saturation": 1.0,
}


# --- cases --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Spec:
    """A case to make: a picture, what is wrong with it, and the seed of the amounts."""

    folder: Path
    file: str
    kind: str
    seed: str


def wrong(kind: str, image: Image.Image, chance: random.Random) -> dict:
    """A change that puts a picture off by a known amount."""
    sign = chance.choice((-1, 1))
    if kind == "temperature":
        return NOTHING | {"mired": sign * chance.uniform(20, 60)}
    if kind == "exposure":
        return NOTHING | {"exposure_ev": sign * chance.uniform(0.4, 1.2)}
    if kind == "saturation":
        return NOTHING | {"saturation": chance.choice((0.5, 0.6, 1.6, 1.8))}
    if kind == "both":
        return NOTHING | {
            "mired": sign * chance.uniform(25, 60),
            "exposure_ev": chance.choice((-1, 1)) * chance.uniform(0.5, 1.2),
        }
    deg = sign * chance.uniform(1.5, 4)
    return NOTHING | {"turn_deg": deg, "crop": inscribed(*image.size, deg)}


def hidden_crop(measured, chance: random.Random) -> Box | None:
    """A random crop that leaves 60 to 95 % of the frame and the subject whole."""
    subject = measured.subject.value
    if subject is None:
        return None
    ratio = measured.width / measured.height
    for _ in range(200):
        aspect = chance.choice(RATIOS) if chance.random() < 1 / 3 else ratio
        full = min(1.0, aspect / ratio), min(1.0, ratio / aspect)
        scale = chance.uniform(0.7, 1.0)
        width, height = full[0] * scale, full[1] * scale
        left, top = chance.uniform(0, 1 - width), chance.uniform(0, 1 - height)
        box, inner = Box(left, top, left + width, top + height), subject.bbox
        whole = (
            box.left <= inner.left
            and box.top <= inner.top
            and box.right >= inner.right
            and box.bottom >= inner.bottom
        )
        if whole and 0.6 <= box.area_fraction <= 0.95:
            return box
    return None


def upright(path: Path) -> tuple[Image.Image, Image.Exif]:
    """The picture as it is displayed, and its metadata without the orientation."""
    with Image.open(path) as opened:
        shown = ImageOps.exif_transpose(opened)
        return shown.convert("RGB"), shown.getexif()


class Reader:
    """Measures changed pictures in this process, as a worker of an audit does."""

    def __init__(self, folder: Path, measured) -> None:
        self.folder, self.measured = folder, {one.file: one for one in measured}
        self.n_tried, self.seconds = 0, 0.0

    def __call__(self, changes):
        start = time.process_time()
        found = {}
        for file, wanted in changes.items():
            task = MeasuringTask(self.folder, file, file)
            trial = TrialTask(task, self.measured[file].sha256, tuple(wanted))
            found[file] = try_changes(trial, None)
            self.n_tried += len(wanted)
        self.seconds += time.process_time() - start
        return found


def save(image: Image.Image, path: Path, quality: int = QUALITY) -> None:
    image.save(path, quality=quality)


def run(spec: Spec, demo) -> dict | None:
    """Make a case, ask for advice, follow it, and measure again; None if it is no case."""
    chance = random.Random(spec.seed)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        image, exif = upright(spec.folder / spec.file)
        if demo is not None:
            return of_set(spec, image, exif, demo, folder, chance)
        return of_plan(spec, image, folder, chance)


def of_plan(spec: Spec, image: Image.Image, folder: Path, chance: random.Random) -> dict | None:
    before = remembered(spec.folder, spec.file)
    path = folder / "case.jpg"
    if spec.kind != "crop" and intended(spec.kind, before) is None:
        return None
    taken = None
    if spec.kind == "crop":
        box = hidden_crop(before, chance)
        if box is None:
            return None
        path.write_bytes((spec.folder / spec.file).read_bytes())
        save(follow(image, NOTHING | {"crop": box}), folder / "hidden.jpg")
        reached = measure_picture(folder / "hidden.jpg")
        if reached.subject.value is None:
            return None
        taken = 1 - box.area_fraction
        size = Accepted.exactly(reached.subject.value.area_fraction)
        thing = PlannedThing(None, reached.subject.value.centroid, chance.choice((None, size)))
        is_other = abs(np.log(reached.width / reached.height * before.height / before.width)) > 0.03
        ratio = Accepted.exactly(reached.width / reached.height) if is_other else None
        intent = Intent(subject=thing, aspect_ratio=ratio)
    else:
        save(follow(image, wrong(spec.kind, image, chance)), path, 95)
        intent = intended(spec.kind, before) or Intent()
    shot = Shot("a shot", ("*",), intent)
    measured = replace(before, file=path.name) if taken is not None else measure_picture(path)
    return judged(spec, measured, path, shot, DEFAULT_TOLERANCES, [], taken)


def remembered(folder: Path, file: str):
    """A picture's measurements, from the store where an audit has left them there."""
    with starting_run(jobs=1, store=STORE) as run:
        (outcome,) = measure_all(folder, [file], None, run, lambda *_: None)
    return outcome.picture


def intended(kind: str, before) -> Intent | None:
    """The plan that the picture met before it was changed; None if it says nothing sure."""
    temperature = before.colour_temperature.value
    mired = None if temperature is None else Accepted.exactly(temperature.mired)
    surface = before.surface.value
    if kind == "temperature":
        return None if mired is None else Intent(colour_temperature=mired)
    if kind == "exposure":
        return None if surface is None else Intent(surface=(AcceptedColour(surface.hex),))
    if kind == "both":
        if mired is None or surface is None:
            return None
        return Intent(colour_temperature=mired, surface=(AcceptedColour(surface.hex),))
    roll = before.roll
    is_level = roll.value is not None and abs(roll.value.deg) < LEVEL_DEG
    return Intent() if is_level and (roll.confidence or 0) >= 0.75 else None


def of_set(spec, image, exif, demo, folder: Path, chance: random.Random) -> dict | None:
    originals, shots, tolerances = demo
    path = folder / spec.file
    changed = follow(image, wrong(spec.kind, image, chance))
    changed.save(path, quality=95, exif=exif)
    others = [one for one in originals if one.file != spec.file]
    measured = measure_picture(path)
    return judged(spec, measured, path, shots.get(spec.file), tolerances, others, None)


def judged(spec: Spec, measured, path: Path, shot, tolerances, others, taken) -> dict | None:
    everyone = sorted([*others, measured], key=lambda one: one.file)
    series = describe_series(everyone)
    items = verdicts(shot, measured, tolerances, series)
    case = make_case(measured, shot, items, series, tolerances)
    if spec.kind != "turn" and not case.missed and not case.off_set:
        return None  # not off by enough
    reader = Reader(path.parent, [measured])
    start = time.process_time()
    trials = try_corrections([case], series, everyone, reader, describe_series)
    seconds = time.process_time() - start
    one = trials.get(measured.file)
    advice = () if one is None else offered(one, series, None)
    records = [AdviceRecord.model_validate(json.loads(json.dumps(asdict(a)))) for a in advice]
    results = [followed(record, path, case, everyone) for record in records]
    return {
        "spec": f"{spec.file} {spec.kind}",
        "kind": spec.kind,
        "is_set": bool(others),
        "missed": [f"{q}" for q, _ in case.missed] + list(case.off_set),
        "roll_sure": measured.roll.value is not None and (measured.roll.confidence or 0) >= 0.75,
        "taken": taken,
        "n_tried": reader.n_tried,
        "seconds": seconds,
        "advice": results,
        "tried": []
        if one is None
        else [
            f"{t.judged.change.key} gains={sorted(map(str, t.judged.gains))} "
            f"lost={t.judged.lost} keeps={t.judged.keeps_subject}"
            for t in one.tried
        ],
    }


def verdicts(shot, measured, tolerances, series):
    if shot is None:
        return ()
    mired = {known.file: known.quantity for known in series.colour_temperatures}
    return compare(shot, measured, tolerances, mired.get(measured.file))


def followed(record: AdviceRecord, path: Path, case, everyone) -> dict:
    """Follow one advice really, and measure the file."""
    image, exif = upright(path)
    place = path.parent / "followed"
    place.mkdir(exist_ok=True)
    after_path = place / path.name
    image = follow(image, record.change.model_dump())
    image.save(after_path, quality=QUALITY, exif=exif)
    after = replace(measure_picture(after_path), file=path.name)
    series = describe_series([after if one.file == after.file else one for one in everyone])
    items = verdicts(case.shot, after, case.tolerances, series)
    missing = []
    for name in record.reaches:
        own = [item for item in items if item.quantity == name]
        was = [item for item in case.items if item.quantity == name]
        n_met = sum(item.verdict is Verdict.MET for item in own)
        if n_met <= sum(item.verdict is Verdict.MET for item in was):
            missing.append(name)
    out = [q.quantity for q in series.quantities if any(o.file == path.name for o in q.outliers)]
    missing += [name for name in record.rejoins if name in out]
    if record.levels:
        roll = after.roll.value
        if roll is None or abs(roll.deg) >= LEVEL_DEG:
            missing.append(f"level {None if roll is None else round(roll.deg, 2)}")
    found = {(item.quantity, item.element): item.verdict for item in items}
    lost = [
        str((item.quantity, item.element))
        for item in case.items
        if item.verdict is Verdict.MET
        and found.get((item.quantity, item.element)) is not Verdict.MET
    ]
    assert (record.width, record.height) == image.size
    return {
        "kind": record.kind,
        "reaches": record.reaches,
        "rejoins": record.rejoins,
        "levels": record.levels,
        "missing": missing,
        "lost": lost,
        "taken": 1 - (record.crop[2] - record.crop[0]) * (record.crop[3] - record.crop[1])
        if record.crop
        else 0.0,
        "change": record.change.model_dump(),
    }


# --- the whole check ----------------------------------------------------------------------------

_demo: list = []


def _prepare(demo) -> None:
    _demo.append(demo)


def _one(spec: Spec):
    return run(spec, _demo[0] if spec.folder == DEMO else None)


def demo_set(jobs: int):
    files = sorted(path.name for path in DEMO.glob("*.jpg"))
    with starting_run(jobs=jobs, store=default_location()) as run:
        outcomes = measure_all(DEMO, files, None, run, lambda *_: None)
    measured = [outcome.picture for outcome in outcomes]
    plan = read_plan(DEMO / "plan.toml")
    matches = match(plan, files)
    shots = composed_shots(matches.shot_of, measured, plan.tolerances)
    return measured, {file: one.shot for file, one in shots.items()}, plan.tolerances


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("photographs", type=Path)
    parser.add_argument("part", nargs="?", choices=("development",))
    parser.add_argument("--most", type=int, default=48)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--kinds", default="crop,temperature,exposure,turn,both,saturation")
    parser.add_argument("--write", type=Path)
    given = parser.parse_args()
    kinds = given.kinds.split(",")
    files = sorted(path.name for path in given.photographs.iterdir())
    chosen = files[0 if given.part else 1 :: 2]
    step = max(1, len(chosen) // given.most)
    chosen = chosen[::step][: given.most]
    specs = []
    others = [kind for kind in ("temperature", "exposure", "turn", "both") if kind in kinds]
    for number, file in enumerate(chosen):
        wanted = ["crop"] if "crop" in kinds else []
        wanted += [others[number % len(others)]] if others else []
        wanted += ["turn"] if "turn" in kinds and "turn" not in wanted else []
        specs += [Spec(given.photographs, file, kind, f"{SEED} {file} {kind}") for kind in wanted]
    of_sets = [k for k in ("temperature", "exposure", "saturation", "turn", "both") if k in kinds]
    part = given.part or "checking"
    for number, file in enumerate(sorted(path.name for path in DEMO.glob("*.jpg"))):
        for kind in (of_sets[(number + n) % len(of_sets)] for n in range(min(2, len(of_sets)))):
            specs.append(Spec(DEMO, file, kind, f"{SEED} {part} {file} {kind}"))
    random.Random(SEED).shuffle(specs)  # so that a run that is stopped early is a fair part
    start = time.perf_counter()
    demo = demo_set(given.jobs)
    results = []
    with ProcessPoolExecutor(given.jobs, initializer=_prepare, initargs=(demo,)) as pool:
        for number, result in enumerate(pool.map(_one, specs)):
            if result is not None:
                results.append(result)
                say(f"{number} {len(specs)} {_line(result)}")
            if given.write and result is not None:
                given.write.write_text(json.dumps(results, indent=1))
    report(results)
    say(f"{time.perf_counter() - start:.0f} s")


def _line(result: dict) -> str:
    said = [
        f"{one['kind']}: {','.join(one['reaches'] + one['rejoins'])}"
        f"{' level' if one['levels'] else ''} -{one['taken']:.3f}"
        f"{' NOT ' + str(one['missing']) if one['missing'] else ''}"
        f"{' LOST ' + str(one['lost']) if one['lost'] else ''}"
        for one in result["advice"]
    ]
    hidden = "" if result["taken"] is None else f" hidden -{result['taken']:.3f}"
    return f"{result['spec']}{hidden} off {result['missed']} -> {said or 'nothing'}"


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def report(results: list[dict]) -> None:
    cases, offers = defaultdict(list), defaultdict(list)
    for result in results:
        cases[(result["kind"], result["is_set"])].append(result)
        for one in result["advice"]:
            offers[one["kind"]].append(one)
    say("\ncase                 cases  advised")
    for (kind, is_set), own in sorted(cases.items()):
        n = sum(bool(one["advice"]) for one in own)
        say(f"{kind + (' (set)' if is_set else ''):20} {len(own):5}  {n:5}  {n / len(own):.0%}")
    say("\nadvice               offered  reached  lost something")
    everything = [one for own in offers.values() for one in own]
    for kind, own in [*sorted(offers.items()), ("all", everything)]:
        n = sum(not one["missing"] for one in own)
        n_lost = sum(bool(one["lost"]) for one in own)
        say(f"{kind:20} {len(own):5}  {n:5} {n / max(1, len(own)):.0%}  {n_lost:5}")
    crops = [
        (one["taken"], result["taken"])
        for result in results
        if result["kind"] == "crop"
        for one in result["advice"]
    ]
    if crops:
        own, hidden = zip(*crops, strict=True)
        say(
            f"\nshare of the frame taken: median {statistics.median(own):.3f}, by the hidden crops "
            f"{statistics.median(hidden):.3f}; more than by the hidden crop in "
            f"{sum(a > b + 0.01 for a, b in crops)} of {len(crops)}"
        )
    tried = [one for one in results if one["n_tried"]]
    say(
        f"changes tried on a picture: {statistics.mean(one['n_tried'] for one in tried):.1f}, "
        f"seconds of one core: {statistics.mean(one['seconds'] for one in tried):.1f}"
    )


if __name__ == "__main__":
    main()
