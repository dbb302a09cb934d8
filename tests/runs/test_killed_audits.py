"""Workers and main processes that are killed at random moments; more of it by hand: check_kills."""

import random
import sys

import pytest

from tests.conftest import draw_dish
from tests.runs.killed_audits import Undisturbed

N_KILLS = 3


@pytest.mark.skipif(sys.platform != "linux", reason="processes are looked for in /proc")
def test_kills_cost_what_was_in_work_and_nothing_else(tmp_path):
    pictures = tmp_path / "set"
    pictures.mkdir()
    for number in range(4):
        draw_dish(seed=number, size=(240, 300)).save(pictures / f"dish {number}.jpg", quality=90)
    chance = random.Random(1)
    undisturbed = Undisturbed(pictures, tmp_path / "audits")
    assert undisturbed.n_measured == 4
    for victim in (*["worker"] * N_KILLS, "main in the swap", *["main"] * (N_KILLS - 1)):
        trial = undisturbed.trial(victim, tmp_path / "trial", chance)
        assert trial.faults == [], trial
