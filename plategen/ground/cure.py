"""What would put a thing right, as data: the keys of the job file to change and what to, beside the words."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from plategen.ground.message import Message, Quantity, Value, message

JobValue: TypeAlias = Quantity | tuple[Quantity, ...] | str | bool
"""What a key of the job file is set to; a tuple for a key that holds a list, as ``mount.foot`` does."""


@dataclass(frozen=True, slots=True)
class Change:
    """One key of the job file and what it is set to."""

    key: str  # The key as the file has it: ``"weld.leg"``.
    to: JobValue | None  # Its new value; None leaves it out.


@dataclass(frozen=True, slots=True)
class Cure:
    """The smallest change that would put it right."""

    advice: Message  # The same in the shop's words.
    changes: tuple[Change, ...] = ()  # What to write into the job file; empty when no number of the job would do it.
    # What the shop must do for the change to be true, where it changes nothing of the bracket; said wherever the change
    # is written.
    promise: Message | None = None

    def rekeyed(self, key_of: Callable[[str], str]) -> "Cure":
        """The same by the keys that ``key_of`` gives for its own."""
        return replace(self, changes=tuple(Change(key_of(change.key), change.to) for change in self.changes))


def advise(template: str, *values: Value) -> Cure:
    """A cure that no key of the job file can do alone."""
    return Cure(message(template, *values))


def set_to(key: str, to: Quantity, template: str) -> Cure:
    """A cure that sets one key; its words have one place, for the value.

    >>> from plategen.ground.message import size
    >>> set_to("weld.leg", size(8.0), "leg to {}").changes
    (Change(key='weld.leg', to=Quantity(value=8.0, unit='mm', form='size')),)
    """
    return Cure(message(template, to), (Change(key, to),))
