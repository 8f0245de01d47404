"""The revision letter and the fingerprint of inputs that every file of a delivery carries."""

import os
import re
from dataclasses import dataclass
from datetime import UTC, datetime

LETTERS = "ABCDEFGHJKLMNPRTUVWY"
"""Revision letters in order; I, O, Q, S, X and Z are passed over as easily misread (ASME Y14.35, from memory)."""

SHOWN = 12
"""Signs of the fingerprint that are shown: 48 bits, so two jobs of a shop do not share them by chance."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """Which delivery a file belongs to.

    Args:
        letter: Revision letter.
        fingerprint: SHA-256 over the inputs, in hex.
    """

    letter: str
    fingerprint: str

    @property
    def words(self) -> str:
        """``'revision B, inputs 3f9a12bc4d5e'``."""
        return f"revision {self.letter}, inputs {self.fingerprint[:SHOWN]}"


def following(letter: str) -> str:
    """The revision letter after this one.

    >>> following("A"), following("H"), following("Y"), following("AY")
    ('B', 'J', 'AA', 'BA')
    """
    head, last = letter[:-1], letter[-1]
    if last != LETTERS[-1]:
        return head + LETTERS[LETTERS.index(last) + 1]
    return (following(head) if head else LETTERS[0]) + LETTERS[0]


def header_time(otherwise: str) -> str:
    """The time, ISO 8601 UTC, for a format that demands one: ``SOURCE_DATE_EPOCH`` if it is set, else a fixed one.

    Never the clock's: the same job gives the same bytes.
    """
    seconds = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not seconds.isascii() or not seconds.isdigit() or len(seconds) > 11:
        return otherwise
    return datetime.fromtimestamp(int(seconds), UTC).strftime("%Y-%m-%dT%H:%M:%S")


def dxf_stamped(text: str, words: str) -> str:
    """A DXF file with a comment (group code 999) at its head; readers pass over it."""
    return f"999\n{words.encode('ascii', 'replace').decode()}\n{text}"


def dxf_unstamped(data: bytes) -> bytes:
    """What a DXF file draws, without the stamp at its head."""
    return data.split(b"\n", 2)[2] if data.startswith(b"999\n") else data


def step_stamped(step: bytes, words: str) -> bytes:
    """A STEP file with a line of its description (ISO 10303-21, FILE_DESCRIPTION is a list) saying the same."""
    return re.sub(rb"(FILE_DESCRIPTION\s*\(\s*\(\s*)'", rb"\1'" + words.encode("ascii") + rb"','", step, count=1)


def html_stamped(html: str, words: str) -> str:
    """A page with the same in its head."""
    return re.sub(r"(<head[^>]*>)", rf'\1\n<meta name="revision" content="{words}">', html, count=1)
