"""Time a whole audit of large JPEGs; run by hand: ``python tests/benchmarks/bench_audit.py``.

The demo's pictures are enlarged to 24 and 36 megapixels, so that decoding takes as long as after a
real shoot; the measurements do not otherwise depend on the size.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image, ImageOps

ROOT = Path(__file__).parent.parent.parent
SIZES = {"24 MP": (4382, 5477), "36 MP": (5367, 6708)}


def main() -> None:
    """Print seconds for a first audit and for a second one with stored measurements."""
    with tempfile.TemporaryDirectory() as scratch:
        for name, size in SIZES.items():
            folder = Path(scratch) / name
            folder.mkdir()
            for path in sorted((ROOT / "fixtures" / "teahouse").glob("*.jpg")):
                with Image.open(path) as picture:
                    large = ImageOps.exif_transpose(picture).resize(size, Image.Resampling.BICUBIC)
                large.save(folder / path.name, quality=92)
            for run in ("first", "second"):
                start = time.perf_counter()
                subprocess.run(
                    [sys.executable, "-m", "auditor", "audit", folder, "--out", f"{folder}-report"],
                    env={"XDG_CACHE_HOME": scratch, "PYTHONPATH": str(ROOT), "PATH": ""},
                    check=True,
                    capture_output=True,
                )
                seconds = time.perf_counter() - start
                sys.stdout.write(f"{name}: {run} audit of 12 pictures {seconds:.1f} s\n")


if __name__ == "__main__":
    main()
