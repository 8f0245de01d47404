"""A crosshead: a plate between the ears, off the rail and clear of the cylinder's swing, welded to both on both faces.

It stands as near the pin as the cylinder lets it: there it shares most of a side force between the ears.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np

from plategen.bracket.closing_room import ANGLES, BESIDE_BEAD_MM, BETWEEN_MM, POINTS, cylinder_distances, kept_mm
from plategen.bracket.model import Bracket, Plate, WeldRun, fillet
from plategen.design.design import Design
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import polygon
from plategen.flat.placement import Placement
from plategen.flat.segment import Line, unit
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job.crosshead import Crosshead
from plategen.rules.weld import least_run_mm

OVER_THICKNESS = 3.0
"""How long a rule makes its sides, over its thickness: a plate and no bar (common practice, no source)."""


def tie_ears(design: Design, crosshead: Crosshead, bracket: Bracket) -> Bracket:
    """The bracket with a crosshead between its ears.

    Raises:
        Refusal: There is one ear alone, or no room for a crosshead.
    """
    ears = tuple(plate for plate in bracket.plates if plate.role == "ear")
    if len(ears) != 2:
        raise Refusal("a crosshead ties two ears, and there is one plate alone; leave the table out", "crosshead")
    job, leg = design.job, crosshead.leg_mm or design.job.weld.leg_mm
    deep = crosshead.deep_mm or PLATE_SIZES.up(
        max(least_run_mm(leg), OVER_THICKNESS * crosshead.thickness_mm), job.units
    )
    (one, way), (other, its_way) = (_under(design, crosshead, ear) for ear in ears)
    foot, along = (one + other) / 2, unit(way + its_way)
    height, why = _height(design, crosshead, ears, foot, along, deep)
    near = ears[0].placement.origin[2] + ears[0].thickness_mm + crosshead.fit_mm
    wide = ears[1].placement.origin[2] - crosshead.fit_mm - near
    at = foot - along * 1j * height
    half = deep / 2
    plate = Plate(
        name="crosshead",
        role="crosshead",
        outline=polygon([complex(-half, 0.0), complex(half, 0.0), complex(half, wide), complex(-half, wide)]),
        thickness_mm=crosshead.thickness_mm,
        steel=crosshead.steel or job.bracket.steel,
        placement=Placement((at.real, at.imag, near), (along.real, along.imag, 0.0), (0.0, 0.0, 1.0)),
    )
    runs = _runs(design, crosshead, plate, ears)
    return replace(
        bracket,
        plates=(*bracket.plates, plate),
        welds=(*bracket.welds, *runs),
        chosen=(*bracket.chosen, *((why,) if why else ())),
    )


def _under(design: Design, crosshead: Crosshead, ear: Plate) -> tuple[complex, complex]:
    """The point of an ear's notch that it stands over, and the notch's direction there."""
    assert ear.notch is not None
    low, high = sorted((ear.notch.start.real, ear.notch.end.real))
    wanted = design.pin.station_mm if crosshead.station_mm is None else crosshead.station_mm
    if crosshead.station_mm is not None and not low <= wanted <= high:
        words = "the crosshead would stand beyond the foot; a station between {} and {} is right"
        raise Refusal(message(words, mm(low, "up"), mm(high, "down")), "crosshead.station")
    index, t = ear.notch.nearest(complex(min(max(wanted, low), high), max(ear.notch.start.imag, ear.notch.end.imag)))
    edge = ear.notch.segments[index]
    return edge.point(t), unit(edge.tangent(t))


def _height(
    design: Design, crosshead: Crosshead, ears: tuple[Plate, ...], foot: complex, along: complex, deep: float
) -> tuple[float, Message]:
    """How high over the notch its nearer face lies, and why, where a rule chose it."""
    job, leg = design.job, crosshead.leg_mm or design.job.weld.leg_mm
    least = job.weld.leg_mm + leg + BESIDE_BEAD_MM  # the ears' own beads and its own lie under it

    def fits(height: float) -> bool:
        return _in_steel(crosshead, leg, ears, foot, along, deep, height) and _clear(
            design, crosshead, foot, along, deep, height
        )

    if crosshead.height_mm is not None:
        if crosshead.height_mm < least or not fits(crosshead.height_mm):
            words = "a crosshead so high has no room between the ears' edges, their beads and the cylinder; {} is right"
            raise Refusal(message(words, "another height, or leaving it to the rule"), "crosshead.height")
        return crosshead.height_mm, NOTHING
    step = PLATE_SIZES.step_mm(job.units)
    lowest = PLATE_SIZES.up(least, job.units)
    over = abs(foot - complex(design.pin.station_mm, 0.0))  # beyond the pin no ear has steel for it
    places = (lowest + k * step for k in reversed(range(round(over / step))))
    found = next((height for height in places if fits(height)), None)
    if found is None:
        words = "between the rail and the cylinder's swing a crosshead with its beads has no room; {} is right"
        raise Refusal(
            message(words, "a pin farther from the rail, a thinner crosshead, or gussets instead"), "crosshead"
        )
    words = "crosshead as near the pin as the cylinder's swing, {} kept clear, and the ears' edges let it"
    return found, message(words + " (common practice, no source)", mm(kept_mm(design)))


def _in_steel(
    crosshead: Crosshead, leg: float, ears: tuple[Plate, ...], foot: complex, along: complex, deep: float, height: float
) -> bool:
    """Whether its ends with their beads lie on both ears."""
    beside = leg + BESIDE_BEAD_MM
    xs, ys = (-deep / 2, 0.0, deep / 2), (height - beside, height + crosshead.thickness_mm + beside)
    return all(inside(ear.outline, foot + along * complex(x, -y)) for ear in ears for x in xs for y in ys)


def _clear(design: Design, crosshead: Crosshead, foot: complex, along: complex, deep: float, height: float) -> bool:
    """Whether the cylinder keeps clear of it over its swing."""
    low, high = height, height + crosshead.thickness_mm
    corners = [complex(x, -y) for x, y in ((-deep / 2, low), (deep / 2, low), (deep / 2, high), (-deep / 2, high))]
    share = np.linspace(0.0, 1.0, POINTS)
    edges = [p + (q - p) * share for p, q in pairwise([*corners, corners[0]])]
    distances = cylinder_distances(design, foot + along * np.concatenate(edges), ANGLES)
    return float(distances.min()) >= kept_mm(design) + BETWEEN_MM


def _runs(design: Design, crosshead: Crosshead, plate: Plate, ears: tuple[Plate, ...]) -> Iterator[WeldRun]:
    """To each ear along its side, on the face towards the rail and on the other."""
    u0, v0, u1, v1 = plate.outline.bounds
    place = plate.placement
    away = Placement(place.point(0j, plate.thickness_mm), place.u, place.v)
    for ear, v in zip(ears, (v0, v1), strict=True):
        path = Chain((Line(complex(u0, v), complex(u1, v)),))
        for side, face in (("outside", away), ("inside", place)):
            yield fillet(
                design.job, plate.name, "tie", ear.name, path, face, side=side, leg_mm=crosshead.leg_mm or 0.0,
                gap_mm=crosshead.fit_mm,
            )  # fmt: skip
