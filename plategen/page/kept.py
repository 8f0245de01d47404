"""What was typed and not saved, kept in a hidden file of the job's folder: a closed lid or a power cut loses nothing.

It is written within a second of each change and taken away by the save. The next page on that folder picks it up as an
unsaved step, which undo takes back.
"""

import contextlib
import json
import os
from pathlib import Path
from types import MappingProxyType

from plategen.page.draft import Draft, is_toml

NAME = ".plategen-not-saved.json"
MOST_BYTES = 20_000_000
"""The file beside the job, and the size beyond which it is not ours."""


def keep(folder: Path, draft: Draft) -> None:
    """Write a draft beside the job, whole or not at all.

    Raises:
        OSError: The folder cannot be written.
    """
    part = folder / f"{NAME}.{os.getpid()}.part"
    try:
        part.write_text(json.dumps({"job": draft.job, "files": dict(draft.files)}), encoding="utf-8")
        part.replace(folder / NAME)
    finally:
        part.unlink(missing_ok=True)


def let_go(folder: Path) -> None:
    """Take away what was kept; it stands in the job's own files now."""
    with contextlib.suppress(OSError):
        (folder / NAME).unlink()


def picked_up(folder: Path) -> Draft | None:
    """The draft that was kept; None if there is none, or it cannot be used."""
    try:
        if (folder / NAME).is_symlink() or (folder / NAME).stat().st_size > MOST_BYTES:
            return None
        told = json.loads((folder / NAME).read_text(encoding="utf-8"))
        job, files = told["job"], told["files"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    if not isinstance(job, str) or not is_toml(job) or not isinstance(files, dict):
        return None
    if not all(isinstance(text, str) for text in files.values()):
        return None
    return Draft(job, MappingProxyType(files))
