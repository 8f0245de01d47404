"""The revision in the bytes of each format that leaves room for it, and the one date that a format may demand."""

import os
import re
from datetime import UTC, datetime


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
