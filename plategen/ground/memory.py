"""How often a process looks for memory that nobody holds any more."""

import atexit
import gc


def collect_seldom() -> None:
    """Look seldom: nearly all that a command makes it keeps, so looking for what could go is mostly in vain.

    At the end not at all, where the system takes all of it back: that was a tenth of a short command's time.
    """
    gc.set_threshold(500_000)
    atexit.register(gc.freeze)
