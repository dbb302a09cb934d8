"""One thread for the numerical libraries of a process."""

from __future__ import annotations

from collections.abc import Mapping

# One thread in each process: the processes already fill the cores, and sums in a fixed order make
# two runs give the same bytes.
SINGLE_THREADED: Mapping[str, str] = dict.fromkeys(
    ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1"
)
