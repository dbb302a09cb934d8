"""The command as a person types it: files written, messages, exit statuses."""

import json
import os
import shutil
import signal
import struct
import subprocess
import sys
import zlib
from datetime import UTC, datetime
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from PIL import Image

from auditor import __version__
from auditor.audit_request import AuditRequest
from auditor.audit_steps import audit
from auditor.errors import NothingToMeasureError
from tests.conftest import README, ROOT, draw_dish
from tests.systems import any_name, interruptible, names_are_bytes

FIXED = "1764547200"
# An environment that asks for several threads, which could add numbers in any order.
SEVERAL_THREADS = {"OMP_NUM_THREADS": "2", "OPENBLAS_NUM_THREADS": "2", "MKL_NUM_THREADS": "2"}
# A job in the background of a shell ignores SIGINT and passes that on; this program answers it.
ANSWER_SIGINT = """
import os, signal, sys
signal.signal(signal.SIGINT, signal.SIG_DFL)
os.execv(sys.executable, [sys.executable, *sys.argv[1:]])
"""
INTERRUPTIBLE = (sys.executable, "-c", ANSWER_SIGINT)

GOOD_PLAN = """
[series]
colour_temperature = { kelvin = 6500 }

[[shot]]
name = "a dish"
files = ["dish*"]
subject = { at = "centre" }
camera_elevation = "overhead"

[[shot]]
name = "a shot that nobody took"
files = ["*cake*"]
"""

# One fault in each: an unknown key, a word that is no place, a number out of range, a colour that
# is none, a wrong type.
FIVE_FAULTS = """
[series]
colour_temprature = { kelvin = 6500 }
palette = ["#e08a1e", "orange-ish"]

[[shot]]
name = "a dish"
files = ["dish*"]
subject = { at = "somewhere nice" }
camera_elevation = 120
technique = 3
"""
FAULTY_LINES = {3, 4, 9, 10, 11}


@pytest.fixture
def pictures(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "dish 2.jpg", quality=90)
    draw_dish((0.6, 0.4), seed=1).save(folder / "dish 10.jpg", quality=90)
    return folder


def test_an_audit_writes_its_files_and_names_the_page(run_auditor, pictures, tmp_path):
    (tmp_path / "plan.toml").write_text(GOOD_PLAN, encoding="utf-8")
    done = run_auditor("audit", pictures, "--plan", "plan.toml", "--out", "report")
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == str(Path("report") / "index.html")
    assert "a shot that nobody took" in done.stderr
    written = {path.name for path in (tmp_path / "report").iterdir()}
    assert written == {"index.html", "audit.json", "measurements.csv", "verdicts.csv", "pictures"}
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    assert [image["file"] for image in record["images"]] == ["dish 2.jpg", "dish 10.jpg"]
    assert [shot["missing"] for shot in record["shots"]] == [False, True]


def test_the_record_is_what_the_schema_says(call_auditor, pictures, tmp_path):
    schema = json.loads(call_auditor("schema").stdout)
    call_auditor("audit", pictures, "--out", "report")
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(record)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(schema).validate({**record, "images": [{"file": "x"}]})


def test_the_default_place_is_named_after_the_folder(call_auditor, pictures, tmp_path):
    assert call_auditor("audit", pictures).returncode == 0
    assert (tmp_path / "reports" / "set" / "index.html").is_file()


@pytest.mark.parametrize("jobs", [1, 2])
def test_two_runs_write_the_same_bytes(call_auditor, run_auditor, pictures, tmp_path, jobs):
    # One run in a single process, where the order of the pictures is fixed; one as usual.
    audit_it = ("audit", pictures, "--fresh", "--jobs", jobs, "--out")
    for done in (
        call_auditor(*audit_it, "first", SOURCE_DATE_EPOCH=FIXED),
        run_auditor(*audit_it, "second", SOURCE_DATE_EPOCH=FIXED, **SEVERAL_THREADS),
    ):
        assert done.returncode == 0, done.stderr
    first, second = (
        {
            path.relative_to(tmp_path / out): path.read_bytes()
            for path in sorted((tmp_path / out).rglob("*"))
            if path.is_file()
        }
        for out in ("first", "second")
    )
    assert first == second


