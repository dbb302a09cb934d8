"""Start the command, as ``auditor`` or ``python -m auditor``.

Nothing that takes time is imported before a request to stop can be answered.
"""

import sys
import traceback

from auditor.interrupts import INTERRUPTED, answer_signals, ignore_while_leaving
from auditor.paused_collector import loading_modules
from auditor.safe_text import one_line
from auditor.standard_streams import keep_streams
from auditor.written import last_written, nothing_written_yet

INTERNAL_ERROR = 70  # EX_SOFTWARE in sysexits.h of BSD


def main() -> None:
    """Run the command and exit with its status."""
    try:
        nothing_written_yet()
        answer_signals()
        keep_streams()
        with loading_modules():
            from auditor.command_line import run

        run()
    except KeyboardInterrupt:
        _say_interrupted()
        sys.exit(INTERRUPTED)
    except SystemExit as leaving:
        if leaving.code == INTERRUPTED:  # typer turns an interrupt into this status
            _say_interrupted()
        raise
    except Exception:
        from auditor.safe_text import for_terminal  # names of files stand in messages of errors

        sys.stderr.write(for_terminal(traceback.format_exc()))
        sys.stderr.write(f"This is a fault of auditor, not of your pictures. {_what_changed()}\n")
        sys.exit(INTERNAL_ERROR)
    finally:
        ignore_while_leaving()


def _say_interrupted() -> None:
    # If an interrupt came while Python evaluated text, as it does to make dataclasses, it ends the
    # program by SIGINT in place of our status. Only evaluating another text resets that.
    eval("None")  # noqa: S307 - a constant; no other call resets it
    written = last_written()
    untouched = "an earlier report is untouched." if written is None else _what_changed()
    sys.stderr.write(f"Interrupted; {untouched}\n")


def _what_changed() -> str:
    written = last_written()
    if written is None:
        return "Nothing of yours was changed."
    return f"{one_line(str(written))} was already written."


if __name__ == "__main__":
    main()
