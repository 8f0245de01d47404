"""The formats of delivered files: how each begins and ends, where it carries the revision, what a browser is told."""

import os
import re
from dataclasses import dataclass
from datetime import UTC, datetime

from plategen.ground.refusal import Refusal
from plategen.ground.stamp import Stamp


@dataclass(frozen=True, slots=True)
class FileFormat:
    """A file format.

    Args:
        media_type: Its name among the media types that IANA registers.
        begins: What every file of it begins with.
        ends: What every file of it ends with, line ends aside; empty where the format has no such mark.
        legible: Whether the revision's words stand in it as plain text.
    """

    media_type: str
    begins: bytes
    ends: bytes = b""
    legible: bool = True


FORMATS = {
    "dxf": FileFormat("image/vnd.dxf", b"999\n", b"EOF"),
    "step": FileFormat("model/step", b"ISO-10303-21;", b"END-ISO-10303-21;"),
    "stl": FileFormat("model/stl", b"", legible=False),
    "3mf": FileFormat("model/3mf", b"PK", legible=False),
    "glb": FileFormat("model/gltf-binary", b"glTF"),
    "pdf": FileFormat("application/pdf", b"%PDF-", b"%%EOF"),
    "svg": FileFormat("image/svg+xml", b"<?xml", b"</svg>"),
    "html": FileFormat("text/html; charset=utf-8", b"<!", b"</html>"),
    "json": FileFormat("application/json", b"{", b"}"),
}
"""Each format by the ending of its files' names."""


def format_of(name: str) -> FileFormat:
    """The format of a file of that name; KeyError if no such file is ever delivered."""
    return FORMATS[name.rpartition(".")[2]]


def proved(name: str, data: bytes, stamp: Stamp | None) -> bytes:
    """The file as it is, once it is seen to be whole and to carry the revision.

    Raises:
        Refusal: It is cut short, or does not say which revision it belongs to.
    """
    form = format_of(name)
    if not data.lstrip().startswith(form.begins) or not data.rstrip().endswith(form.ends):
        raise Refusal(f"{name} came out incomplete; this is an error of the program")
    if stamp is not None and form.legible and stamp.shown.encode() not in data:
        raise Refusal(f"{name} came out without its revision; this is an error of the program")
    return data


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
