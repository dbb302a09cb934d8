"""Start the command, as ``auditor`` or ``python -m auditor``.

Nothing heavy is imported before an interrupt can be answered.
"""

import sys
import traceback

INTERRUPTED = 130
FAULT_OF_OURS = 70  # EX_SOFTWARE of BSD's sysexits.h: none of the statuses that mean something else


def main() -> None:
    """Run the command and exit with its status."""
    try:
        from auditor.command_line import run

        run()
    except KeyboardInterrupt:
        sys.stderr.write("Interrupted; an earlier report is untouched.\n")
        sys.exit(INTERRUPTED)
    except Exception:
        traceback.print_exc()
        sys.stderr.write(
            "This is a fault of auditor, not of your pictures. Nothing of yours was changed.\n"
        )
        sys.exit(FAULT_OF_OURS)


if __name__ == "__main__":
    main()