def test_what_is_remembered_is_what_was_measured(run_auditor, call_auditor, pictures, tmp_path):
    run_auditor("audit", pictures, "--out", "measured", "--fresh", SOURCE_DATE_EPOCH=FIXED)
    call_auditor("audit", pictures, "--out", "remembered", SOURCE_DATE_EPOCH=FIXED)
    measured, remembered = (
        (tmp_path / out / "audit.json").read_bytes() for out in ("measured", "remembered")
    )
    assert measured == remembered


def test_five_faults_make_five_messages_and_nothing_is_written(call_auditor, pictures, tmp_path):
    (tmp_path / "plan.toml").write_text(FIVE_FAULTS, encoding="utf-8")
    for command in (
        ("plan", "check", "plan.toml"),
        ("audit", pictures, "--plan", "plan.toml", "--out", "report"),
    ):
        done = call_auditor(*command)
        assert done.returncode == 2
        lines = done.stderr.strip().splitlines()
        assert {int(line.split(":")[1]) for line in lines} == FAULTY_LINES
        assert len(lines) == 5
        for key in ("colour_temprature", "palette", "subject.at", "camera_elevation", "technique"):
            assert any(key in line for line in lines), key
    assert not (tmp_path / "report").exists()


def test_a_fault_is_shown_with_its_line_whatever_the_terminal_makes_of_it(call_auditor, tmp_path):
    # ":100:" is the name of a symbol to some terminal libraries, "[bold]" a style.
    text = "\n" * 99 + 'series.light = "[bold]"\n[[shot]]\nname = "dish \\u001b[31m"\nfiles = "*"\n'
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    done = call_auditor("plan", "check", "plan.toml")
    assert done.returncode == 2
    assert done.stderr.startswith('plan.toml:100: series.light: "[bold]" is not right: ')


@any_name
def test_names_are_written_as_they_are(run_auditor, pictures):
    for name in ("soup:100:.jpg", "[bold]soup.jpg", "red\x1b[31m.jpg"):
        (pictures / name).write_text("no picture", encoding="utf-8")
    done = run_auditor("audit", pictures, "--out", "[red]:100:")
    assert done.returncode == 0
    assert done.stdout == f"{Path('[red]:100:') / 'index.html'}\n"
    for shown in ("soup:100:.jpg", "[bold]soup.jpg", "red\ufffd[31m.jpg"):
        assert shown in done.stderr
    assert "\x1b" not in done.stderr


def test_a_good_plan_passes_its_check(run_auditor, tmp_path):
    (tmp_path / "plan.toml").write_text(GOOD_PLAN, encoding="utf-8")
    done = run_auditor("plan", "check", "plan.toml")
    assert (done.returncode, done.stdout) == (0, "")
    assert "2 shots" in done.stderr


def test_the_words_of_a_plan_can_be_read_or_piped(run_auditor):
    done = run_auditor("plan", "words")
    assert (done.returncode, done.stderr) == (0, "")
    assert max(map(len, done.stdout.splitlines())) <= 80
    for phrase in ("rule of thirds", "three-quarter", "back left", "terracotta", "portrait"):
        assert f"  {phrase} " in done.stdout


