"""The photograph of the example whose rail was not read with a rule: an invented scene with a known rail.

``python -m tests.profiles.photographed`` takes it anew; the trace beside it is what ``plategen pattern`` reads off it.
"""

from pathlib import Path

import numpy as np

from tests.profiles.truth import INCH, PHOTOGRAPHED, offset_at
from tests.support.photo_scene import Scene, laid, looking, moved, photographed, rail_pattern

FOLDER = Path(__file__).parents[2] / "profiles" / "skidder-photographed-rail"
LONG_MM = 12.5 * INCH
CARD_MM = INCH / 8


def scene() -> Scene:
    """Brown card on a concrete floor among three pages, a window to the right, a telephone held above it."""
    stations = np.linspace(0.0, LONG_MM, 400)
    offsets = np.array([offset_at(PHOTOGRAPHED, station) for station in stations])
    size = (4000, 3000)
    return Scene(
        outline_mm=moved(rail_pattern(stations, offsets), 7.0, (0.0, 20.0)),
        thickness_mm=CARD_MM,
        pages=(laid(0, (-275.0, 20.0), 92.0), laid(1, (275.0, -10.0), 4.0), laid(2, (10.0, 205.0), 88.0)),
        view=looking(size, at_mm=(0.0, 40.0), height_mm=760.0, tilt_deg=14.0, towards_deg=75.0),
        size=size,
        shadow_mm=(-4.0, -3.0),
        noise=0.004,
        quality=82,
        seed=11,
    )


if __name__ == "__main__":
    data = photographed(scene())
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / "front.jpg").write_bytes(data)
    print(f"{len(data) / 1e6:.2f} MB")
