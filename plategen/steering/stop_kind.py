"""What a stop is and which way it stops: words that a report has even of a job that draws no steering."""

from typing import Literal, TypeAlias

Turn: TypeAlias = Literal["left", "right"]
Kind: TypeAlias = Literal["spindle", "box", "cylinder", "further cylinder", "other"]
"""Which way it stops, and what it is; "cylinder" is the one whose bracket is made."""
