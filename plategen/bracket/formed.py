"""Ears and base bent of one plate: where its bends begin and end, the parts between them, and the slots beside them.

The plane of the base and those of both ears meet in parallel lines, whatever the rail does, so that the bends are
parallel too: the whole is a profile drawn out along the base's u, and lies flat again by turning each ear about it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plategen.bracket.folded import Bend, Folded
from plategen.bracket.meeting import as_drawn
from plategen.bracket.model import Fit, Plate
from plategen.bracket.notch import Notch
from plategen.bracket.on_flat import outer_v
from plategen.design.fold_plan import FoldPlan
from plategen.design.foot import Foot
from plategen.design.places import PlatePlace
from plategen.flat.chain import Chain
from plategen.flat.loop import Loop, polygon
from plategen.flat.placement import Placement
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment
from plategen.flat.tangent import rounded
from plategen.ground.message import Message, message, number
from plategen.ground.space import Vector, cross, dot, unit
from plategen.job import Job
from plategen.rules.cold_bending import allowance_mm, outer_strain

NAME = "formed_plate"
"""What the one plate is called."""

_ALONG_PIN: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A bend in the profile across the base's u, about an ear's place."""

    place: PlatePlace
    lies: Placement  # The plane of the base's face on the rail.
    foot: Foot
    thickness_mm: float
    fold: FoldPlan

    @property
    def inner_mm(self) -> float:
        """Place along the pin of the ear's face beside the eye."""
        return self.place.faces_mm[self.place.outward < 0]

    @property
    def begins_mm(self) -> float:
        """V of the base at which the bend begins: square under its centre."""
        centre_w = self.inner_mm - self.place.outward * self.fold.radius_mm
        lies, height = self.lies, self.thickness_mm + self.fold.radius_mm
        return (centre_w - lies.origin[2] - height * lies.normal[2]) / lies.v[2]

    @property
    def ends_high_mm(self) -> float:
        """How high over the rail's side of the base the bend ends, at the ear's face beside the eye."""
        radius = self.fold.radius_mm
        return self.thickness_mm + radius * (1.0 + self.place.outward * dot(_ALONG_PIN, self.lies.normal))

    @property
    def turn_rad(self) -> float:
        """How far the plate is turned: from the way outwards along the base to the way up the ear."""
        up = unit(cross(_ALONG_PIN, self.lies.u))
        up = up if dot(up, self.lies.normal) > 0.0 else (-up[0], -up[1], -up[2])
        return math.acos(max(-1.0, min(1.0, self.place.outward * dot(self.lies.v, up))))

    @property
    def notch(self) -> Notch:
        """Where the ear begins, over the bend: straight, and square through the plate."""
        lies, high = self.lies, self.ends_high_mm
        v = (self.inner_mm - lies.origin[2] - high * lies.normal[2]) / lies.v[2]
        ends = [lies.point(complex(p.real, v), high) for p in (self.edge.start, self.edge.end)]
        path = Chain((Line(*(complex(u, v) for u, v, _ in ends)),))
        fit = Fit(gap_near_mm=0.0, gap_far_mm=0.0, overlap_mm=0.0, meeting=as_drawn((path,), (0.0, 0.0)))
        return Notch(path=path, fit=fit, slope=((0.0, 0.0), (0.0, 0.0)))

    @property
    def edge(self) -> Line:
        """Where the bend begins, in the base's plane: from where the foot begins on the rail to its end."""
        ends = ((u, outer_v(self.lies, 0.0, u, self.inner_mm), self.inner_mm) for u in self.foot.stations)
        first, last = (complex(self.lies.flat(p).real, self.begins_mm) for p in ends)
        return Line(first, last)

    def bend(self, number: int, steel: str) -> Bend:
        """The bend, made in its turn."""
        thick, radius, edge, side = self.thickness_mm, self.fold.radius_mm, self.edge, self.place.outward
        lies, n = self.lies, self.lies.normal
        # a rolled plate is bent away from its normal's side, and its v runs round the bend: outwards, then up
        along: Vector = (-side * lies.u[0], -side * lies.u[1], -side * lies.u[2])
        down: Vector = (-n[0], -n[1], -n[2])
        us = sorted((-side * edge.start.real, -side * edge.end.real))
        wide = self.turn_rad * (radius + thick / 2.0)
        name = f"bend_{number}"
        band = Plate(
            name=name,
            role="formed",
            outline=polygon([complex(us[0], 0.0), complex(us[1], 0.0), complex(us[1], wide), complex(us[0], wide)]),
            thickness_mm=thick,
            steel=steel,
            placement=Placement(lies.point(complex(0.0, edge.start.imag), thick), along, cross(down, along)),
            welded=False,
            rolled_mm=radius,
        )
        return Bend(
            name=name,
            ear=self.place.name,
            side=side,
            edge=edge,
            turn_rad=self.turn_rad,
            inside_mm=radius,
            k=self.fold.k,
            allowance_mm=allowance_mm(radius, thick, self.turn_rad, self.fold.k),
            band=band,
        )


