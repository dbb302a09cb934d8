"""All results of the subject for MODEL.md; run by hand after new weights.

``python tests/benchmarks/check_subject.py DATA [--tables TABLES] [--marks MARKS.json]`` prints
tables in Markdown. DATA has ``salient/`` (photographs and masks) and ``food/``; TABLES rendered
tables with ``masks/`` and ``truth.json``; MARKS boxes of the subjects in ``food/``, as
``{"NAME.jpg": {"box": [left, top, right, bottom]}}``. Everything uses the finder and the
measurement of the program. Set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.benchmarks.check_subject_cost import check_cost
from tests.benchmarks.check_subject_drawn import check_drawn
from tests.benchmarks.check_subject_figures import markdown
from tests.benchmarks.check_subject_kinds import (
    check_dishes,
    check_known,
    tables,
    test_photographs,
)
from tests.benchmarks.check_subject_steadiness import check_steadiness


def main() -> None:
    """Print the results on known subjects and on drawn frames, then stability and cost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("data", type=Path, help="folder with salient/ and food/")
    parser.add_argument("--tables", type=Path, help="folder of rendered tables")
    parser.add_argument("--marks", type=Path, help="boxes of the subjects in DATA/food")
    arguments = parser.parse_args()
    known = {"photographs": check_known(test_photographs(arguments.data))}
    if arguments.tables is not None:
        known["rendered tables"] = check_known(tables(arguments.tables))
    if arguments.marks is not None:
        known["dishes"] = check_dishes(arguments.data / "food", arguments.marks)
    _say(markdown(known))
    _say(markdown(check_drawn()))
    _say(markdown(check_steadiness(arguments.data / "food")))
    _say(markdown({"finder": check_cost(arguments.data / "food")}))


def _say(text: str) -> None:
    sys.stdout.write(text + "\n\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
