"""Start the command, as ``auditor`` or ``python -m auditor``.

Nothing that takes time is imported before an interrupt can be answered.
"""

import sys
import traceback

INTERRUPTED = 130
INTERNAL_ERROR = 70  # EX_SOFTWARE in sysexits.h of BSD


def main() -> None:
    """Run the command and exit with its status."""
    try:
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
        sys.stderr.write(
            "This is a fault of auditor, not of your pictures. Nothing of yours was changed.\n"
        )
        sys.exit(INTERNAL_ERROR)


def _say_interrupted() -> None:
    sys.stderr.write("Interrupted; an earlier report is untouched.\n")


if __name__ == "__main__":
    main()
