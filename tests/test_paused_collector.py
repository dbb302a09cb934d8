"""The search for cycles of objects stands still only within."""

import gc
import sys

import pytest

from auditor.paused_collector import loading_modules, paused_collector


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


@pytest.fixture
def _nothing_held_back():
    gc.unfreeze()
    yield
    gc.unfreeze()


@pytest.mark.usefixtures("_nothing_held_back")
def test_what_was_loaded_is_never_gone_through_again(monkeypatch):
    with loading_modules():
        assert not gc.isenabled()
        monkeypatch.setitem(sys.modules, "just_loaded", sys)
    assert gc.isenabled()
    assert gc.get_freeze_count() > 0


@pytest.mark.usefixtures("_nothing_held_back")
def test_where_nothing_new_was_loaded_nothing_is_held_back():
    with loading_modules():
        pass
    assert gc.get_freeze_count() == 0
