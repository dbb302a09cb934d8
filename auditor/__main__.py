"""Run the command as ``python -m auditor``."""

from auditor.command_line import main

if __name__ == "__main__":
    main()
