"""What is said of a plate wherever it is shown: which face is outside, and a mark that tells one shape from another."""

import hashlib

from plategen.bracket.model import Plate
from plategen.flat.segment import Arc, Segment
from plategen.ground.show import Show
from plategen.work import Work


def spoken(plate: Plate) -> str:
    """The plate's name as one says it: ``'ear near'``."""
    return plate.name.replace("_", " ")


def tape(show: Show, mm: float) -> str:
    """A length as one reads it off a tape, decimals beside it when it lies off the marks: ``'5 5/16 (5.305)'``."""
    short, full = show.short(mm), show.length(mm)
    return full.replace(" in (", " (") if "." in short and " in (" in full else short


def facing(work: Work, plate: Plate) -> str:
    """Which way the face turns that the drawings show (where the plate's normal points); nothing of a loose plate."""
    if plate in work.loose:
        return ""
    place, pin = plate.placement, work.bracket.pin.centre
    u0, v0, u1, v1 = plate.outline.bounds
    middle = place.point(complex(u0 + u1, v0 + v1) / 2, plate.thickness_mm / 2)
    away = sum((m - p) * n for m, p, n in zip(middle, pin, place.normal, strict=True))
    if abs(away) <= plate.thickness_mm / 2:
        return ""
    return "THIS FACE OUT, away from the eye" if away > 0.0 else "THIS FACE IN, towards the eye"


def shape_mark(plate: Plate) -> str:
    """Six signs that stand for a plate's cut shape and thickness: paper and sheet of one revision carry the same.

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
