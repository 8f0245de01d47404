"""The mark that tells one plate's shape from another's: what ties paper, scribed plate and sheet together."""

import hashlib

from plategen.bracket.model import Plate
from plategen.flat.segment import Arc, Segment


def shape_mark(plate: Plate) -> str:
    """Six signs for a plate's cut shape and thickness: paper, plate and sheet of one revision carry the same.

    Taken over every edge and hole rounded to 0.001 mm, so it changes when anything that is cut changes, and never
    with the machine that computed it.
    """
    edges = [f"{plate.thickness_mm:.3f}"]
    for loop in (plate.outline, *plate.openings):
        edges += [_edge(segment) for segment in loop]
    edges += [
        f"{h.circle.centre.real:.3f},{h.circle.centre.imag:.3f},{h.circle.radius:.3f},{h.made}" for h in plate.holes
    ]
    digest = hashlib.sha256(";".join(edges).replace("-0.000", "0.000").encode()).digest()
    return "".join("ABCDEFGHJKLMNPQRSTUVWXYZ23456789"[byte % 32] for byte in digest[:6])


def _edge(segment: Segment) -> str:
    bow = segment.radius * (1 if segment.bulge > 0 else -1) if isinstance(segment, Arc) else 0.0
    return f"{segment.end.real:.3f},{segment.end.imag:.3f},{bow:.2f}"