def turns_of(job: Job, lies: Placement, foot: Foot, places: Sequence[PlatePlace], fold: FoldPlan) -> tuple[Turn, ...]:
    """The bends of a base that lies in a plane, one to each ear."""
    thick = job.bracket.thickness_mm
    return tuple(Turn(place=p, lies=lies, foot=foot, thickness_mm=thick, fold=fold) for p in places)


def in_order(turns: Sequence[Turn], ears: Sequence[Plate], base: Plate) -> Folded:
    """The bends in the order in which they are made: the lower ear first, which is least in the way of the other."""
    lower = sorted(zip(turns, ears, strict=True), key=lambda pair: _high_mm(pair[1]))
    bends = tuple(turn.bend(number, base.steel) for number, (turn, _) in enumerate(lower, start=1))
    return Folded(name=NAME, base=base.name, bends=bends)


def _high_mm(ear: Plate) -> float:
    """How high an ear stands over its bend, to a micrometre: ears alike are bent in their order along the pin."""
    assert ear.notch is not None
    start, way = ear.notch.start, ear.notch.end - ear.notch.start
    turned = ear.outline.moved(way.conjugate() / abs(way), -start * way.conjugate() / abs(way))
    return round(-turned.bounds[1], 3)


def base_outline(box: tuple[float, float, float, float], turns: Sequence[Turn], corner_mm: float) -> Loop:
    """The base between its bends, with a slot at both ends of each, and the steel beyond the slots.

    Args:
        box: Least and most u, then v, of that steel: ``(u0, v0, u1, v1)``.
        turns: The two bends.
        corner_mm: Radius of the four outer corners; 0 leaves them sharp.
    """
    u0, v0, u1, v1 = box
    near, far = sorted(turns, key=lambda turn: turn.place.outward)
    low = _side(near.edge, near.fold.relief_mm, v0)
    # the other side is the same, turned half round
    high = [edge.moved(-1, 0j) for edge in _side(far.edge.moved(-1, 0j).reversed(), far.fold.relief_mm, -v1)]
    a, b, c, d = complex(u0, v0), complex(u1, v0), complex(u1, v1), complex(u0, v1)
    walk: tuple[Segment, ...] = (
        Line(a, low[0].start), *low, Line(low[-1].end, b), Line(b, c),
        Line(c, high[0].start), *high, Line(high[-1].end, d), Line(d, a),
    )  # fmt: skip
    if corner_mm < SHORTEST_EDGE_MM:
        return Loop(walk)
    at = {a, b, c, d}
    return rounded(Loop(walk), [corner_mm if edge.start in at else 0.0 for edge in walk])


def _side(edge: Line, wide_mm: float, v_mm: float) -> list[Segment]:
    """Along a side that lies at a v: into the slot before a bend, along the bend, out of the slot after it."""
    first, last, wide = edge.start, edge.end, complex(wide_mm, 0.0)
    before, after = first - wide, last + wide
    return [
        Line(complex(before.real, v_mm), before),
        Arc(before, first, -1.0),
        edge,
        Arc(last, after, -1.0),
        Line(after, complex(after.real, v_mm)),
    ]


def bending_notes(job: Job, fold: FoldPlan) -> tuple[Message, ...]:
    """What whoever bends the plate must know, for the sheet."""
    thick = job.bracket.thickness_mm
    strained = outer_strain(fold.radius_mm, thick)
    notes = [
        message(
            "Bend a trial strip of the same plate first; write the k that it gives into the job before plates are cut."
        ),
        message("Round the cut edges at the ends of every bend; a plate that cracks on the outside of one is scrap."),
        message(
            "A bend's outside is stretched by {}, which makes it brittle, in frost above all: order plate of known "
            "toughness, and weld nothing near it (EN 1993-1-8 4.14 asks 5 thicknesses between, from memory).",
            number(strained),
        ),
        message("Ream both pin holes in one setting when both bends are made (common practice, no source)."),
    ]
    assert job.bolted is not None
    assert job.bolted.formed is not None
    if job.bolted.formed.rolled == "across":
        notes.insert(0, message("Lay the plate on the sheet so that its bend lines run across the way it was rolled."))
    return tuple(notes)
