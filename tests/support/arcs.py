"""Arcs as tests draw them: from where they begin, which way, to where they end."""

import math

from plategen.flat.segment import Arc, angle


def tangent_arc(start: complex, direction: complex, end: complex) -> Arc:
    """The arc from ``start``, leaving along ``direction``, to ``end``, which must not lie straight ahead."""
    return Arc(start, end, math.tan(angle((end - start) / direction) / 2))
