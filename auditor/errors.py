"""Errors whose messages are written for the photographer."""

from dataclasses import dataclass

from auditor.safe_text import one_line

MOST_FAULTS_SHOWN = 100  # lines of an error's text; `faults` has all of them


class AuditorError(Exception):
    """Base of all errors that the command line turns into a message and an exit status."""


class UnreadablePictureError(AuditorError):
    """One picture cannot be read; the others are still measured.

    Parameters
    ----------
    code : str
        A code of `auditor.reasons.RefusalReason`.
    message : str
        What is wrong with this file and what to do about it.
    """

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code
        self.message = message


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One fault in a file that a person wrote.

    Attributes
    ----------
    line : int
        Line in the file, from 1; 0 if unknown.
    key : str
        Key in the file, as written there, for example ``shot[2].light.clock``.
    message : str
        What is wrong and how to correct it.
    """

    line: int
    key: str
    message: str


class WrittenFileError(AuditorError):
    """A file that a person wrote has faults; its text has one line for each, up to a limit.

    Parameters
    ----------
    file : str
        Its path as the caller gave it.
    faults : tuple of Fault
        At least one, in file order.
    """

    def __init__(self, file: str, faults: tuple[Fault, ...]) -> None:
        lines = [_fault_line(file, fault) for fault in faults[:MOST_FAULTS_SHOWN]]
        if len(faults) > MOST_FAULTS_SHOWN:
            lines.append(f"{one_line(file)}: {len(faults) - MOST_FAULTS_SHOWN} more faults")
        super().__init__("\n".join(lines))
        self.file = file
        self.faults = faults


class InvalidPlanError(WrittenFileError):
    """A plan has faults; carries all of them."""


class InvalidRulesError(WrittenFileError):
    """The rules of a hand-over have faults; carries all of them."""


class NothingToMeasureError(AuditorError):
    """A folder contains no picture that could be measured."""


class NoSketchError(AuditorError):
    """A picture that should show drawn frames shows none."""


class PhotographNotSketchError(NoSketchError):
    """A picture that should show drawn frames is a photograph."""


class UnusableArgumentError(AuditorError):
    """A command-line path or option cannot be used."""


class ShootsUnreadableError(UnusableArgumentError):
    """The file of remembered shoots cannot be used.

    Parameters
    ----------
    location : str
        The file.
    why : str
    """

    def __init__(self, location: str, why: str) -> None:
        super().__init__(
            f"{location}: the remembered shoots cannot be used ({why}). "
            "If it does not help to try again, “auditor forget --shoots” removes them."
        )


def _fault_line(file: str, fault: Fault) -> str:
    place = f"{file}:{fault.line}" if fault.line else file
    key = f"{fault.key}: " if fault.key else ""
    return one_line(f"{place}: {key}{fault.message}")
