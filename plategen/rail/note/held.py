"""How a plate was held up when its fit notes were taken; a job file knows these words even without a note."""

from typing import Literal, TypeAlias

HowHeld: TypeAlias = Literal["pin", "home"]
"""By its pin, in its place, or pushed home until it touched."""
