"""A job as the texts of its files: what is being edited, and every step of it that undo can return to."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from plategen.ground.refusal import Refusal

NO_FILES: Mapping[str, str] = MappingProxyType({})
"""No files."""

MOST_STEPS = 300
"""Steps that undo can go back: texts that did not change are shared between them."""


@dataclass(frozen=True, slots=True)
class Draft:
    """The texts of one job: its TOML, and those files that it names which are there, by the name it gives them."""

    job: str
    files: Mapping[str, str] = field(default_factory=lambda: NO_FILES)

    def with_file(self, name: str, text: str) -> "Draft":
        """The same with another text for one of its files."""
        return replace(self, files=MappingProxyType({**self.files, name: text}))

    def text_of(self, name: str) -> str:
        """The text of a file that the job names.

        Raises:
            Refusal: There is none.
        """
        try:
            return self.files[name]
        except KeyError:
            raise Refusal("there is no such file; check the name, or take its readings here", name) from None


@dataclass(frozen=True, slots=True)
class History:
    """Drafts in the order they came about, the first as it was read, and which of them stands now."""

    steps: tuple[Draft, ...]
    at: int = 0
    gesture: str = ""  # Name of the gesture that made the one that stands, as of one drag; "" if none.

    @property
    def draft(self) -> Draft:
        """What stands now."""
        return self.steps[self.at]

    @property
    def can_undo(self) -> bool:
        """Whether there is a step before."""
        return self.at > 0

    @property
    def can_redo(self) -> bool:
        """Whether a step was undone."""
        return self.at + 1 < len(self.steps)

    def then(self, draft: Draft, gesture: str = "") -> "History":
        """With one more step; undone ones are dropped, and a step of the same gesture takes the place of the last."""
        if draft == self.draft:
            return self
        same = gesture != "" and gesture == self.gesture and self.at > 0
        kept = (*self.steps[: self.at + (0 if same else 1)], draft)[-MOST_STEPS:]
        return History(kept, len(kept) - 1, gesture)

    def undone(self) -> "History":
        """One step back, if there is one."""
        return replace(self, at=self.at - 1, gesture="") if self.can_undo else self

    def redone(self) -> "History":
        """One step forward again, if there is one."""
        return replace(self, at=self.at + 1, gesture="") if self.can_redo else self


def named_files(job_text: str) -> tuple[str, ...]:
    """The files that a job file names, as far as it can be read: traces, second straightedges and fit notes.

    Raises:
        Refusal: It is not TOML.
    """
    data = plain(job_text)
    entries = [entry for entry in _list(_table(data.get("rail")).get("trace")) if isinstance(entry, dict)]
    seconds = [entry["second"] for entry in entries if isinstance(entry.get("second"), dict)]
    names = [entry.get("file") for entry in (*entries, *seconds)] + [_table(data.get("revision")).get("notes")]
    return tuple(dict.fromkeys(name for name in names if isinstance(name, str) and name.strip()))


def plain(job_text: str) -> dict[str, Any]:
    """The job file as plain values.

    Raises:
        Refusal: It is not TOML.
    """
    from plategen.job.parse import parse_document

    return parse_document(job_text)


def is_toml(text: str) -> bool:
    """Whether a text can be read as TOML at all."""
    try:
        tomllib.loads(text)
    except ValueError:
        return False
    return True


def _table(value: object) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
