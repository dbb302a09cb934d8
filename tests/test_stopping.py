"""Requests to stop, and streams that cannot be written: no traceback, the right status."""

import os
import signal
import subprocess
import sys
import time

import pytest

from auditor import __main__ as start
from auditor import interrupts
from auditor.written import note_written
from tests.conftest import ROOT, draw_dish, run_program
from tests.systems import interruptible

INTERRUPTED_LINE = "Interrupted; an earlier report is untouched."
# A job in the background of a shell ignores SIGINT and passes that on; this program answers it.
ANSWERING = """
import os, signal, sys
signal.signal(signal.SIGINT, signal.SIG_DFL)
os.execv(sys.executable, [sys.executable, "-m", "auditor", *sys.argv[1:]])
"""


def started(folder, *arguments, **streams):
    return subprocess.Popen(
        [sys.executable, "-c", ANSWERING, *map(str, arguments)],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        text=True,
        start_new_session=True,
        **streams,
    )


def shell(folder, line, **environment):
    """Run a line of a shell in which ``$auditor`` is the command."""
    command = f"{sys.executable} -m auditor"
    return run_program(folder, "/bin/sh", "-c", line, auditor=command, **environment)


@pytest.fixture
def dish(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "dish.jpg", quality=90)
    return folder


@interruptible
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_kill_and_a_terminal_that_closes_are_answered_as_ctrl_c(tmp_path, dish, name):
    for number in range(20):
        draw_dish(seed=number).save(dish / f"dish {number}.jpg", quality=90)
    with started(tmp_path, "audit", dish, "--out", "report", stderr=subprocess.PIPE) as process:
        assert process.stderr.readline().startswith("Measured")
        process.send_signal(getattr(signal, name))
        _, messages = process.communicate(timeout=300)
    assert process.returncode == 130
    assert messages.splitlines()[-1] == INTERRUPTED_LINE
    assert "Traceback" not in messages
    assert not (tmp_path / "report").exists()


@interruptible
def test_many_interrupts_are_answered_once(tmp_path, dish):
    for number in range(20):
        draw_dish(seed=number).save(dish / f"dish {number}.jpg", quality=90)
    with started(tmp_path, "audit", dish, "--out", "report", stderr=subprocess.PIPE) as process:
        assert process.stderr.readline().startswith("Measured")
        for _ in range(20):
            os.killpg(process.pid, signal.SIGINT)
            time.sleep(0.05)
            if process.poll() is not None:
                break
        _, messages = process.communicate(timeout=300)
    assert process.returncode == 130
    assert messages.count(INTERRUPTED_LINE) == 1
    assert "Traceback" not in messages
    assert not (tmp_path / "report").exists()


PROGRAM = """
import os, signal, sys, time
from auditor import interrupts
interrupts.GRACE_S = {grace}
interrupts.answer_signals()
try:
    try:
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(60)
    finally:
        os.kill(os.getpid(), signal.{second})
        time.sleep({slow})
        os.kill(os.getpid(), signal.{second})
        print("in order", flush=True)
except KeyboardInterrupt:
    sys.exit(3)
"""


def interrupted_twice(folder, **values):
    return run_program(folder, sys.executable, "-c", PROGRAM.format(**values))


@interruptible
@pytest.mark.parametrize("second", ["SIGINT", "SIGTERM"])
def test_putting_in_order_is_not_interrupted(tmp_path, second):
    done = interrupted_twice(tmp_path, grace=30, slow=0, second=second)
    assert (done.returncode, done.stdout, done.stderr) == (3, "in order\n", "")


@interruptible
def test_a_program_that_does_not_come_to_its_end_is_stopped_at_once(tmp_path):
    done = interrupted_twice(tmp_path, grace=0.1, slow=0.3, second="SIGINT")
    assert (done.returncode, done.stdout) == (130, "")
    assert done.stderr.encode() == interrupts.AT_ONCE


@interruptible
def test_a_request_that_comes_while_python_ends_changes_nothing(tmp_path):
    code = (
        "import os, signal, sys\n"
        "from auditor.interrupts import answer_signals\n"
        "class AtTheEnd:\n"
        "    def __del__(self, kill=os.kill, process=os.getpid(), number=signal.SIGINT):\n"
        "        kill(process, number)\n"
        "answer_signals()\n"
        "kept = AtTheEnd()\n"
        "sys.exit(130)\n"
    )
    done = run_program(tmp_path, sys.executable, "-c", code)
    assert (done.returncode, done.stderr) == (130, "")


