"""Tables that others have printed, kept as CSV beside the code that asks them; each row names its source."""

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TypeAlias

Row: TypeAlias = Mapping[str, str]
"""A row as text by its columns' names."""


@cache
def rows(file: Path) -> tuple[Row, ...]:
    """The rows of a table; lines that begin with ``#`` are notes."""
    with file.open(encoding="utf-8", newline="") as lines:
        return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))
