"""Gussets: a rib behind each ear, square to it, its upper edge fitted to the rail across the pin.

Its corner between ear and rail is cut off, so that it passes over the ear's own bead. Welded on both faces to both.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from plategen.bracket.closing_room import BESIDE_BEAD_MM
from plategen.bracket.face import refuse_untraced
from plategen.bracket.fitted_edge import FittedEdge, Root, fitted_edge
from plategen.bracket.model import Bracket, Plate, WeldRun, fillet
from plategen.design.design import Design
from plategen.design.places import PlatePlace, standing_places
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.inside import inside
from plategen.flat.loop import Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Line, dot
from plategen.flat.sliver import without_slivers
from plategen.ground.in_words import in_words
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.gusset import Gusset
from plategen.rail.surface import Rail
from plategen.rules.weld import least_run_mm

HEIGHT_OVER_PIN = 2.0 / 3.0
"""How high a rule makes it, of the way from rail to pin (common practice, no source)."""

REACH_OVER_HEIGHT = 0.5
"""How far a rule has it reach out, over its height (common practice, no source)."""

TOE_OVER_THICKNESS = 1.0
"""Its two ends are cut off square, as wide as it is thick, so that no torch burns a point off and beads turn there."""


def stiffen(design: Design, gusset: Gusset, rail: Rail, bracket: Bracket) -> Bracket:
    """The bracket with a gusset behind each of its ears.

    Raises:
        Refusal: There is no room for one.
    """
    job, plates, welds = design.job, list(bracket.plates), list(bracket.welds)
    why: tuple[Message, ...] = ()
    for place in standing_places(job, design.pin.plane_mm):
        ear = next(plate for plate in bracket.plates if plate.name == place.name)
        rib = _rib(design, gusset, rail, ear, place)
        plates.append(rib.plate)
        welds.extend(rib.runs(job, gusset))
        why = why or rib.why
    return replace(bracket, plates=tuple(plates), welds=tuple(welds), chosen=(*bracket.chosen, *why))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rib:
    """A gusset, its edge on the rail, and the side that lies on its ear, upwards in its plane."""

    plate: Plate
    ear: str
    edge: FittedEdge
    side: Chain
    why: tuple[Message, ...]

    def runs(self, job: Job, gusset: Gusset) -> Iterator[WeldRun]:
        """To the rail and up the ear, on both faces."""
        plate, place = self.plate, self.plate.placement
        assert plate.notch is not None
        assert plate.fit is not None
        outer = Placement(place.point(0j, plate.thickness_mm), place.u, place.v)
        for face, name, turn, gap in (
            (outer, "outside", 1.0, plate.fit.gap_far_mm),
            (place, "inside", -1.0, plate.fit.gap_near_mm),
        ):
            angles = [math.pi / 2 + turn * math.atan(slope) for slope in self.edge.slopes]
            yield fillet(
                job, plate.name, "rail", "rail", plate.notch, face, side=name, leg_mm=gusset.leg_mm or 0.0,
                angle_rad=(min(angles), max(angles)), gap_mm=gap,
            )  # fmt: skip
            yield fillet(job, plate.name, "tie", self.ear, self.side, face, side=name, leg_mm=gusset.leg_mm or 0.0)


def _rib(design: Design, gusset: Gusset, rail: Rail, ear: Plate, place: PlatePlace) -> _Rib:
    job, leg = design.job, gusset.leg_mm or design.job.weld.leg_mm
    ear_w = place.faces_mm[place.outward > 0]
    foot, at = _standing(design, gusset, rail, ear, ear_w)
    snipe, toe = job.weld.leg_mm + BESIDE_BEAD_MM, TOE_OVER_THICKNESS * gusset.thickness_mm
    pin = complex(design.pin.station_mm, 0.0)
    over = abs(dot(pin - foot, at * 1j))  # how high the pin stands over the rail there
    most = over - design.nose.mm if abs(dot(pin - foot, at)) < design.nose.mm + gusset.thickness_mm else over
    least = snipe + least_run_mm(leg)
    height = gusset.height_mm or PLATE_SIZES.down(min(HEIGHT_OVER_PIN * over, most), job.units)
    if height < least:
        words = "a gusset {} high is not worth its welds, {} is; an ear this low needs none"
        raise Refusal(message(words, mm(height), mm(least, "up")), "gusset")
    reach = gusset.reach_mm or PLATE_SIZES.up(max(REACH_OVER_HEIGHT * height, snipe + least_run_mm(leg)), job.units)
    if reach < snipe + toe:
        words = "a gusset reaches past the ear's own bead; {} or more is right"
        raise Refusal(message(words, mm(snipe + toe, "up")), "gusset.reach")
    ws = sorted((ear_w, ear_w + place.outward * reach))
    refuse_untraced(rail, (ws[0], ws[1]), gusset.thickness_mm, "gusset")
    root = Root(foot - at * gusset.thickness_mm / 2, at, 1, sum(ws) / 2)
    edge = fitted_edge(rail, root, reach / 2, gusset.thickness_mm, job.bracket.root_gap_mm)
    # the root's u looks against the pin: an ear at smaller w than its rib lies on the right
    plate, side = _plate(gusset, job, ear, root, edge, (height, reach, snipe, toe), right=place.outward > 0)
    _refuse_off_ear(ear, plate, side)
    rule = "two thirds of the way to the pin, short of its nose, and reaches out half as far"
    chosen = gusset.height_mm is None or gusset.reach_mm is None
    why = (message("gusset up {} (common practice, no source), on the next shop size", rule),) if chosen else ()
    return _Rib(plate=plate, ear=ear.name, edge=edge, side=side, why=why)


def _standing(design: Design, gusset: Gusset, rail: Rail, ear: Plate, w_mm: float) -> tuple[complex, complex]:
    """Where the middle of a gusset meets the rail at its ear's outer face, and the rail's direction there."""
    assert ear.notch is not None
    stations = sorted((ear.notch.start.real, ear.notch.end.real))
    beside = gusset.thickness_mm / 2 + design.job.weld.leg_mm
    wanted = design.pin.station_mm if gusset.station_mm is None else gusset.station_mm
    at = min(max(wanted, stations[0] + beside), stations[1] - beside)
    if gusset.station_mm is not None and at != wanted:
        words = "the gusset would stand beyond the foot; a station between {} and {} is right"
        within = mm(stations[0] + beside, "up"), mm(stations[1] - beside, "down")
        raise Refusal(message(words, *within), "gusset.station")
    index, t = ear.notch.nearest(complex(at, max(ear.notch.start.imag, ear.notch.end.imag)))
    section = rail.section(w_mm)
    k, s = section.nearest(ear.notch.segments[index].point(t))
    edge = section.segments[k]
    along = edge.tangent(s)
    return edge.point(s), along / abs(along)


def _plate(
    gusset: Gusset,
    job: Job,
    ear: Plate,
    root: Root,
    edge: FittedEdge,
    sizes: tuple[float, float, float, float],
    *,
    right: bool,
) -> tuple[Plate, Chain]:
    """The plate, with the ear on its right or its left, and its side on that, upwards."""
    height, reach, snipe, toe = sizes
    half = reach / 2
    low, high = (-half, half - snipe) if right else (snipe - half, half)
    notch = without_slivers(between(edge.path, low, high))
    ear_x, out_x = (half, -half) if right else (-half, half)
    inward = -1.0 if right else 1.0
    on_ear, on_out = (edge.path.end, edge.path.start) if right else (edge.path.start, edge.path.end)
    corners = [
        complex(ear_x, -height),
        complex(ear_x, on_ear.imag - snipe),
        *((notch.end,) if right else (notch.start,)),
    ]
    beyond = [
        complex(out_x, on_out.imag - toe),
        complex(ear_x + inward * toe, -height),
        complex(ear_x, -height),
    ]
    first = [Line(a, b) for a, b in pairwise(corners)]
    middle = notch.reversed() if right else notch
    last = [Line(a, b) for a, b in pairwise((on_out, *beyond))]
    walk = (*first, *middle, *last)
    outline = Loop(walk if right else tuple(edge.reversed() for edge in reversed(walk)))
    plate = Plate(
        name=f"gusset_{ear.name.rpartition('_')[2]}",
        role="gusset",
        outline=outline,
        thickness_mm=gusset.thickness_mm,
        steel=gusset.steel or job.bracket.steel,
        placement=root.placement,
        notch=notch,
        fit=edge.fit(),
    )
    return plate, Chain((Line(corners[0], corners[1]),))


def _refuse_off_ear(ear: Plate, plate: Plate, side: Chain) -> None:
    """Refuse a gusset whose side does not lie on its ear all the way up, over its whole thickness.

    Raises:
        Refusal: It does not.
    """
    for depth in (0.0, plate.thickness_mm):
        for share in (0.0, 0.5, 1.0):
            at, _ = side.place(share)
            if not inside(ear.outline, ear.placement.flat(plate.placement.point(at, depth))):
                words = "its side would reach beyond {}; a lower gusset, or another station, is right"
                raise Refusal(message(words, in_words(ear.name)), "gusset.height")
