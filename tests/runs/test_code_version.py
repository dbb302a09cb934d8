"""What makes a remembered measurement out of date."""

import ast
import shutil
import sys
from importlib.metadata import PackageNotFoundError, packages_distributions, version

import pytest

from auditor.runs import code_version as module
from auditor.runs.code_version import (
    CORRECTING_ROOMS,
    EXAMINING_ROOMS,
    MEASURING_LIBRARIES,
    MEASURING_ROOMS,
    PREVIEW_ROOMS,
    code_version,
    correcting_version,
)
from tests.conftest import ROOT

PACKAGE = ROOT / "auditor"
# `auditor.runs.measuring` begins here.
FIRST_ROOMS = {"measurements", "photograph", "saliency"}


@pytest.fixture(autouse=True)
def _nothing_kept():
    code_version.cache_clear()
    yield
    code_version.cache_clear()


def code_files(room):
    folder = PACKAGE / room
    found = folder.rglob("*.py") if folder.is_dir() else [PACKAGE / f"{room}.py"]
    return [path for path in found if "training" not in path.parts]


def imported_names(room):
    """Modules that the code of a room imports anywhere, also inside functions."""
    for path in code_files(room):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                yield from (alias.name for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                assert node.level == 0
                assert node.module != "auditor", f"{path}: import from the module itself"
                yield node.module


def reached_rooms():
    rooms, waiting = set(), set(FIRST_ROOMS)
    while waiting:
        room = waiting.pop()
        rooms.add(room)
        names = (name.split(".") for name in imported_names(room))
        waiting |= {parts[1] for parts in names if parts[0] == "auditor"} - rooms
    return rooms


def test_the_rooms_are_those_that_measuring_imports():
    assert {room.removesuffix(".py") for room in MEASURING_ROOMS} == reached_rooms()
    assert all((PACKAGE / room).exists() for room in MEASURING_ROOMS)


@pytest.mark.parametrize("rooms", [CORRECTING_ROOMS, PREVIEW_ROOMS, EXAMINING_ROOMS])
def test_what_is_remembered_besides_stands_on_what_measuring_imports(rooms):
    """So its version covers all code that it depends on; running and remembering change nothing."""
    named = [room.removesuffix(".py") for room in rooms]
    modules = [name for room in named for name in imported_names(room)]
    own = {"auditor." + room.replace("/", ".") for room in named}
    used = {
        name.split(".")[1] for name in modules if name.startswith("auditor.") and name not in own
    }
    allowed = {room.removesuffix(".py") for room in MEASURING_ROOMS} | set(rooms) | {"runs"}
    assert used <= allowed


def test_a_change_of_what_changes_pictures_makes_another_version(tmp_path, monkeypatch):
    for room in CORRECTING_ROOMS:
        shutil.copytree(PACKAGE / room, tmp_path / room)
    monkeypatch.setattr(module, "__file__", str(tmp_path / "runs" / "code_version.py"))
    correcting_version.cache_clear()
    before = correcting_version()
    with (tmp_path / "corrections" / "colours.py").open("ab") as changed:
        changed.write(b"\n")
    correcting_version.cache_clear()
    assert correcting_version() != before
    correcting_version.cache_clear()


def test_the_libraries_are_those_that_measuring_imports():
    top = {name.split(".")[0] for room in reached_rooms() for name in imported_names(room)}
    distributions = packages_distributions()
    others = top - set(sys.stdlib_module_names) - {"auditor"}
    named = {distributions[name][0].lower().replace("_", "-") for name in others}
    assert named == set(MEASURING_LIBRARIES)


@pytest.fixture
def copied(tmp_path, monkeypatch):
    """A copy of the package, of which the version is computed."""
    skipped = shutil.ignore_patterns("__pycache__")
    for room in MEASURING_ROOMS:
        source = PACKAGE / room
        if source.is_dir():
            shutil.copytree(source, tmp_path / room, ignore=skipped)
        else:
            shutil.copy(source, tmp_path / room)
    monkeypatch.setattr(module, "__file__", str(tmp_path / "runs" / "code_version.py"))
    return tmp_path


@pytest.mark.parametrize(
    "file",
    [
        "measurements/colour_temperature/neutral_networks.npz",
        "saliency/weights.npz",
        "colorimetry/cie_1931_2_degree_observer.csv",
        "colour_signature/__init__.py",
        "measurements/focus/differences.py",
        "reasons.py",
    ],
)
def test_a_change_of_code_weights_or_tables_makes_another_version(copied, file):
    before = code_version()
    with (copied / file).open("ab") as changed:
        changed.write(b"\n")
    code_version.cache_clear()
    assert code_version() != before


@pytest.mark.parametrize("file", ["saliency/training/new.py", "saliency/__pycache__/x.pyc"])
def test_what_a_measurement_does_not_read_makes_no_other_version(copied, file):
    before = code_version()
    (copied / file).parent.mkdir(exist_ok=True)
    (copied / file).write_bytes(b"1\n")
    code_version.cache_clear()
    assert code_version() == before


@pytest.mark.parametrize("library", MEASURING_LIBRARIES)
def test_another_library_makes_another_version(monkeypatch, library):
    before = code_version()

    def changed(name):
        if name == library:
            raise PackageNotFoundError(name)
        return version(name)

    monkeypatch.setattr(module, "version", changed)
    code_version.cache_clear()
    assert code_version() != before
