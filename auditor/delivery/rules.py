"""The rules of a hand-over as data: what is asked, of which pictures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.delivery.name_pattern import NamePattern
from auditor.plan.file_patterns import fits_pattern

LONG_SIDE, SHORT_SIDE = "long_side", "short_side"


@dataclass(frozen=True, slots=True)
class Asked:
    """What one rule asks; of the values below it has the one that fits its kind.

    Attributes
    ----------
    words : str
        The same in plain words: ``"at least 3000 px"``.
    accepted : Accepted or None
        Of a number, in the unit of its key (`auditor.delivery.units`).
    texts : tuple of str
        Of names, any of which will do.
    wanted : bool or None
        Whether something must be there (true) or must not (false).
    pattern : NamePattern or None
        Of file names.
    """

    words: str
    accepted: Accepted | None = None
    texts: tuple[str, ...] = ()
    wanted: bool | None = None
    pattern: NamePattern | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    Attributes
    ----------
    name : str
        Its key in the file, the same in every table.
    asked : Asked
    channel : str or None
        Whose pictures it is about; None for those of all.
    """

    name: str
    asked: Asked
    channel: str | None = None


@dataclass(frozen=True, slots=True)
class Channel:
    """Pictures for one use: a website, a print, a menu board.

    Attributes
    ----------
    name : str
    files : tuple of str
        Patterns (``*`` and ``?``) of its pictures, or folders with ``/`` at the end.
    rules : tuple of Rule
        Its own.
    """

    name: str
    files: tuple[str, ...]
    rules: tuple[Rule, ...] = ()

    def has(self, file: str) -> bool:
        """Whether a picture belongs to it."""
        return any(
            fits_pattern(f"{pattern}*" if pattern.endswith("/") else pattern, file)
            for pattern in self.files
        )

    def states(self, name: str) -> bool:
        """Whether it has a rule of its own in this key."""
        return any(rule.name == name for rule in self.rules)


@dataclass(frozen=True, slots=True)
class Rules:
    """A whole file of rules.

    Attributes
    ----------
    title : str or None
    rules : tuple of Rule
        Those for all pictures, in the order of their keys.
    channels : tuple of Channel
    """

    title: str | None
    rules: tuple[Rule, ...]
    channels: tuple[Channel, ...] = ()

    def all_rules(self) -> Iterator[Rule]:
        """The rules for all pictures, then those of each channel."""
        yield from self.rules
        for channel in self.channels:
            yield from channel.rules

    def names(self) -> frozenset[str]:
        """The keys that are asked of any picture."""
        return frozenset(rule.name for rule in self.all_rules())

    def holds_for(self, rule: Rule, file: str) -> bool:
        """Whether a rule about single pictures is asked of this one.

        A channel's own rule replaces the same one for all pictures.
        """
        own = [channel for channel in self.channels if channel.has(file)]
        if rule.channel is not None:
            return any(channel.name == rule.channel for channel in own)
        return not any(channel.states(rule.name) for channel in own)

    def groups(
        self, rule: Rule, files: tuple[str, ...]
    ) -> tuple[tuple[Channel | None, tuple[str, ...]], ...]:
        """The pictures that a rule compares with each other, and their channel.

        Pictures of two channels are not compared: one picture for the website and for print is no
        double. A channel's own rule replaces the same one for all pictures.
        """
        channels = [
            channel
            for channel in self.channels
            if channel.name == rule.channel
            or (rule.channel is None and not channel.states(rule.name))
        ]
        inside = [(one, tuple(file for file in files if one.has(file))) for one in channels]
        if rule.channel is not None:
            return tuple(inside)
        rest = tuple(file for file in files if not any(one.has(file) for one in self.channels))
        return (*inside, (None, rest))

    def names_of(self, channel: Channel | None) -> NamePattern | None:
        """The form of names that is asked in a channel, or of all pictures."""
        own = () if channel is None else channel.rules
        asked = (rule.asked.pattern for rule in (*own, *self.rules) if rule.name == "names")
        return next(asked, None)


def least_side_px(rules: Rules, file: str) -> tuple[int, int]:
    """The least long and short side, in pixels, that a picture must have; 0 where none is asked.

    Parameters
    ----------
    rules : Rules
    file : str
        Path relative to the folder, with ``/``.
    """
    sides = []
    for name in (LONG_SIDE, SHORT_SIDE):
        asked = [
            rule.asked.accepted.spans[0][0]
            for rule in rules.all_rules()
            if rule.name == name and rule.asked.accepted is not None and rules.holds_for(rule, file)
        ]
        least = max(asked, default=0.0)
        sides.append(round(least) if least > 1 else 0)
    return sides[0], sides[1]
