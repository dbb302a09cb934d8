"""The command on drawn pages, whose reading is replaced: what is written, said and answered."""

import tomllib

import pytest
from PIL import Image

from auditor.errors import NoSketchError
from auditor.plan.reading import read_plan
from auditor.plan_draft import pages
from auditor.sketch.drawn import Guess
from auditor.sketch.reading import read_page
from tests.conftest import WorkersHere, draw_dish
from tests.plan_draft.drawn_frames import drawn_frame


@pytest.fixture
def on_paper(tmp_path, monkeypatch):
    """Write empty pages on which the frames given with them are then found; the rest is real."""
    found = {}

    def page(name, *frames):
        Image.new("RGB", (120, 160), "white").save(tmp_path / name)
        found[name] = frames

    def read(path):
        frames = found.get(path.name)
        if frames is None:
            return read_page(path)
        if not frames:
            raise NoSketchError(f"{path}: no drawn frame was found.")
        return frames

    monkeypatch.setattr("auditor.runs.run.Processes", WorkersHere)
    monkeypatch.setattr(pages, "read_page", read)
    return page


def test_one_shot_a_frame_in_reading_order(call_auditor, on_paper):
    on_paper("page.png", drawn_frame(), drawn_frame(subject=None), drawn_frame(1.5))
    done = call_auditor("plan", "draft", "page.png")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith('# A draft from the sketch "page.png": 3 frames, in reading')
    plan = tomllib.loads(done.stdout)
    assert [shot["name"] for shot in plan["shot"]] == ["frame 1", "frame 2", "frame 3"]
    assert ["subject" in shot for shot in plan["shot"]] == [True, False, True]
    # What all three show stands once.
    assert plan["series"]["light"] == {"clock": 10.5}
    assert [shot["aspect_ratio"] for shot in plan["shot"]] == ["4:5", "4:5", "3:2"]


def test_a_picture_beside_the_plan_shows_what_was_understood(call_auditor, on_paper, tmp_path):
    on_paper("page.png", drawn_frame())
    done = call_auditor("plan", "draft", "page.png", "--out", "menu.toml")
    assert done.returncode == 0, done.stderr
    assert done.stdout == "menu.toml\n"
    with Image.open(tmp_path / "menu-understood.png") as picture:
        assert picture.format == "PNG"
    assert "menu-understood.png shows what was understood." in done.stderr
    text = (tmp_path / "menu.toml").read_text(encoding="utf-8")
    assert "# menu-understood.png shows what was understood.\n" in text
    assert read_plan(tmp_path / "menu.toml").shots[0].files == ()
    assert {path.name for path in tmp_path.iterdir()} == {
        "page.png", "menu.toml", "menu-understood.png",
    }  # fmt: skip


def test_several_pages_in_the_order_of_the_arguments(call_auditor, on_paper, tmp_path):
    on_paper("first.png", drawn_frame())
    on_paper("second.png", drawn_frame(), drawn_frame())
    done = call_auditor("plan", "draft", "second.png", "first.png", "--out", "menu.toml")
    assert done.returncode == 0, done.stderr
    names = [shot.name for shot in read_plan(tmp_path / "menu.toml").shots]
    assert names == ["second frame 1", "second frame 2", "first frame 1"]
    assert (tmp_path / "menu-understood-1.png").is_file()
    assert (tmp_path / "menu-understood-2.png").is_file()


def test_an_earlier_picture_beside_the_plan_is_kept(call_auditor, on_paper, tmp_path):
    on_paper("page.png", drawn_frame())
    (tmp_path / "menu-understood.png").write_bytes(b"mine")
    done = call_auditor("plan", "draft", "page.png", "--out", "menu.toml")
    assert done.returncode == 2
    assert "menu-understood.png: is there already" in done.stderr
    assert not (tmp_path / "menu.toml").exists()
    assert (tmp_path / "menu-understood.png").read_bytes() == b"mine"


@pytest.mark.parametrize("kind", [(), ("--from", "sketch")])
def test_an_empty_page(call_auditor, on_paper, tmp_path, kind):
    on_paper("empty.png")
    done = call_auditor("plan", "draft", *kind, "empty.png", "--out", "menu.toml")
    assert done.returncode == 3
    assert "empty.png: no drawn frame was found." in done.stderr
    assert ("add --from pictures" in done.stderr) == (not kind)
    assert {path.name for path in tmp_path.iterdir()} == {"empty.png"}


@pytest.mark.usefixtures("on_paper")
def test_a_photograph_is_no_sketch(call_auditor, tmp_path):
    draw_dish().save(tmp_path / "dish.jpg")
    done = call_auditor("plan", "draft", "--from", "sketch", "dish.jpg", "--out", "menu.toml")
    assert done.returncode == 3
    assert "dish.jpg: this is a photograph, not a drawn page" in done.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"dish.jpg"}


def test_a_damaged_page_is_named_and_the_rest_goes_on(call_auditor, on_paper, tmp_path):
    on_paper("empty.png")
    on_paper("page.png", drawn_frame())
    (tmp_path / "damaged.png").write_bytes(b"no picture")
    done = call_auditor("plan", "draft", "damaged.png", "empty.png", "page.png")
    assert done.returncode == 0
    assert "damaged.png: " in done.stderr
    assert "empty.png: no drawn frame was found" in done.stderr
    assert [shot["name"] for shot in tomllib.loads(done.stdout)["shot"]] == ["frame 1"]


def test_a_fault_of_the_reader_concerns_one_page_alone(call_auditor, on_paper, monkeypatch):
    on_paper("page.png", drawn_frame())
    on_paper("strange.png", drawn_frame())
    read = pages.read_page

    def fail(path):
        if path.name == "strange.png":
            raise ZeroDivisionError("a line without length")
        return read(path)

    monkeypatch.setattr(pages, "read_page", fail)
    done = call_auditor("plan", "draft", "strange.png", "page.png")
    assert done.returncode == 0
    assert "strange.png: reading it as a drawn page failed (ZeroDivisionError: a" in done.stderr
    assert len(tomllib.loads(done.stdout)["shot"]) == 1


def test_pages_and_pictures_in_one_draft(call_auditor, on_paper, tmp_path):
    on_paper("page.png", drawn_frame(light_clock=Guess(3.0, 0.95)))
    draw_dish().save(tmp_path / "soup.jpg", quality=90)
    done = call_auditor("plan", "draft", "page.png", "soup.jpg")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("# A draft from 1 sketch and 1 finished picture.\n")
    shots = tomllib.loads(done.stdout)["shot"]
    assert [shot["name"] for shot in shots] == ["frame 1", "soup"]
    assert [shot.get("files") for shot in shots] == [None, ["soup.jpg"]]
