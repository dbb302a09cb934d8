"""Read rules from TOML and report all of their faults at once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import ValidationError

from auditor.delivery.cross_checks import cross_faults
from auditor.delivery.examples import example_path
from auditor.delivery.faults import written_faults
from auditor.delivery.models import GROUPS, RULE_NAMES, WrittenChannel, WrittenRules
from auditor.delivery.rules import Asked, Channel, Rule, Rules
from auditor.errors import InvalidPlanError, InvalidRulesError
from auditor.plan.cross_checks import WrittenFault
from auditor.plan.reading import parsed, placed, raise_size_faults, text_of
from auditor.plan.toml_lines import KeyPath
from auditor.plan.written_table import Written


def read_rules(path: Path) -> Rules:
    """Read the rules of a hand-over.

    Parameters
    ----------
    path : Path
        A TOML file, or the name of one of the examples of this package where there is no file of
        that name.

    Raises
    ------
    InvalidRulesError
        With all faults in the file, each with its key and line. In a key, channels and items of
        lists are counted from 1.
    """
    file = example_path(path) or path
    try:
        text = text_of(file, "rules")
    except InvalidPlanError as error:
        raise InvalidRulesError(error.file, error.faults) from error
    data, lines = parsed(text, str(path), InvalidRulesError)
    raise_size_faults(data, lines, str(path), InvalidRulesError)
    return _rules(_checked(data, lines, path))


def _checked(data: dict[str, Any], lines: dict[KeyPath, int], path: Path) -> WrittenRules:
    found: list[WrittenFault] = list(cross_faults(data))
    written = None
    try:
        written = WrittenRules.model_validate(data)
    except ValidationError as error:
        found += written_faults(error)
    if written is None or found:
        raise InvalidRulesError(str(path), placed(found, lines))
    return written


def _rules(written: WrittenRules) -> Rules:
    head = [rule for group in GROUPS for rule in _rules_in(getattr(written, group), None)]
    return Rules(
        written.title,
        tuple(head),
        tuple(_channel(channel) for channel in written.channel),
    )


def _channel(written: WrittenChannel) -> Channel:
    own = {rule.name: rule for rule in _rules_in(written, written.name)}
    return Channel(
        written.name,
        written.files,
        tuple(own[name] for name in RULE_NAMES if name in own),
    )


def _rules_in(table: Written, channel: str | None) -> list[Rule]:
    return [Rule(key, value, channel) for key, value in table if isinstance(value, Asked)]
