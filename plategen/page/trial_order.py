"""What the process of a trial is ordered to do, and what it replies; see :mod:`plategen.page.trial_process`."""

from typing import Literal, TypeAlias

import msgspec


class Texts(msgspec.Struct, frozen=True, tag="texts", kw_only=True):
    """A job as the texts of its files, and what it is called among others."""

    name: str
    job: str
    files: dict[str, str]
    job_file: str


class Recorded(msgspec.Struct, frozen=True, tag="recorded", kw_only=True):
    """A delivery by its record, as the record's text."""

    name: str
    record: str
    file: str


Source: TypeAlias = Texts | Recorded
"""A job to be looked at."""


class Vary(msgspec.Struct, frozen=True, tag="vary", kw_only=True):
    """Run a number of the job over a range: ``"weld.leg=3/16:3/8:1/16"``."""

    now: Texts
    ranged: str


class Compare(msgspec.Struct, frozen=True, tag="compare", kw_only=True):
    """Lay jobs beside each other."""

    jobs: tuple[Source, ...]


class Revise(msgspec.Struct, frozen=True, tag="revise", kw_only=True):
    """What changes from an earlier job to this one."""

    old: Source
    now: Texts
    keep: Literal["", "welds", "holes"] = ""


class Trim(msgspec.Struct, frozen=True, tag="trim", kw_only=True):
    """Whether a plate that is there serves the job: a DXF file, or a photograph of it, whose bytes follow."""

    now: Texts
    file: str
    called: str = ""  # The job's plate whose place it takes; the best fitting if left out.
    play: str = "0"
    turn: float = 180.0
    this_face: bool = False
    paper: str
    thickness: str = ""  # Of a plate on a photograph.
    bar: str = ""


Order: TypeAlias = Vary | Compare | Revise | Trim
"""What is to be done."""


class Reply(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What came of it: markup to show, or why there is none; a ZIP with files of these names may follow."""

    refused: str = ""
    shown: str = ""
    files: tuple[str, ...] = ()
