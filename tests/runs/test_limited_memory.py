"""An audit with 3 GB of memory: what needs more is refused, everything beside it is measured."""

import json
import os
import struct
import subprocess
import sys
import zlib

from tests.conftest import ROOT, draw_dish
from tests.photograph.pictures import png_chunk
from tests.systems import limited

LIMIT_BYTES = 3_000_000_000
N_GOOD = 10
WITH_LITTLE_MEMORY = f"""
import os, resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({LIMIT_BYTES}, {LIMIT_BYTES}))
os.execv(sys.executable, [sys.executable, "-m", "auditor", *sys.argv[1:]])
"""
_ADLER_MODULUS = 65_521  # RFC 1950, section 9


def write_black_png(path, side_px):
    """A square PNG of four channels of 16 bits, all zero; made without compressing all of it."""
    row = bytes(1 + side_px * 8)
    compressor = zlib.compressobj(9, wbits=-15)
    # After a full flush nothing refers to what was before, so that the same bytes can follow.
    rows = compressor.compress(row) + compressor.flush(zlib.Z_FULL_FLUSH)
    n_bytes = side_px * len(row)
    checksum = struct.pack(">HH", n_bytes % _ADLER_MODULUS, 1)
    end = zlib.compressobj(9, wbits=-15).flush()
    content = b"\x78\xda" + rows * side_px + end + checksum
    header = struct.pack(">IIBBBBB", side_px, side_px, 16, 6, 0, 0, 0)
    chunks = (png_chunk(b"IHDR", header), png_chunk(b"IDAT", content), png_chunk(b"IEND", b""))
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + b"".join(chunks))


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
    done = subprocess.run(
        [
            *(sys.executable, "-c", WITH_LITTLE_MEMORY),
            *("audit", "set", "--out", "report", "--jobs", "2", "--no-memory"),
        ],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
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
