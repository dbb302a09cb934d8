"""Write a phone's default SubjectArea into photographs and compare their subjects; run by hand.

``python tests/benchmarks/check_default_areas.py PHOTOGRAPHS [--names SPLIT.json KEY]
[--number 20]`` takes evenly spread photographs, stores them as a phone would, upright and turned,
and measures them as one set: without an area, with the default of a phone in the middle of the
frame, and with another area that is the same in all. A third of the pictures are stored upright
as a program leaves them that turns pixels: their area is still that of the sensor. It prints the
pictures whose subject differs from the one without an area. Each is also measured alone.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from pathlib import Path

import piexif
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.runs.measured_file import measure_picture
from auditor.runs.measuring import measure_all
from auditor.runs.run import starting_run

SENSOR = (4032, 3024)
AREAS = {"phone's default": (2015, 1511, 2217, 1330), "same in all": (1200, 900, 610, 612)}
# Ways in which a picture that was taken upright or across comes to be stored.
STORED = {6: Image.Transpose.ROTATE_90, 3: Image.Transpose.ROTATE_180, 1: None}


def write(source: Path, target: Path, way: int, area: tuple[int, ...] | None) -> None:
    """Store a photograph in one of the ways, with an area in the proportions of the sensor."""
    orientation = list(STORED)[way % len(STORED)]
    picture = Image.open(source).convert("RGB")
    method = STORED[orientation]
    stored = picture if method is None else picture.transpose(method)
    photo = {}
    if area is not None:
        across, down = max(stored.size), min(stored.size)
        scales = (across / SENSOR[0], down / SENSOR[1])
        scaled = [round(value * scales[i % 2]) for i, value in enumerate(area)]
        photo = {piexif.ExifIFD.SubjectArea: scaled}
    main = {piexif.ImageIFD.Orientation: orientation, piexif.ImageIFD.Model: b"Phone"}
    stored.save(target, quality=95, exif=piexif.dump({"0th": main, "Exif": photo}))


def subjects(folder: Path) -> dict[str, object]:
    """The subject of each picture of a set."""
    files = sorted(path.name for path in folder.iterdir())
    with starting_run(jobs=1, store=None) as run:
        outcomes = measure_all(folder, files, None, run, lambda *_: None)
    return {
        outcome.picture.file: (outcome.picture.subject, outcome.picture.subject_source)
        for outcome in outcomes
        if isinstance(outcome.picture, MeasuredPhotograph)
    }


def main() -> None:
    """Print how many subjects stay what they are."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("--names", nargs=2, metavar=("SPLIT", "KEY"))
    parser.add_argument("--number", type=int, default=20)
    arguments = parser.parse_args()
    names = sorted(path.name for path in arguments.photographs.glob("*.jpg"))
    if arguments.names is not None:
        split, key = arguments.names
        names = sorted(json.loads(Path(split).read_text(encoding="utf-8"))[key])
    names = names[:: max(1, len(names) // arguments.number)][: arguments.number]
    with tempfile.TemporaryDirectory() as base:
        found = {}
        for title, area in {"none": None, **AREAS}.items():
            folder = Path(base) / title
            folder.mkdir()
            for way, name in enumerate(names):
                write(arguments.photographs / name, folder / name, way, area)
            found[title] = subjects(folder)
            same = [found[title][name] == found["none"][name] for name in names]
            _say(f"{title}: {sum(same)} of {len(names)} as without an area")
        alone = Path(base) / "phone's default"
        measured = [(name, measure_picture(alone / name)) for name in names]
        same = [
            (picture.subject, picture.subject_source) == found["none"][name]
            for name, picture in measured
        ]
        _say(f"phone's default, each picture alone: {sum(same)} of {len(names)}")


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
