"""The search for cycles of objects stands still only within."""

import gc

import pytest

from auditor.paused_collector import paused_collector


def test_it_goes_on_afterwards_even_after_an_error():
    assert gc.isenabled()
    with pytest.raises(ZeroDivisionError), paused_collector():
        _ = 1 / (0 if not gc.isenabled() else 1)
    assert gc.isenabled()


def test_within_another_pause_it_stays_paused():
    with paused_collector():
        with paused_collector():
            pass
        assert not gc.isenabled()
