"""An audit with 3 GB of memory: what needs more is refused, everything beside it is measured."""

import json
import sys

from tests.conftest import draw_dish, run_program
from tests.photograph.large_pictures import write_black_png
from tests.systems import limited

LIMIT_BYTES = 3_000_000_000
N_GOOD = 10
WITH_LITTLE_MEMORY = f"""
import os, resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({LIMIT_BYTES}, {LIMIT_BYTES}))
os.execv(sys.executable, [sys.executable, "-m", "auditor", *sys.argv[1:]])
"""


@limited
def test_what_needs_more_memory_costs_no_other(tmp_path):
    pictures = tmp_path / "set"
    pictures.mkdir()
    write_black_png(pictures / "large.png", 17_000)
    with (pictures / "sparse.tif").open("wb") as stream:
        stream.write(b"II*\0\x08\0\0\0")
        stream.truncate(8_000_000_000)
    for number in range(N_GOOD):
        draw_dish(seed=number, size=(240, 300)).save(pictures / f"dish {number}.jpg", quality=90)
    words = ("audit", "set", "--out", "report", "--jobs", "2", "--no-memory")
    done = run_program(tmp_path, sys.executable, "-c", WITH_LITTLE_MEMORY, *words)
    assert done.returncode == 0, done.stderr
    assert f"{N_GOOD} pictures measured, 2 could not be measured." in done.stderr
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    refused = {image["file"]: image["reason"] for image in record["images"] if image["reason"]}
    assert {file: reason["code"] for file, reason in refused.items()} == {
        "large.png": "too_large",
        "sparse.tif": "too_large",
    }
    assert "17000 by 17000" in refused["large.png"]["message"]
    assert "8,000 MB" in refused["sparse.tif"]["message"]
