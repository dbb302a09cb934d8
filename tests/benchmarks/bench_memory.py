"""Peak memory of reading and of measuring one picture, each in a fresh process; run by hand.

``python tests/benchmarks/bench_memory.py [NAME…]`` makes large pictures of every kind and prints,
for each of them, the largest resident size of a process that reads it and of one that measures it,
the processor time of both, and what came of it. NAME picks out the pictures whose label has it.
Set OMP_NUM_THREADS=1, as the workers of an audit do. The pictures are made one after the other in
the folder for temporary files and take up to 0.7 GB there. Linux only.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.photograph.large_pictures import write_png, write_tiff

ROOT = Path(__file__).resolve().parents[2]
_KIB = 1024
_MB = 1e6


@dataclass(frozen=True, slots=True)
class _Case:
    label: str
    write: Callable[[Path], None]
    suffix: str


def _photograph_like(width: int, height: int) -> Image.Image:
    """Blurred blobs and fine grain, made from bands, so that the maker needs little memory too."""
    generator = np.random.default_rng(1)
    blobs = Image.fromarray(generator.integers(0, 256, (40, 60, 3), dtype=np.uint8))
    picture = blobs.resize((width, height), Image.Resampling.BICUBIC)
    band = 256
    for top in range(0, height, band):
        box = (0, top, width, min(height, top + band))
        samples = np.asarray(picture.crop(box)).astype(np.int16)
        samples += generator.normal(0, 6, samples.shape[:2]).astype(np.int16)[..., np.newaxis]
        picture.paste(Image.fromarray(np.clip(samples, 0, 255).astype(np.uint8)), box)
    return picture


def _saved(size: tuple[int, int], **options: object) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        picture = _photograph_like(*size)
        mode = str(options.pop("mode", "RGB"))
        if mode == "RGBA":
            picture.putalpha(Image.linear_gradient("L").resize(size))
        picture.save(path, **options)

    return write


def _heic(size: tuple[int, int]) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        import pillow_heif

        # Without grain, with which the encoder takes minutes.
        plain = Image.radial_gradient("L").resize(size).convert("RGB")
        pillow_heif.from_pillow(plain).save(path, quality=80)

    return write


def _sparse(path: Path) -> None:
    with path.open("wb") as stream:
        stream.write(b"II*\0\x08\0\0\0")
        stream.truncate(8_000_000_000)


def _cases() -> list[_Case]:
    mp36, panorama, strip = (7360, 4912), (40_000, 4_000), (1_000, 60_000)
    medium_format = (11_600, 8_700)
    jpeg = {"format": "JPEG", "quality": 92}
    return [
        _Case("24 MP JPEG", _saved((6000, 4000), **jpeg), ".jpg"),
        _Case("36 MP JPEG", _saved(mp36, **jpeg), ".jpg"),
        _Case("36 MP JPEG, progressive", _saved(mp36, progressive=True, **jpeg), ".jpg"),
        _Case("100 MP JPEG", _saved(medium_format, **jpeg), ".jpg"),
        _Case("panorama JPEG 40000 x 4000", _saved(panorama, **jpeg), ".jpg"),
        _Case("strip JPEG 1000 x 60000", _saved(strip, **jpeg), ".jpg"),
        _Case("36 MP PNG, RGB", _saved(mp36, format="PNG", compress_level=1), ".png"),
        _Case("36 MP PNG, RGBA", _saved(mp36, format="PNG", compress_level=1, mode="RGBA"), ".png"),
        _Case("36 MP PNG, 16-bit RGB", lambda path: write_png(path, mp36, 3, bits=16), ".png"),
        _Case(
            "36 MP PNG, 16-bit linear RGB",
            lambda path: write_png(path, mp36, 3, bits=16, gamma=1.0),
            ".png",
        ),
        _Case("panorama PNG 40000 x 4000", lambda path: write_png(path, panorama, 3), ".png"),
        _Case(
            "PNG 17000 x 17000, 16-bit RGBA",
            lambda path: write_png(path, (17_000, 17_000), 4, bits=16),
            ".png",
        ),
        _Case("36 MP TIFF, 16-bit", lambda path: write_tiff(path, mp36, bits=16), ".tif"),
        _Case("100 MP TIFF, 16-bit", lambda path: write_tiff(path, medium_format, bits=16), ".tif"),
        _Case(
            "100 MP TIFF, 16-bit, turned",
            lambda path: write_tiff(path, medium_format, bits=16, orientation=6),
            ".tif",
        ),
        _Case(
            "100 MP TIFF, 16-bit, Deflate",
            lambda path: write_tiff(path, medium_format, bits=16, compressed=True),
            ".tif",
        ),
        _Case("panorama TIFF 40000 x 4000", lambda path: write_tiff(path, panorama), ".tif"),
        _Case("sparse TIFF of 8 GB", _sparse, ".tif"),
        _Case("36 MP WebP", _saved(mp36, format="WEBP", quality=85, method=0), ".webp"),
        _Case("36 MP AVIF", _saved(mp36, format="AVIF", quality=70, speed=10), ".avif"),
        _Case("36 MP HEIC", _heic(mp36), ".heic"),
    ]


def _in_this_process(path: Path, what: str) -> None:
    """Read or measure one picture and print the peak in KiB, seconds of processor time, outcome."""
    from auditor.errors import UnreadablePictureError
    from auditor.photograph.decode import read_photograph
    from auditor.runs.measured_file import measure_picture

    if what == "measure":  # a worker measures one picture after the other
        measure_picture(ROOT / "fixtures" / "teahouse" / "01-kettle-and-clementines.jpg")
    before_s = time.process_time()
    try:
        if what == "read":
            photograph = read_photograph(path.parent, path.name)
            outcome = f"{photograph.width} x {photograph.height}"
        else:
            measured = measure_picture(path)
            outcome = f"{measured.width} x {measured.height}"
    except UnreadablePictureError as error:
        outcome = f"{error.code}: {error.message}"
    used_s = time.process_time() - before_s
    sys.stdout.write(f"{_peak_kib()}\t{used_s:.2f}\t{outcome}\n")


def _peak_kib() -> int:
    """Of this process alone; what `resource` tells includes the process that started it."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM"))


def _measured(path: Path, what: str) -> tuple[float, str, str]:
    command = [sys.executable, __file__, "--one", what, str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        return float("nan"), "", f"status {done.returncode}: {done.stderr.strip()[-300:]}"
    peak, seconds, outcome = done.stdout.rstrip("\n").split("\t")
    return int(peak) * _KIB / _MB, seconds, outcome


def main() -> None:
    """Print a line a picture."""
    if sys.argv[1:2] == ["--one"]:
        _in_this_process(Path(sys.argv[3]), sys.argv[2])
        return
    wanted = sys.argv[1:]
    for case in _cases():
        if wanted and not any(name in case.label for name in wanted):
            continue
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / ("picture" + case.suffix)
            case.write(path)
            n_bytes = path.stat().st_size
            lines = []
            for what in ("read", "measure"):
                peak_mb, seconds, outcome = _measured(path, what)
                lines.append(f"{what} {peak_mb:.0f} MB, {seconds} s")
        sys.stdout.write(
            f"{case.label} ({n_bytes / _MB:.1f} MB): {'; '.join(lines)}; {outcome[:150]}\n"
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
