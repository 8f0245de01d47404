"""A doubler on the rail under the foot: a flat plate that spreads what the ears do to a thin wall.

It is welded along its two long edges only: a bead across a frame rail is where it cracks. Its ends are rounded or drawn
to a point, so that its stiffness does not begin in one line across the rail, and are left unwelded.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from plategen.bracket.base import OVER_LEG_MM
from plategen.bracket.face import lies_along, refuse_untraced
from plategen.bracket.model import Hole, Plate, WeldRun, fillet
from plategen.bracket.notch import Notch
from plategen.bracket.on_flat import flat_foot, flat_notch, outer_v, refuse_low
from plategen.design.design import Design, Sizes, nose_radius, relief_radius, toe_height
from plategen.design.doubler_plan import DoublerPlan
from plategen.design.foot import Foot
from plategen.design.places import PinPlace, PlatePlace, standing_places
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop, polygon
from plategen.flat.segment import Arc, Line
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.doubler import Doubler
from plategen.rail.surface import Rail
from plategen.rules import plug
from plategen.rules.weld import GAP_LARGEST_MM

TAPER_RAD = math.radians(30.0)
"""Slope of a tapered end against the rail (common practice, no source: 45 degrees at most)."""

BLUNT = 1.0 / 3.0
"""What is left of the width at the very end of a taper (common practice, no source)."""

BESIDE_PLUG_MM = 3.0
"""From a plug's hole to the bead of an ear (common practice, no source)."""

NOT_ACROSS = message(
    "The doubler is welded along its two long edges only, and its ends are left open: a bead across a frame rail is "
    "where it cracks. Grind the ends of the beads, prime the rail under the doubler, and seal its open ends with paint "
    "or sealant when all is welded and cold (common practice, no source)."
)
"""A note of the sheet."""


def sizes_on_doubler(job: Job, pin: PinPlace, rail: Rail, doubler: Doubler) -> Sizes:
    """Nose, toe and foot of ears on a doubler, and how that lies.

    Raises:
        Refusal: If the pin has no room over it, or it does not lie on the traced face.
    """
    places = standing_places(job, pin.plane_mm)
    ears_mm, at = (places[0].faces_mm[0], places[-1].faces_mm[1]), complex(pin.station_mm, 0.0)
    # the lie hangs a little on the foot, and the foot on how high the pin stands: a first guess, then as it lies
    height_mm = min(rail.section(w).distance(at) for w in ears_mm) - doubler.thickness_mm
    for _ in range(2):
        refuse_low(job, height_mm, pin, "doubler")
        nose = nose_radius(job, height_mm - job.bracket.root_gap_mm)
        foot = flat_foot(job, pin, height_mm, nose.mm, "doubler")
        plan = plan_doubler(job, rail, doubler, places, foot.foot)
        height_mm = min(outer_v(plan.placement, doubler.thickness_mm, at.real, w) for w in ears_mm)
    toe, relief = toe_height(job, job.bracket.thickness_mm), relief_radius(job)
    return Sizes(nose=nose, toe=toe, relief=relief, foot=foot, doubler=plan)


def plan_doubler(
    job: Job, rail: Rail, doubler: Doubler, places: tuple[PlatePlace, ...] | list[PlatePlace], foot: Foot
) -> DoublerPlan:
    """How a doubler lies under a foot.

    Raises:
        Refusal: It reaches off the trace, the rail is not flat enough for it, or its plugs have no room.
    """
    ears_mm, (begin, end) = (places[0].faces_mm[0], places[-1].faces_mm[1]), foot.stations
    least = PLATE_SIZES.up(job.weld.leg_mm + OVER_LEG_MM, job.units)
    side, beyond = (each if each is not None else least for each in (doubler.side_mm, doubler.beyond_mm))
    ws, us = (ears_mm[0] - side, ears_mm[1] + side), (begin - beyond, end + beyond)
    refuse_untraced(rail, ws, doubler.thickness_mm, "doubler")
    point = _end_mm(doubler, ws[1] - ws[0])
    lies, gap = lies_along(rail, (us[0] - point, us[1] + point), ws, "doubler")
    if gap > GAP_LARGEST_MM:
        words = "a doubler is flat and the rail is not: it would stand {} off it, and a fillet bridges {}; {} is right"
        what = "a shorter foot on one flat of the rail, or no doubler"
        raise Refusal(message(words, mm(gap), mm(GAP_LARGEST_MM, "down"), what), "doubler")
    corners = [lies.flat((u, outer_v(lies, doubler.thickness_mm, u, w), w)) for u in us for w in ws]
    straight = min(p.real for p in corners), max(p.real for p in corners)
    plan = _Plan(job, doubler, places, straight)
    return DoublerPlan(
        placement=lies,
        sides=(min(p.imag for p in corners), max(p.imag for p in corners)),
        straight=straight,
        gap_mm=gap,
        plugs=tuple(plan.plugs(lies.flat((begin, lies.origin[1], (ears_mm[0] + ears_mm[1]) / 2)).imag)),
        plug_mm=plan.plug_mm,
        why=tuple(plan.why()),
    )


