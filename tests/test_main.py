"""The start of the command, before anything else can answer."""

import builtins

import pytest

from auditor import __main__ as start


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
    told = capsys.readouterr().err
    assert "RuntimeError: of the test" in told
    assert "fault of auditor" in told
