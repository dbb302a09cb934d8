"""What can go wrong, in words for the photographer."""

from dataclasses import dataclass


class AuditorError(Exception):
    """Any fault that the command line turns into a message and an exit status."""


class UnreadablePictureError(AuditorError):
    """One picture cannot be read; the rest of the work goes on.

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
        Line in the file, from 1; 0 where no line can be named.
    key : str
        Where in the file, as written there, for example ``shot[2].light.clock``.
    message : str
        What is wrong and what would be right.
    """

    line: int
    key: str
    message: str


class InvalidPlanError(AuditorError):
    """A plan is wrong; carries every fault found in it.

    Parameters
    ----------
    file : str
        The plan as named by the caller.
    faults : tuple of Fault
        At least one, in the order of the file.
    """

    def __init__(self, file: str, faults: tuple[Fault, ...]) -> None:
        super().__init__(f"{file}: {len(faults)} fault(s) in the plan")
        self.file = file
        self.faults = faults


class NothingToMeasureError(AuditorError):
    """A folder holds no picture that could be measured."""


class UnusableArgumentError(AuditorError):
    """A path or option given on the command line cannot be used."""