@dataclass(frozen=True, slots=True)
class _Plan:
    """What is chosen by rule of a doubler."""

    job: Job
    doubler: Doubler
    places: tuple[PlatePlace, ...] | list[PlatePlace]
    straight: tuple[float, float]

    @property
    def plug_mm(self) -> float:
        return plug.plug_hole_mm(self.doubler.thickness_mm, self.job.units) if self.doubler.plugs else 0.0

    def plugs(self, middle_v: float) -> Iterator[complex]:
        """Middles of the plugs, in a line between the ears.

        Raises:
            Refusal: There is no room for them.
        """
        count, size = self.doubler.plugs, self.plug_mm
        if not count:
            return
        if len(self.places) < 2:
            raise Refusal("plugs stand between two ears, and there is one; plugs = 0 is right", "doubler.plugs")
        room, least = self.places[1].faces_mm[0] - self.places[0].faces_mm[1], size + 2.0 * self._beside_mm
        if room < least:
            words = "plugs of {} between the ears ask for {}, and they stand {} apart; plugs = 0 is right"
            raise Refusal(message(words, mm(size), mm(least, "up"), mm(room, "down")), "doubler.plugs")
        first, last = self.straight[0] + size, self.straight[1] - size
        fit = int((last - first) / (plug.SPACING * size)) + 1
        if last < first or count > fit:
            words = "{} plugs of {} stand {} apart at least, and there is room for {}; fewer plugs are right"
            raise Refusal(message(words, count, mm(size), mm(plug.SPACING * size, "up"), max(0, fit)), "doubler.plugs")
        step = (last - first) / (count - 1) if count > 1 else 0.0
        begin = first if count > 1 else (first + last) / 2
        yield from (complex(begin + k * step, middle_v) for k in range(count))

    @property
    def _beside_mm(self) -> float:
        return (0.0 if self.job.weld.one_side else self.job.weld.leg_mm) + BESIDE_PLUG_MM

    def why(self) -> Iterator[Message]:
        if self.doubler.side_mm is None or self.doubler.beyond_mm is None:
            rule = "a leg and {} beyond the ears' beads (common practice, no source), on the next shop size up"
            yield message("doubler " + rule, mm(OVER_LEG_MM))
        if self.doubler.plugs:
            words = "plugs of {} by {}, filled {} deep"
            yield message(words, mm(self.plug_mm), plug.SOURCE, mm(plug.filled_mm(self.doubler.thickness_mm)))


def _end_mm(doubler: Doubler, wide_mm: float) -> float:
    """How far an end reaches beyond the straight edges."""
    if doubler.ends == "rounded":
        return wide_mm / 2
    return wide_mm * (1.0 - BLUNT) / 2 / math.tan(TAPER_RAD)


def doubler_plate(job: Job, doubler: Doubler, plan: DoublerPlan) -> Plate:
    """The doubler itself."""
    return Plate(
        name="doubler",
        role="doubler",
        outline=_outline(doubler, plan),
        thickness_mm=doubler.thickness_mm,
        steel=doubler.steel or job.bracket.steel,
        placement=plan.placement,
        holes=tuple(
            Hole(
                name=f"plug {k}",
                purpose="plug",
                circle=Circle(at, plan.plug_mm / 2),
                bolt_mm=0.0,
                made="drill" if job.cutting.by_hand else "cut",
                edge_required_mm=plan.plug_mm,
                edge_source="common practice, no source: a diameter",
            )
            for k, at in enumerate(plan.plugs, start=1)
        ),
    )


def _outline(doubler: Doubler, plan: DoublerPlan) -> Loop:
    (v0, v1), (u0, u1) = plan.sides, plan.straight
    point, middle = _end_mm(doubler, v1 - v0), (v0 + v1) / 2
    a, b, c, d = complex(u0, v0), complex(u1, v0), complex(u1, v1), complex(u0, v1)
    if doubler.ends == "tapered":
        half = BLUNT * (v1 - v0) / 2
        right, left = u1 + point, u0 - point
        ends = [complex(right, middle - half), complex(right, middle + half)]
        return polygon((a, b, *ends, c, d, complex(left, middle + half), complex(left, middle - half)))
    tip, tail, quarter = complex(u1 + point, middle), complex(u0 - point, middle), math.tan(math.pi / 8)
    return Loop(
        (
            Line(a, b), Arc(b, tip, quarter), Arc(tip, c, quarter), Line(c, d), Arc(d, tail, quarter),
            Arc(tail, a, quarter),
        )
    )  # fmt: skip


def doubler_runs(job: Job, doubler: Doubler, plan: DoublerPlan) -> Iterator[WeldRun]:
    """The runs along its two long edges; its ends lie open."""
    first, last = plan.straight
    for side, v in zip(("near", "far"), plan.sides, strict=True):
        path = Chain((Line(complex(first, v), complex(last, v)),))
        leg = doubler.leg_mm or min(job.weld.leg_mm, doubler.thickness_mm)
        yield fillet(job, "doubler", "rail", "rail", path, plan.placement, side=side, leg_mm=leg, gap_mm=plan.gap_mm)


def notch_on_doubler(design: Design, doubler: Doubler, plan: DoublerPlan, place: PlatePlace) -> Notch:
    """The straight notch of an ear on the doubler."""
    foot = design.foot.foot.stations
    return flat_notch(plan.placement, doubler.thickness_mm, place.faces_mm, foot, design.job.bracket.root_gap_mm)
