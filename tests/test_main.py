"""The start of the command, before anything else can answer."""

import builtins
import sys

import pytest

from auditor import __main__ as start


@pytest.fixture(autouse=True)
def _signals_stay_with_the_tests(monkeypatch):
    monkeypatch.setattr(start, "answer_signals", lambda: None)


def starting_raises(monkeypatch, error):
    importing = builtins.__import__

    def refuse(name, *rest):
        if name == "auditor.command_line":
            raise error
        return importing(name, *rest)

    monkeypatch.setattr(builtins, "__import__", refuse)


def test_an_interrupt_while_starting_is_answered_in_a_line(monkeypatch, capsys):
    starting_raises(monkeypatch, KeyboardInterrupt)
    with pytest.raises(SystemExit) as leaving:
        start.main()
    assert leaving.value.code == 130
    assert capsys.readouterr().err.count("\n") == 1


def test_a_fault_of_ours_has_a_status_of_its_own(monkeypatch, capsys):
    starting_raises(monkeypatch, RuntimeError("of the test"))
    with pytest.raises(SystemExit) as leaving:
        start.main()
    assert leaving.value.code == 70
    messages = capsys.readouterr().err
    assert "RuntimeError: of the test" in messages
    assert "fault of auditor" in messages


def test_a_fault_of_ours_cannot_control_the_terminal(monkeypatch, capsys):
    starting_raises(monkeypatch, RuntimeError("red\x1b[31m \u202e.jpg"))
    with pytest.raises(SystemExit):
        start.main()
    messages = capsys.readouterr().err
    assert "red\ufffd[31m \ufffd.jpg" in messages
    assert "\x1b" not in messages


def test_an_interrupt_that_the_command_turned_into_a_status_is_answered(monkeypatch, capsys):
    monkeypatch.setattr("auditor.command_line.run", lambda: sys.exit(130))
    with pytest.raises(SystemExit) as leaving:
        start.main()
    assert leaving.value.code == 130
    assert capsys.readouterr().err == "Interrupted; an earlier report is untouched.\n"


@pytest.mark.parametrize("status", [0, 1, 2, 3])
def test_any_other_status_is_passed_on_without_a_word(monkeypatch, capsys, status):
    monkeypatch.setattr("auditor.command_line.run", lambda: sys.exit(status))
    with pytest.raises(SystemExit) as leaving:
        start.main()
    assert leaving.value.code == status
    assert capsys.readouterr() == ("", "")
