"""Check the finished pictures of a food shoot.

The names below make up the library. Each is loaded when it is first used, so that
``import auditor`` is quick.
"""

import logging
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from auditor.errors import (
        AuditorError,
        Fault,
        InvalidPlanError,
        InvalidRulesError,
        NothingToMeasureError,
        UnreadablePictureError,
        UnusableArgumentError,
    )
    from auditor.library import audit, measure, read_plan
    from auditor.measurements.measured_photograph import MeasuredPhotograph
    from auditor.plan.shot_plan import Plan
    from auditor.record.audit_record import AuditRecord
    from auditor.saliency.finder import SubjectFinder, SubjectMaps

__version__ = "0.1.0"

__all__ = [
    "AuditRecord",
    "AuditorError",
    "Fault",
    "InvalidPlanError",
    "InvalidRulesError",
    "MeasuredPhotograph",
    "NothingToMeasureError",
    "Plan",
    "SubjectFinder",
    "SubjectMaps",
    "UnreadablePictureError",
    "UnusableArgumentError",
    "audit",
    "measure",
    "read_plan",
]

# The module that holds each name.
_MODULES = {
    "AuditRecord": "auditor.record.audit_record",
    "AuditorError": "auditor.errors",
    "Fault": "auditor.errors",
    "InvalidPlanError": "auditor.errors",
    "InvalidRulesError": "auditor.errors",
    "MeasuredPhotograph": "auditor.measurements.measured_photograph",
    "NothingToMeasureError": "auditor.errors",
    "Plan": "auditor.plan.shot_plan",
    "SubjectFinder": "auditor.saliency.finder",
    "SubjectMaps": "auditor.saliency.finder",
    "UnreadablePictureError": "auditor.errors",
    "UnusableArgumentError": "auditor.errors",
    "audit": "auditor.library",
    "measure": "auditor.library",
    "read_plan": "auditor.library",
}

# The program that uses the library decides where its log goes; without one it goes nowhere.
logging.getLogger("auditor").addHandler(logging.NullHandler())


if not TYPE_CHECKING:  # seeing this, a type checker would accept any name

    def __getattr__(name: str) -> object:
        if name not in _MODULES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        value = getattr(import_module(_MODULES[name]), name)
        globals()[name] = value
        return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
