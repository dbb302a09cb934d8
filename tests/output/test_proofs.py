"""Proofs of the advised versions: part of the report, and nothing of the originals changes."""

import hashlib
import json

import pytest
from PIL import Image

from tests.conftest import draw_dish

PLAN = """
[[shot]]
name = "a dish"
files = ["dish*"]
aspect_ratio = "1:1"
"""

pytestmark = pytest.mark.usefixtures("measuring_here")


@pytest.fixture
def dishes(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    picture = draw_dish()
    exif = Image.Exif()
    exif[0x0131] = "A program"
    picture.save(folder / "dish.jpg", quality=95, exif=exif)
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    return folder


def digests(folder):
    return {path.name: hashlib.sha256(path.read_bytes()).digest() for path in folder.iterdir()}


def audit(call_auditor, folder, *options):
    done = call_auditor("audit", folder, "--plan", "plan.toml", "--out", "out", *options)
    assert done.returncode == 0, done.stderr
    return done


def test_proofs_come_with_the_report_and_go_with_it(call_auditor, tmp_path, dishes):
    before = digests(dishes)
    done = audit(call_auditor, dishes, "--proofs")
    assert "Corrections tried on 1 of 1 pictures" in done.stderr
    out = tmp_path / "out"
    record = json.loads((out / "audit.json").read_text(encoding="utf-8"))
    (advice,) = record["images"][0]["advice"]
    assert (advice["kind"], advice["reaches"]) == ("crop", ["aspect_ratio"])
    (proof,) = (out / "proofs").iterdir()
    assert proof.name == "0001-dish.jpg"
    with Image.open(proof) as picture:
        assert picture.size == (advice["width"], advice["height"]) == (480, 480)
        assert not picture.getexif()
        assert "icc_profile" not in picture.info
    assert (out / "pictures" / advice["preview"]).is_file()
    assert advice["preview"] in (out / "index.html").read_text(encoding="utf-8")
    assert digests(dishes) == before
    # Without the option no proofs of an earlier audit stay behind.
    audit(call_auditor, dishes)
    assert not (out / "proofs").exists()
    assert digests(dishes) == before


def test_proofs_inside_the_audited_folder_are_neither_in_the_way_nor_audited(
    call_auditor, tmp_path, dishes
):
    options = ("--plan", "plan.toml", "--proofs", "--out")
    for out in ("set/report", "set/report", "elsewhere"):
        done = call_auditor("audit", dishes, *options, out)
        assert done.returncode == 0, done.stderr
        record = json.loads((tmp_path / out / "audit.json").read_text(encoding="utf-8"))
        assert [image["file"] for image in record["images"]] == ["dish.jpg"]
        assert [path.name for path in (tmp_path / out / "proofs").iterdir()] == ["0001-dish.jpg"]
    (dishes / "report" / "proofs" / "holiday.jpg").write_bytes(b"mine")
    done = call_auditor("audit", dishes, "--out", "set/report")
    assert done.returncode == 2
    assert "among the pictures" in done.stderr


def test_one_file_holds_the_pictures_of_the_advice_too(call_auditor, tmp_path, dishes):
    audit(call_auditor, dishes, "--single-file")
    out = tmp_path / "out"
    page = (out / "index.html").read_text(encoding="utf-8")
    record = json.loads((out / "audit.json").read_text(encoding="utf-8"))
    (advice,) = record["images"][0]["advice"]
    assert (out / "pictures" / advice["preview"]).is_file()
    assert 'src="pictures/' not in page
    assert page.count('src="data:image/jpeg;base64,') >= 3  # as it is, corrected, in the list
    # Where the small picture was lost, the page is drawn again without it.
    (out / "pictures" / advice["preview"]).unlink()
    done = call_auditor("report", out)
    assert done.returncode == 0, done.stderr


def test_a_folder_of_somebody_else_is_not_replaced(call_auditor, tmp_path, dishes):
    audit(call_auditor, dishes)
    others = tmp_path / "out" / "proofs"
    others.mkdir()
    (others / "holiday.jpg").write_bytes(b"mine")
    done = call_auditor("audit", dishes, "--plan", "plan.toml", "--out", "out", "--proofs")
    assert done.returncode == 2
    assert "proofs/holiday.jpg" in done.stderr
    assert (others / "holiday.jpg").read_bytes() == b"mine"
