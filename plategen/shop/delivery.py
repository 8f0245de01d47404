"""Every file of a job, written so that nobody ever sees half of one.

All files are first written whole into a fresh folder beside the target; only when every one of them is there are they
moved, one rename each, into their place. A second maker waits its turn at the door.
"""

import json
import os
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from plategen.refusal import Refusal
from plategen.shop.work import Work


@dataclass(frozen=True, slots=True)
class Delivered:
    """The files that were written, and one line for each that could not be, with what would help."""

    files: tuple[Path, ...]
    missing: tuple[str, ...] = ()


def refuse_unwritable(folder: Path) -> None:
    """Refuse an output folder that is a file or cannot be written, before any work is done."""
    nearest = folder
    while not nearest.exists() and nearest != nearest.parent:
        nearest = nearest.parent
    if not nearest.is_dir():
        raise Refusal("is a file, not a folder; give a folder to write into", str(nearest))
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise Refusal("cannot be written; give a folder of your own", str(nearest))