@interruptible
def test_the_status_is_the_same_if_python_was_evaluating_text(tmp_path):
    """As it does while it makes dataclasses."""
    (tmp_path / "stopped.py").write_text(
        "from auditor import __main__, command_line\n"
        "def run():\n"
        "    exec('raise KeyboardInterrupt')\n"
        "command_line.run = run\n"
        "__main__.main()\n",
        encoding="utf-8",
    )
    # The module is found in the current folder, before the package.
    done = run_program(tmp_path, sys.executable, "-m", "stopped")
    assert (done.returncode, done.stderr) == (130, f"{INTERRUPTED_LINE}\n")


@interruptible
def test_a_request_that_the_caller_ignores_is_ignored(tmp_path):
    """As `nohup` has it for a terminal that closes."""
    code = (
        "import os, signal\n"
        "signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from auditor.interrupts import answer_signals\n"
        "answer_signals()\n"
        "os.kill(os.getpid(), signal.SIGHUP)\n"
        "print('going on')\n"
    )
    done = run_program(tmp_path, sys.executable, "-c", code)
    assert (done.returncode, done.stdout, done.stderr) == (0, "going on\n", "")


@pytest.mark.parametrize(
    ("error", "status", "line"),
    [
        (KeyboardInterrupt, 130, "Interrupted; report was already written."),
        (
            RuntimeError,
            70,
            "This is a fault of auditor, not of your pictures. report was already written.",
        ),
    ],
)
def test_what_was_written_is_not_called_unchanged(monkeypatch, capsys, error, status, line):
    def run():
        note_written("report")
        raise error

    monkeypatch.setattr(start, "answer_signals", lambda: None)
    monkeypatch.setattr("auditor.command_line.run", run)
    with pytest.raises(SystemExit) as leaving:
        start.main()
    assert leaving.value.code == status
    assert capsys.readouterr().err.splitlines()[-1] == line


@interruptible
@pytest.mark.parametrize(
    "streams",
    [">&-", "2>&-", "<&- >&- 2>&-", ">/dev/full", "2>/dev/full", "2>&1 | true"],
)
@pytest.mark.usefixtures("dish")
def test_an_audit_is_written_whatever_becomes_of_its_last_line(tmp_path, streams):
    redirected, pipe, reader = streams.partition("|")
    audit = f"$auditor audit set --out report {redirected}"
    line = f"{{ {audit}; echo $? >status; }} {pipe}{reader}"
    done = shell(tmp_path, line)
    assert (tmp_path / "status").read_text(encoding="utf-8") == "0\n"
    assert "Traceback" not in done.stderr
    assert "fault" not in done.stderr
    assert (tmp_path / "report" / "index.html").is_file()
    names = {path.name for path in (tmp_path / "report").iterdir()}
    assert names == {"index.html", "audit.json", "measurements.csv", "verdicts.csv", "pictures"}


@interruptible
@pytest.mark.parametrize("command", ["--help", "schema", "plan words", "--version"])
def test_a_pipe_that_closes_is_no_error_for_any_command(tmp_path, command):
    line = f"{{ sleep 0.2; $auditor {command}; echo $? >status; }} | true"
    done = shell(tmp_path, line)
    assert done.stderr == ""
    assert (tmp_path / "status").read_text(encoding="utf-8") == "0\n"


@interruptible
@pytest.mark.parametrize("command", ["schema", "plan words", "delivery example web"])
def test_text_that_cannot_be_written_is_said(tmp_path, command):
    done = shell(tmp_path, f"$auditor {command} >/dev/full")
    assert done.returncode == 2
    assert done.stderr == "Standard output cannot be written (No space left on device).\n"


@pytest.mark.parametrize("epoch", ["9" * 30, "9" * 5000, "²", "-1", "tomorrow", "1e9"])
def test_a_wrong_time_is_said_before_anything_is_measured(call_auditor, tmp_path, dish, epoch):
    done = call_auditor("audit", dish, "--out", "report", SOURCE_DATE_EPOCH=epoch)
    assert done.returncode == 2
    assert done.stderr.startswith("SOURCE_DATE_EPOCH is ")
    assert len(done.stderr) < 250
    assert not (tmp_path / "report").exists()
