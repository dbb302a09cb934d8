"""The command: what it writes, says and answers; a draft audited against its own pictures."""

import json
import shutil
import tomllib

import pytest

from auditor.geometry import Point, distance_fraction
from auditor.plan.reading import read_plan
from auditor.quantities import tolerance_rule
from tests.conftest import ROOT, draw_dish

DEMO = ROOT / "fixtures" / "teahouse"
TRUTH = json.loads((DEMO / "truth.json").read_text(encoding="utf-8"))["images"]


@pytest.fixture
def pictures(tmp_path):
    folder = tmp_path / "winter menu"
    folder.mkdir()
    draw_dish().save(folder / "01-soup.jpg", quality=90)
    draw_dish((0.3, 0.35), seed=1).save(folder / "02-soup.jpg", quality=90)
    return folder


def plan_in(text):
    return tomllib.loads(text)


def test_without_out_the_plan_alone_is_on_standard_output(call_auditor, pictures, tmp_path):
    done = call_auditor("plan", "draft", "--from", "pictures", pictures.name)
    assert done.returncode == 0, done.stderr
    plan = plan_in(done.stdout)
    assert plan["title"] == "Winter menu"
    assert [shot["name"] for shot in plan["shot"]] == ["soup", "soup 2"]
    assert [shot["files"] for shot in plan["shot"]] == [["01-soup.jpg"], ["02-soup.jpg"]]
    assert done.stdout.startswith("# A draft from 2 finished pictures.\n")
    assert {path.name for path in tmp_path.iterdir()} == {"winter menu"}


def test_a_file_is_written_and_named(call_auditor, pictures, tmp_path):
    done = call_auditor(
        "plan", "draft", "--from", "pictures", pictures / "01-soup.jpg", "--out", "p.toml"
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout == "p.toml\n"
    assert read_plan(tmp_path / "p.toml").shots[0].name == "soup"
    assert {path.name for path in tmp_path.iterdir()} == {"winter menu", "p.toml"}


def test_the_same_pictures_give_the_same_text(call_auditor, pictures):
    first = call_auditor("plan", "draft", "--from", "pictures", pictures)
    again = call_auditor("plan", "draft", "--from", "pictures", "--fresh", pictures)
    assert first.stdout == again.stdout


def test_shots_stand_in_the_order_of_the_arguments(call_auditor, pictures):
    done = call_auditor("plan", "draft", "--from", "pictures", pictures / "02-soup.jpg", pictures)
    files = [shot["files"][0] for shot in plan_in(done.stdout)["shot"]]
    assert files == ["02-soup.jpg", "01-soup.jpg"]


def test_an_existing_plan_is_kept(call_auditor, pictures, tmp_path):
    (tmp_path / "p.toml").write_text("mine", encoding="utf-8")
    done = call_auditor("plan", "draft", pictures, "--out", "p.toml")
    assert done.returncode == 2
    assert done.stderr == (
        "p.toml: is there already, and nothing was changed. Name another file with --out, or "
        "replace this one with --overwrite.\n"
    )
    assert (tmp_path / "p.toml").read_text(encoding="utf-8") == "mine"
    done = call_auditor(
        "plan", "draft", "--from", "pictures", pictures, "--out", "p.toml", "--overwrite"
    )
    assert done.returncode == 0, done.stderr
    assert len(read_plan(tmp_path / "p.toml").shots) == 2


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["nothing.jpg", "no folder"], "nothing.jpg: there is no such file or folder.\nno folder:"),
        (["notes.txt"], "notes.txt: its name is not that of a picture."),
        (["winter menu", "--out", "winter menu"], "winter menu: is a folder."),
        (["winter menu", "--out", "p.jpg"], "p.jpg: has the name of a picture."),
        (["winter menu", "--out", "elsewhere/p.toml"], "elsewhere: there is no such folder"),
    ],
)
@pytest.mark.usefixtures("pictures")
def test_wrong_input_is_said_before_any_work(call_auditor, tmp_path, arguments, message):
    (tmp_path / "notes.txt").write_text("soup", encoding="utf-8")
    done = call_auditor("plan", "draft", *arguments)
    assert done.returncode == 2
    assert done.stderr.startswith(message)
    assert done.stdout == ""


def test_a_faulty_file_is_named_and_the_rest_goes_on(call_auditor, pictures):
    (pictures / "03-cut-off.jpg").write_bytes((pictures / "01-soup.jpg").read_bytes()[:300])
    done = call_auditor("plan", "draft", "--from", "pictures", pictures)
    assert done.returncode == 0
    assert len(plan_in(done.stdout)["shot"]) == 2
    assert "03-cut-off.jpg: " in done.stderr


def test_if_nothing_can_be_read_nothing_is_written(call_auditor, tmp_path):
    (tmp_path / "broken.jpg").write_bytes(b"no picture")
    done = call_auditor("plan", "draft", "--from", "pictures", "broken.jpg", "--out", "p.toml")
    assert done.returncode == 3
    assert "broken.jpg: " in done.stderr
    assert not (tmp_path / "p.toml").exists()


def test_an_empty_folder(call_auditor, tmp_path):
    (tmp_path / "empty").mkdir()
    done = call_auditor("plan", "draft", "empty")
    assert done.returncode == 3
    assert "no picture in it" in done.stderr


def test_one_name_in_two_folders(call_auditor, pictures):
    for day in ("monday", "tuesday"):
        (pictures / day).mkdir()
        shutil.copy(pictures / "01-soup.jpg", pictures / day / "bread.jpg")
    done = call_auditor("plan", "draft", "--from", "pictures", pictures)
    files = [shot["files"][0] for shot in plan_in(done.stdout)["shot"]]
    assert files == ["01-soup.jpg", "02-soup.jpg", "monday/bread.jpg", "tuesday/bread.jpg"]


def test_a_draft_of_the_demo_is_met_by_its_pictures(call_auditor, tmp_path):
    done = call_auditor("plan", "draft", "--from", "pictures", DEMO, "--out", "p.toml")
    assert done.returncode == 0, done.stderr
    call_auditor("audit", DEMO, "--plan", "p.toml", "--out", "report")
    audit = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    items = [item for image in audit["images"] for item in image["plan"]["items"]]
    verdicts = [item["verdict"] for item in items]
    assert set(verdicts) <= {"met", "undecided"}
    # It is not met by saying nothing: a plan by hand states about nine things a shot.
    assert verdicts.count("met") >= 9 * len(audit["images"])
    codes = {finding["code"] for finding in audit["findings"]}
    assert not codes & {"missing_shot", "unplanned", "claimed_twice", "missed"}

    plan = read_plan(tmp_path / "p.toml")
    for shot in plan.shots:
        truth = TRUTH[shot.files[0]]
        at, true_at = shot.intent.subject.at, Point(*truth["subject"]["centroid"])
        # As rendered (fixtures/teahouse/truth.json), in a 4:5 frame.
        assert distance_fraction(at, true_at, 4, 5) < tolerance_rule("subject").default / 2
        # A word is a range; half of the tolerance of a number is allowed beyond it.
        assert abs(shot.intent.camera_elevation.beyond(truth["camera_elevation_deg"])) <= 5
