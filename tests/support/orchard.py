"""The orchard sprayer's two jobs: the one to build, and the one whose cylinder takes hold beside the drag link."""

from pathlib import Path

from tests.support.every_example import PROFILES

STEERING = PROFILES / "orchard-sprayer-steering"
ROLLING = PROFILES / "orchard-sprayer-rolling-rod"


def text_of(folder: Path) -> str:
    """A job as it is written."""
    return (folder / "job.toml").read_text(encoding="utf-8")


FREE = text_of(ROLLING)
"""Nothing holds the drag link from rolling."""

JOINT = 'joint = "12 deg"\n'
HOLDS_END = 'holds_roll = "end"\n'
assert JOINT in FREE
HELD = FREE.replace(JOINT, JOINT + HOLDS_END)
"""The same with the link's rear end declared to hold it: its push stays beside the link and bends it."""
