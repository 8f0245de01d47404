"""A delivery as one file to be handed on."""

import io
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path

from plategen.delivery.deliver import Delivered
from plategen.delivery.folder import locked, put

OLDEST = (1980, 1, 1, 0, 0, 0)
"""The time of every file in it, the oldest the format knows: the same files give the same bytes."""


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Files by name as one ZIP, in their order."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
        for name, data in files.items():
            whole.writestr(zipfile.ZipInfo(name, OLDEST), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def zip_name(job: str, letter: str) -> str:
    """A ZIP's name, by job and revision.

    >>> zip_name("sprayer kicked/rail", "B")
    'sprayer_kicked_rail_B.zip'
    """
    plain = re.sub(r"[^\w.-]+", "_", job).strip("._")
    return f"{plain or 'job'}_{letter}.zip"


def hand_over(delivered: Delivered, folder: Path, job: str) -> Path:
    """The files of a delivery as one ZIP beside their folder; an earlier one of that name goes aside.

    Raises:
        Refusal: It cannot be written.
    """
    path = folder.parent / zip_name(job, delivered.stamp.letter)
    data = zipped({file.name: file.read_bytes() for file in delivered.files})
    with locked(path.parent):
        put(path.parent, {path.name: data})
    return path
