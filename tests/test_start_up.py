"""The command and the library load only what they need, so that they start quickly."""

import json
import os
import shutil
import subprocess
import sys
from importlib.util import find_spec

import pytest

from auditor import __version__
from tests.conftest import ROOT, draw_dish

HEAVY = {"numpy", "scipy", "skimage", "PIL"}
OF_MEASURING = {
    "auditor.saliency",
    "auditor.measurements",
    "auditor.colorimetry",
    "auditor.audit_steps",
}

GOOD_PLAN = '[[shot]]\nname = "a dish"\nfiles = ["dish*"]\nsubject = { at = "centre" }\n'
FAULTY_PLAN = '[[shot]]\nname = "a dish"\nfiles = ["dish*"]\ntechnique = "thirsd"\n'


def loaded_by(program, tmp_path, *arguments):
    """Names of the modules that a program loads in a new process."""
    code = (
        "import json, sys\n"
        f"try:\n    {program}\n"
        "except SystemExit:\n    pass\n"
        "sys.stderr.write('\\n' + json.dumps(sorted(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    return set(json.loads(done.stderr.splitlines()[-1])), done


def run_command(tmp_path, *arguments):
    return loaded_by("from auditor.__main__ import main; main()", tmp_path, *arguments)


@pytest.mark.parametrize(
    ("arguments", "answer"),
    [
        (("--version",), f"auditor {__version__}"),
        (("--help",), "schema"),
        (("audit", "--help"), "--strict"),
    ],
)
def test_help_and_version_load_nothing_that_measures_or_reads_a_plan(tmp_path, arguments, answer):
    loaded, done = run_command(tmp_path, *arguments)
    assert answer in done.stdout
    assert not loaded & (HEAVY | OF_MEASURING | {"auditor.plan"})


def test_the_faults_of_a_plan_are_told_without_what_measures(tmp_path):
    (tmp_path / "plan.toml").write_text(FAULTY_PLAN, encoding="utf-8")
    loaded, done = run_command(tmp_path, "plan", "check", "plan.toml")
    assert "plan.toml:4: shot[1].technique" in done.stderr
    assert not loaded & (HEAVY | OF_MEASURING | {"rich"})


def test_what_was_understood_needs_the_names_of_colours_and_nothing_that_measures(tmp_path):
    (tmp_path / "plan.toml").write_text(GOOD_PLAN, encoding="utf-8")
    loaded, done = run_command(tmp_path, "plan", "check", "plan.toml")
    assert "1 shot" in done.stderr
    assert not loaded & (OF_MEASURING - {"auditor.colorimetry"})


def test_the_library_is_imported_without_what_measures(tmp_path):
    loaded, _ = loaded_by("import auditor", tmp_path)
    ours = {name for name in loaded if name.split(".")[0] == "auditor"}
    assert ours == {"auditor"}
    assert not loaded & (HEAVY | {"pydantic"})


def test_the_library_reads_a_plan_without_what_measures(tmp_path):
    (tmp_path / "plan.toml").write_text(GOOD_PLAN, encoding="utf-8")
    loaded, _ = loaded_by("import auditor; auditor.read_plan('plan.toml')", tmp_path)
    assert not loaded & (HEAVY | OF_MEASURING)


@pytest.mark.parametrize(
    ("arguments", "answer"),
    [
        (("schema",), '"$defs"'),
        (("plan", "words"), "overhead"),
        (("delivery", "check", "client"), "30 rules"),
        (("delivery", "example", "web"), "[metadata]"),
        (("forget",), "Nothing to remove"),
    ],
)
def test_commands_about_words_load_no_pixel_libraries(tmp_path, monkeypatch, arguments, answer):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    loaded, done = run_command(tmp_path, *arguments)
    assert answer in done.stdout + done.stderr
    assert not loaded & (HEAVY | OF_MEASURING | {"jinja2", "rich"})


@pytest.fixture
def report(tmp_path):
    """A copy of the sample report, to be drawn again."""
    return shutil.copytree(ROOT / "reports" / "teahouse", tmp_path / "report")


def test_two_audits_are_compared_from_their_records_alone(tmp_path, report):
    loaded, done = run_command(tmp_path, "compare", str(report), str(report))
    assert done.stdout
    assert not loaded & ({"scipy", "skimage", "jinja2"} | OF_MEASURING - {"auditor.colorimetry"})


def test_a_report_is_drawn_again_without_what_measures(tmp_path, report):
    loaded, done = run_command(tmp_path, "report", str(report))
    assert done.stdout.strip().endswith("index.html")
    assert not loaded & ({"scipy", "skimage", "sqlite3"} | OF_MEASURING - {"auditor.colorimetry"})
    assert not loaded & {"auditor.plan", "auditor.series", "auditor.comparison"}


@pytest.fixture(scope="module")
def loaded_for_an_audit(tmp_path_factory):
    loaded, _ = loaded_by("import auditor.audit_steps", tmp_path_factory.mktemp("audit"))
    return loaded


# Each takes long to load, and is there for one function or for none.
NEVER_AT_START = (
    "numpy.f2py.f2py2e",
    "numpy.testing._private",
    "scipy.linalg",
    "scipy.optimize",
    "scipy.signal",
    "scipy.sparse",
    "scipy.spatial",
    "scipy.stats",
    "skimage.color.colorconv",
    "skimage.filters",
    "skimage.measure._polygon",
    "skimage.morphology",
)


def test_what_measures_is_loaded_by_the_module_that_measures(loaded_for_an_audit):
    """The names above are those that a measuring process loads, so that they can be missed."""
    assert loaded_for_an_audit >= HEAVY | OF_MEASURING


@pytest.mark.parametrize("costly", NEVER_AT_START)
def test_costly_modules_are_never_loaded_for_one_function(loaded_for_an_audit, costly):
    assert costly not in loaded_for_an_audit


def test_a_measuring_worker_loads_what_it_measures_with_and_no_more(tmp_path):
    rooms = "measurements.measured_photograph", "photograph.decode", "output.previews", "saliency"
    imported = ", ".join(f"auditor.{room}" for room in rooms)
    program = f"import {imported}; auditor.saliency.default_finder()"
    loaded, _ = loaded_by(program, tmp_path)
    assert loaded >= {"auditor.saliency.network", "scipy.ndimage", "PIL"}
    costly = {*NEVER_AT_START, "scipy.fft", "numpy.ma.core", "pydantic", "jinja2", "rich", "typer"}
    assert not loaded & costly
    assert not loaded & {"auditor.plan", "auditor.record", "auditor.series", "auditor.page"}


# What an audit needs for a plan or for the rules of a hand-over: without these
# none of it is loaded.
FOR_OTHER_AUDITS = (
    "auditor.delivery.cross_checks",
    "auditor.delivery.examining",
    "auditor.delivery.judge",
    "auditor.delivery.models",
    "auditor.delivery.reading",
    "auditor.findings.delivery_findings",
    "auditor.plan.models",
    "auditor.plan.reading",
)


def test_an_unchanged_audit_loads_what_it_uses_alone(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    (tmp_path / "set").mkdir()
    for number in range(3):
        draw_dish(seed=number).save(tmp_path / "set" / f"{number}.png")
    arguments = ("audit", "set", "--out", "report", "--as", "set")
    run_command(tmp_path, *arguments)
    loaded, done = run_command(tmp_path, *arguments)
    assert "3 pictures measured" in done.stdout + done.stderr
    assert "auditor.runs.measuring" in loaded
    assert not loaded & set(FOR_OTHER_AUDITS)


@pytest.mark.parametrize("name", FOR_OTHER_AUDITS)
def test_what_an_unchanged_audit_does_without_exists(name):
    """A module of another name would never be loaded either."""
    assert find_spec(name) is not None


@pytest.mark.parametrize("costly", NEVER_AT_START)
def test_every_costly_module_exists(costly):
    """A module of another name would never be loaded either."""
    assert find_spec(costly) is not None
