"""How often a process looks for memory that nobody holds any more."""

import gc


def collect_seldom() -> None:
    """Look seldom: nearly all that a command makes it keeps, so looking for what could go is mostly in vain."""
    gc.set_threshold(500_000)
