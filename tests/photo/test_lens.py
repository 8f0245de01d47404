"""The floor that is seen through a round hole of a thick plate is no slot."""

import numpy as np

from plategen.photo.measure import _is_lens
from tests.support.photo_scene import looking

THICK_MM, RADIUS_MM = 9.5, 6.5
VIEW = looking(tilt_deg=30.0)


def test_what_is_seen_through_a_hole_is_a_lens_and_its_rim_is_none():
    """Before, such a hole was written as a slot, and nothing was said of it."""
    way = np.exp(2j * np.pi * np.arange(360) / 360)
    rim = 40.0 + 20.0j + RADIUS_MM * way
    lower = VIEW.to_floor(VIEW.to_pixels(np.column_stack([rim.real, rim.imag]), 0.0), THICK_MM)
    shift = complex(*lower.mean(0)) - (40.0 + 20.0j)
    assert abs(shift) > 3.0
    both = np.concatenate(
        [
            rim[np.abs(rim - 40.0 - 20.0j - shift) < RADIUS_MM],
            (rim + shift)[np.abs(rim + shift - 40.0 - 20.0j) < RADIUS_MM],
        ]
    )
    for z, lens in ((both, True), (rim, False)):
        assert _is_lens(np.column_stack([z.real, z.imag]), VIEW, THICK_MM) == lens
