"""The areas that a hydraulic cylinder's pressure works on."""

import math


def piston_areas_mm2(bore_mm: float, rod_mm: float, *, double_rod: bool = False) -> tuple[float, float]:
    """Area that pushes, pi D^2/4, and area that pulls, pi (D^2 - d^2)/4; a rod through both ends pulls either way.

    Source: hydrostatics.

    >>> [round(area) for area in piston_areas_mm2(50.0, 30.0)]
    [1963, 1257]
    >>> [round(area) for area in piston_areas_mm2(50.0, 30.0, double_rod=True)]
    [1257, 1257]
    """
    pull = math.pi * (bore_mm**2 - rod_mm**2) / 4.0
    return pull if double_rod else math.pi * bore_mm**2 / 4.0, pull
