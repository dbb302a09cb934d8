"""Time to read photographs of 24 and 36 megapixels; run by hand.

``python tests/benchmarks/bench_read.py`` prints the median processor time of several
reads of a textured JPEG, with and without a wide-gamut profile. Set OMP_NUM_THREADS=1 for one core.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.photograph.decode import read_photograph
from tests.photograph.icc_profiles import SPACES, matrix_profile

_SIZES = {"24 MP": (6000, 4000), "36 MP": (7360, 4912)}
_N_READS = 5


def _textured(width: int, height: int) -> Image.Image:
    """Blurred blobs and fine grain, about as hard to decode as a photograph (0.4 bytes a pixel)."""
    generator = np.random.default_rng(1)
    blobs = Image.fromarray(generator.integers(0, 256, (40, 60, 3), dtype=np.uint8))
    picture = np.asarray(blobs.resize((width, height), Image.Resampling.BICUBIC)).astype(np.int16)
    picture += generator.normal(0, 6, picture.shape[:2]).astype(np.int16)[..., np.newaxis]
    return Image.fromarray(np.clip(picture, 0, 255).astype(np.uint8))


def main() -> None:
    """Write the pictures into a temporary folder and time their reading."""
    primaries, white, curve, _ = SPACES["Adobe RGB (1998)"]
    profile = matrix_profile("Adobe RGB (1998)", primaries, white, curve)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for label, size in _SIZES.items():
            picture = _textured(*size)
            for kind, icc in (("no profile", None), ("Adobe RGB", profile)):
                picture.save(folder / "picture.jpg", quality=92, icc_profile=icc)
                n_bytes = (folder / "picture.jpg").stat().st_size
                times_s = []
                for _ in range(_N_READS):
                    start = time.process_time()
                    photograph = read_photograph(folder, "picture.jpg")
                    times_s.append(time.process_time() - start)
                sys.stdout.write(
                    f"{label}, {kind}: {median(times_s):.3f} s "
                    f"({n_bytes / 1e6:.1f} MB, detail {photograph.detail.shape[1]} px)\n"
                )
                sys.stdout.flush()


if __name__ == "__main__":
    main()