def test_a_pipe_that_closes_early_is_no_error(tmp_path):
    with subprocess.Popen(
        [sys.executable, "-m", "auditor", "plan", "words"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as running:
        running.stdout.close()  # as `head` does
        assert running.stderr.read() == b""
        assert running.wait(timeout=60) == 0


def test_what_a_plan_says_in_vain_is_said_once(call_auditor, pictures, tmp_path):
    notes = 'client = "x"\n' + GOOD_PLAN
    (tmp_path / "plan.toml").write_text(notes, encoding="utf-8")
    line = "plan.toml: ignored: client (nothing is compared with them)\n"
    assert call_auditor("plan", "check", "plan.toml").stderr.count(line) == 1
    assert call_auditor("audit", pictures, "--plan", "plan.toml").stderr.count(line) == 1
    record = json.loads((tmp_path / "reports" / "set" / "audit.json").read_text(encoding="utf-8"))
    assert record["plan_remarks"] == ["ignored: client (nothing is compared with them)"]


def test_strict_exits_with_1(run_auditor, pictures, tmp_path):
    (tmp_path / "plan.toml").write_text(GOOD_PLAN, encoding="utf-8")
    done = run_auditor("audit", pictures, "--plan", "plan.toml", "--strict")
    assert done.returncode == 1  # a planned shot has no picture
    assert (tmp_path / "reports" / "set" / "index.html").is_file()


def test_a_folder_that_is_not_there(run_auditor):
    done = run_auditor("audit", "nowhere")
    assert done.returncode == 2
    assert "nowhere" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_without_pictures(run_auditor, tmp_path):
    (tmp_path / "empty").mkdir()
    done = run_auditor("audit", "empty")
    assert done.returncode == 3
    assert not (tmp_path / "reports").exists()


def test_a_report_that_cannot_be_written(call_auditor, pictures, tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    done = call_auditor("audit", pictures, "--out", "file/report")
    assert done.returncode == 2
    assert "--out" in done.stderr


def test_only_what_is_built_is_listed(run_auditor):
    shown = run_auditor("--help").stdout + run_auditor("audit", "--help").stdout
    commands = ("audit", "report", "schema", "plan", "delivery", "compare", "shoots", "forget")
    for command in commands:
        assert f"│ {command} " in shown
    options = ("--plan", "--delivery", "--as", "--out", "--summary", "--proofs", "--single-file")
    for option in (
        *options,
        "--strict",
        "--jobs",
        "--scheduler",
        "--fresh",
        "--no-memory",
        "--log",
    ):
        assert option in shown
        assert f"| `{option}" in README
    assert run_auditor("--version").stdout == f"auditor {__version__}\n"


def test_the_page_of_an_earlier_audit_is_drawn_again(call_auditor, pictures, tmp_path):
    call_auditor("audit", pictures, "--out", "report")
    page = tmp_path / "report" / "index.html"
    drawn = page.read_bytes()
    page.write_bytes(b"")
    done = call_auditor("report", "report")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == f"{Path('report') / 'index.html'}\n"
    assert page.read_bytes() == drawn


def test_a_page_is_only_drawn_from_an_audit(call_auditor, tmp_path):
    (tmp_path / "empty").mkdir()
    for directory in ("nowhere", "empty"):
        done = call_auditor("report", directory)
        assert (done.returncode, done.stdout) == (2, "")
        assert directory in done.stderr
        assert "Traceback" not in done.stderr
    assert list((tmp_path / "empty").iterdir()) == []


def png_of_no_size(path):
    def chunk(kind, data):
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    header = struct.pack(">IIBBBBB", 0, 0, 8, 2, 0, 0, 0)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IEND", b""))


def test_a_folder_of_trouble(run_auditor, tmp_path):
    folder = tmp_path / "trouble"
    folder.mkdir()
    dish = draw_dish()
    dish.save(folder / "good.jpg", quality=90)
    whole = (folder / "good.jpg").read_bytes()
    (folder / "cut short.jpg").write_bytes(whole[: len(whole) // 2])
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "words.jpg").write_text("dear client, please find enclosed", encoding="utf-8")
    png_of_no_size(folder / "no size.png")
    dish.convert("CMYK").save(folder / "print.tif")
    deep = np.asarray(dish.convert("L"), dtype=np.uint16) * 257
    Image.fromarray(deep).save(folder / "deep.png")
    broken = b"\xff\xe1" + struct.pack(">H", 30) + b"Exif\0\0" + b"\x99" * 22
    (folder / "broken exif.jpg").write_bytes(whole[:2] + broken + whole[2:])
    (folder / "to itself.jpg").symlink_to(folder / "to itself.jpg")
    (folder / "notes.txt").touch()
    done = run_auditor("audit", folder, "--out", "report")
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
    assert "\n1 file was not looked at: " in done.stderr
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    found = {
        image["file"]: image["reason"] and image["reason"]["code"] for image in record["images"]
    }
    assert found == {
        "good.jpg": None,
        "cut short.jpg": "truncated",
        "empty.jpg": "empty_file",
        "to itself.jpg": "vanished",
        "words.jpg": "not_a_picture",
        "no size.png": "no_pixels",
        "print.tif": None,
        "deep.png": None,
        "broken exif.jpg": None,
    }


def test_a_report_inside_the_folder_is_not_audited(call_auditor, pictures):
    for _ in range(2):
        done = call_auditor("audit", pictures, "--out", pictures / "report")
        assert done.returncode == 0
        assert "2 pictures measured" in done.stderr


def test_the_report_carries_no_location(call_auditor, pictures, tmp_path):
    gps = {1: "N", 2: (12.0, 34.0, 56.78), 3: "W", 4: (98.0, 7.0, 6.54)}
    exif = Image.Exif()
    exif[0x8825] = gps
    draw_dish().save(pictures / "dish 3.jpg", exif=exif)
    done = call_auditor("audit", pictures, "--out", "report")
    assert "location" in done.stderr.lower() or "where" in done.stderr.lower()
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    assert [f["files"] for f in record["findings"] if f["code"] == "location"] == [["dish 3.jpg"]]
    text = (tmp_path / "report" / "index.html").read_text(encoding="utf-8")
    for piece in ("56.78", "6.54"):
        assert piece not in text + json.dumps(record)
    for preview in (tmp_path / "report" / "pictures").iterdir():
        with Image.open(preview) as picture:
            assert dict(picture.getexif()) == {}


def test_a_second_report_takes_the_place_of_the_first(call_auditor, pictures, tmp_path):
    call_auditor("audit", pictures, "--out", "report")
    note = tmp_path / "report" / "note of mine.txt"
    note.write_text("keep", encoding="utf-8")
    (pictures / "dish 10.jpg").unlink()
    call_auditor("audit", pictures, "--out", "report")
    previews = [path.name for path in (tmp_path / "report" / "pictures").iterdir()]
    assert all("dish-2" in name for name in previews)
    assert note.read_text(encoding="utf-8") == "keep"
    shutil.rmtree(tmp_path / "report")


@interruptible
def test_an_interrupt_leaves_the_earlier_report(pictures, tmp_path):
    for number in range(20, 40):
        draw_dish(seed=number).save(pictures / f"dish {number}.jpg", quality=90)
    report = tmp_path / "report"
    report.mkdir()
    (report / "index.html").write_text("the earlier one", encoding="utf-8")
    known = json.dumps({"schema_version": 1, "auditor_version": "0"})
    (report / "audit.json").write_text(known, encoding="utf-8")
    process = subprocess.Popen(
        [*INTERRUPTIBLE, "-m", "auditor", "audit", str(pictures), "--out", str(report)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert process.stderr is not None
    first_line = process.stderr.readline()
    assert first_line.startswith("Measured")
    os.killpg(process.pid, signal.SIGINT)  # as Ctrl-C on a terminal: to all processes at once
    _, messages = process.communicate(timeout=120)
    assert process.returncode == 130
    assert "Traceback" not in messages
    assert messages.splitlines()[-1] == "Interrupted; an earlier report is untouched."
    assert {path.name for path in report.iterdir()} == {"index.html", "audit.json"}
    assert (report / "index.html").read_text(encoding="utf-8") == "the earlier one"


def test_the_photographers_own_files_are_never_replaced(call_auditor, tmp_path):
    own = tmp_path / "own"
    (own / "pictures").mkdir(parents=True)
    draw_dish().save(own / "pictures" / "steak.jpg", quality=90)
    (own / "index.html").write_text("my portfolio", encoding="utf-8")
    before = {path: path.read_bytes() for path in own.rglob("*") if path.is_file()}
    for arguments in (
        ("own", "--out", "own"),
        ("own/pictures", "--out", "own"),
        ("own/pictures", "--out", "own/pictures"),
    ):
        done = call_auditor("audit", *arguments)
        assert done.returncode == 2
        assert "--out" in done.stderr
        assert "Traceback" not in done.stderr
    draw_dish().save(tmp_path / "dish.jpg", quality=90)
    done = call_auditor("audit", ".", "--out", "own")
    assert done.returncode == 2
    assert "own: holds pictures, index.html" in done.stderr
    assert {path: path.read_bytes() for path in own.rglob("*") if path.is_file()} == before


@names_are_bytes
def test_names_that_are_no_text_are_audited(tmp_path):
    folder = os.fsencode(tmp_path) + b"/caf\xe9"
    draw_dish().save(tmp_path / "dish.jpg", quality=90)
    dish = (tmp_path / "dish.jpg").read_bytes()
    names = (b"dish\xff.jpg", b"dish\xfe.jpg", b"empty\xff.jpg")
    Path(os.fsdecode(folder)).mkdir()
    for name in names:
        Path(os.fsdecode(folder + b"/" + name)).write_bytes(b"" if b"empty" in name else dish)
    done = subprocess.run(
        [sys.executable.encode(), b"-m", b"auditor", b"audit", folder],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.decode("utf-8") == "reports/caf\ufffd/index.html\n"
    assert "empty\ufffd.jpg" in done.stderr.decode("utf-8")
    report = Path(os.fsdecode(os.fsencode(tmp_path) + b"/reports/caf\xe9"))
    record = json.loads((report / "audit.json").read_text(encoding="utf-8"))
    assert record["folder"] == "caf\ufffd"
    assert {image["file"]: image["status"] for image in record["images"]} == {
        "dish\ufffd.jpg": "measured",
        "dish\ufffd (2).jpg": "measured",
        "empty\ufffd.jpg": "refused",
    }
    assert "dish\ufffd (2).jpg" in (report / "index.html").read_text(encoding="utf-8")


def test_a_folder_that_cannot_be_read_is_reported(pictures, tmp_path, monkeypatch):
    (pictures / "day 2" / "closed").mkdir(parents=True)
    scan = os.scandir

    def refusing(path):
        if str(path).endswith("closed"):  # it may be a number, of an open folder
            raise PermissionError(13, "Permission denied")
        return scan(path)

    # A test may run as a user whom no permission stops, so the refusal is simulated.
    monkeypatch.setattr(os, "scandir", refusing)
    request = AuditRequest(
        pictures, None, tmp_path / "report", jobs=1, store=None, created=datetime.now(UTC)
    )
    record = audit(request, lambda *_: None)
    (found,) = (finding for finding in record.findings if finding.code == "unreadable_folder")
    assert found.files == ["day 2/closed"]
    assert "“day 2/closed” could not be read" in found.message
    page = (tmp_path / "report" / "index.html").read_text(encoding="utf-8")
    assert "The folder “day 2/closed” could not be read" in page
    for picture in pictures.glob("*.jpg"):
        picture.unlink()
    with pytest.raises(NothingToMeasureError, match="day 2/closed: could not be read"):
        audit(request, lambda *_: None)


def test_pictures_in_the_reports_folder_are_not_passed_over(call_auditor, pictures):
    finals = pictures / "finals"
    finals.mkdir()
    draw_dish(seed=7).save(finals / "dish 7.jpg", quality=90)
    done = call_auditor("audit", pictures, "--out", finals)
    assert done.returncode == 2
    assert "--out" in done.stderr
    assert [path.name for path in finals.iterdir()] == ["dish 7.jpg"]


def test_a_summary_and_one_file_are_written_when_asked_for(call_auditor, pictures, tmp_path):
    done = call_auditor(
        "audit", pictures, "--out", "report", "--single-file", "--summary", SOURCE_DATE_EPOCH=FIXED
    )
    assert done.returncode == 0, done.stderr
    report = tmp_path / "report"
    size = (report / "index.html").stat().st_size / 1e6
    assert f"index.html holds all pictures: {size:.1f} MB." in done.stderr
    assert 'src="pictures/' not in (report / "index.html").read_text(encoding="utf-8")
    assert (report / "summary.html").is_file()
    assert json.loads((report / "audit.json").read_bytes())["forms"] == ["single_file", "summary"]
    again = call_auditor("audit", pictures, "--out", "report", SOURCE_DATE_EPOCH=FIXED)
    assert again.returncode == 0, again.stderr
    assert not (report / "summary.html").exists()
    assert 'src="pictures/' in (report / "index.html").read_text(encoding="utf-8")
    assert "holds all pictures" not in again.stderr
