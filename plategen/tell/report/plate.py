"""The plates and weld runs in the report."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from typing import Annotated

from plategen.bracket.measure import at_home, cut_length_mm, hole_edge_mm, mass_kg, slot_edge_mm
from plategen.bracket.model import Hole, Made, Plate, Purpose, Slot, WeldRun
from plategen.bracket.shape_mark import shape_mark
from plategen.cut.table.cutting import cut_file_name
from plategen.flat.distance import approaches
from plategen.flat.segment import SAME_POINT_MM, Arc, Segment
from plategen.rules.bead import heat_kj_per_mm, minutes
from plategen.rules.preheat import passes
from plategen.tell.picture.plate_features import Opening, facing, opening_of, plain_openings, relief_arcs
from plategen.tell.report.bend import BendReport, bend_reports
from plategen.tell.report.encode import Level, Pair, Triple, about, mirrored, pair
from plategen.work import Work


class FrameReport(Level, frozen=True, kw_only=True):
    """Where a plate stands: the origin and the axes of its (u, v)."""

    origin_mm: Annotated[Triple, about("Its origin in the bracket's frame.")]
    u: Annotated[Triple, about("Direction of its u.")]
    v: Annotated[Triple, about("Direction of its v.")]


class EdgeReport(Level, frozen=True, kw_only=True):
    """An edge of the plate as seen from a hole."""

    edge: Annotated[str, about("What a person calls it.")]
    from_centre_mm: Annotated[float, about("Distance from the hole's centre.")]
    from_hole_mm: Annotated[float, about("Steel left between hole and edge.")]
    direction_deg: Annotated[float, about("Which way it lies, from u towards v.")]


class HoleReport(Level, frozen=True, kw_only=True):
    """A round hole."""

    name: Annotated[str, about("As it is called.")]
    purpose: Annotated[Purpose, about("What it is for.")]
    diameter_mm: Annotated[float, about("Finished diameter.")]
    centre_mm: Annotated[Pair, about("Its centre, u and v.")]
    made: Annotated[Made, about("Cut by the table, punched and drilled, or drilled from the rail in its place.")]
    edge_distance_mm: Annotated[float, about("From its centre to the nearest edge.")]
    edge_distance_required_mm: Annotated[float, about("The least that the rule asks.")]
    source: Annotated[str, about("That rule.")]
    bolt_mm: Annotated[float, about("Diameter of the pin or bolt through it.")]
    edges: Annotated[tuple[EdgeReport, ...], about("Every edge of the outline, the nearest first.")]


class SlotReport(Level, frozen=True, kw_only=True):
    """A round-ended slot."""

    name: Annotated[str, about("What it is for.")]
    width_mm: Annotated[float, about("Finished width.")]
    length_mm: Annotated[float, about("Length over all.")]
    ends_mm: Annotated[tuple[Pair, Pair], about("Centres of its two ends, u and v.")]
    bolt_at_mm: Annotated[Pair, about("Where the bolt stands in it now, u and v.")]
    edge_distance_mm: Annotated[float, about("From the centre of either end to the nearest edge.")]
    edge_distance_required_mm: Annotated[float, about("The least that the rule asks.")]
    source: Annotated[str, about("That rule.")]
    bolt_mm: Annotated[float, about("Diameter of the bolt.")]


class OpeningReport(Level, frozen=True, kw_only=True):
    """A slot that another plate's tongue goes through."""

    width_mm: Annotated[float, about("Finished width.")]
    length_mm: Annotated[float, about("Length over all.")]
    centre_mm: Annotated[Pair, about("Its middle, u and v.")]
    turned_deg: Annotated[float, about("How its length is turned from u towards v.")]


class ReliefReport(Level, frozen=True, kw_only=True):
    """The round that clears the rail's corner in a notch."""

    radius_mm: Annotated[float, about("Its radius.")]
    centre_mm: Annotated[Pair, about("Its centre, u and v.")]


class FitReport(Level, frozen=True, kw_only=True):
    """How a notch meets the rail."""

    gap_near_mm: Annotated[float, about("Largest gap at the drawn face.")]
    gap_far_mm: Annotated[float, about("Largest gap at the other face.")]
    overlap_mm: Annotated[float, about("Deepest that the plate would go into the rail.")]
    expected_gap_mm: Annotated[float, about("Largest gap of 95 plates of 100, pin held in its place.")]
    expected_bind_mm: Annotated[float, about("Deepest that 95 of 100 would have to go into the rail, pin held.")]
    home_gap_mm: Annotated[float, about("Largest gap of 95 of 100 that are pushed home instead.")]
    home_pin_off_mm: Annotated[float | None, about("How far the pin is then off; null for a plate without one.")]


class PlateReport(Level, frozen=True, kw_only=True):
    """A plate that is cut."""

    name: Annotated[str, about("Its name.")]
    file: Annotated[str, about("Its cutting file.")]
    thickness_mm: Annotated[float, about("Its thickness.")]
    count: Annotated[int, about("How many alike.")]
    area_mm2: Annotated[float, about("Area with holes and openings out.")]
    mass_kg: Annotated[float, about("Mass of one.")]
    cut_length_mm: Annotated[float, about("Length cut on one.")]
    width_mm: Annotated[float, about("Size over all, along u.")]
    height_mm: Annotated[float, about("Size over all, along v.")]
    frame: Annotated[FrameReport | None, about("Where it stands; null for one that stands elsewhere.")]
    holes: Annotated[tuple[HoleReport, ...], about("Its round holes.")]
    slots: Annotated[tuple[SlotReport, ...], about("Its slots.")]
    openings: Annotated[tuple[OpeningReport, ...], about("Its slots for the tongues of other plates.")]
    reliefs: Annotated[tuple[ReliefReport, ...], about("Where its notch is relieved.")]
    bends: Annotated[tuple[BendReport, ...], about("Its bends, in the order in which they are made.")]
    rolled_mm: Annotated[float, about("Inside radius to which the blank is rolled; 0 for a flat plate.")]
    fit: Annotated[FitReport | None, about("How it meets the rail; null without a notch.")]
    steel: Annotated[str, about("Its steel.")]
    shape: Annotated[str, about("Six signs that stand for its cut shape and thickness.")]
    facing: Annotated[str, about("Which way the drawn face turns.")]
    welded: Annotated[bool, about("True when it is welded to the machine.")]


class WeldReport(Level, frozen=True, kw_only=True):
    """A fillet run."""

    name: Annotated[str, about("Its number on the weld map.")]
    plate: Annotated[str, about("The plate it holds.")]
    side: Annotated[str, about("Face of the plate on which the bead lies.")]
    length_mm: Annotated[float, about("Length along the root.")]
    leg_mm: Annotated[float, about("Leg along each face.")]
    joint_angle_deg: Annotated[Pair, about("Least and greatest angle between the faces.")]
    to: Annotated[str, about("What it holds the plate to.")]
    gap_mm: Annotated[float, about("Largest gap under the bead.")]
    electrode: Annotated[str, about("Class of the filler.")]
    passes: Annotated[int, about("How many passes its leg takes, about.")]
    heat_kj_per_mm: Annotated[Pair, about("Least and greatest usual heat of a pass (common practice, no source).")]
    minutes: Annotated[float, about("Time to lay it by hand, about (common practice, no source).")]
    order: Annotated[int, about("Its place in the order of welding, from 1.")]


def plate_report(work: Work, plate: Plate) -> PlateReport:
    """A plate of a finished job."""
    u0, v0, u1, v1 = plate.outline.bounds
    place = plate.placement
    return mirrored(
        PlateReport,
        plate,
        file=cut_file_name(work.job, plate.name),
        mass_kg=mass_kg(plate),
        cut_length_mm=cut_length_mm(plate),
        width_mm=u1 - u0,
        height_mm=v1 - v0,
        frame=None if plate in work.loose else mirrored(FrameReport, place, origin_mm=place.origin),
        holes=tuple(_hole(plate, hole) for hole in plate.holes),
        slots=tuple(_slot(plate, slot) for slot in plate.slots),
        openings=tuple(_opening(opening_of(cut)) for cut in plain_openings(plate)),
        reliefs=tuple(ReliefReport(radius_mm=arc.radius, centre_mm=pair(arc.centre)) for arc in relief_arcs(plate)),
        bends=bend_reports(work, plate),
        fit=_fit(work, plate),
        shape=shape_mark(plate),
        facing=facing(work, plate),
    )


def _fit(work: Work, plate: Plate) -> FitReport | None:
    home = at_home(work.bracket, plate)
    if plate.fit is None or home is None:
        return None
    return mirrored(FitReport, plate.fit, home_gap_mm=home.gap_mm, home_pin_off_mm=home.pin_off_mm)


def weld_order(runs: Sequence[WeldRun]) -> dict[str, int]:
    """Each run's place in the order, from 1: runs on outside faces before the others, plates by turns."""
    seen: dict[tuple[bool, str], int] = {}
    keyed = []
    for index, run in enumerate(runs):
        group = run.side != "outside", run.plate
        turn = seen[group] = seen.get(group, -1) + 1
        keyed.append(((group[0], turn, index), run.name))
    return {name: place for place, (_, name) in enumerate(sorted(keyed), start=1)}


def weld_report(run: WeldRun, order: int) -> WeldReport:
    """A weld run and its place in the order of welding."""
    return mirrored(
        WeldReport,
        run,
        to=run.other,
        order=order,
        passes=passes(run.laid_leg_mm),
        heat_kj_per_mm=heat_kj_per_mm(run.laid_leg_mm),
        minutes=minutes(run.laid_leg_mm, run.length_mm),
    )


def _hole(plate: Plate, hole: Hole) -> HoleReport:
    edges = (
        EdgeReport(
            edge=edge_name(plate, hole, near.edge),
            from_centre_mm=near.from_centre_mm,
            from_hole_mm=near.from_circle_mm,
            direction_deg=math.degrees(near.direction_rad) % 360.0,
        )
        for near in approaches(plate.outline, hole.circle)
    )
    return mirrored(
        HoleReport,
        hole,
        diameter_mm=2.0 * hole.circle.radius,
        centre_mm=pair(hole.circle.centre),
        edge_distance_mm=hole_edge_mm(plate, hole),
        edge_distance_required_mm=hole.edge_required_mm,
        source=hole.edge_source,
        edges=tuple(edges),
    )


def edge_name(plate: Plate, hole: Hole, index: int) -> str:
    """What a person calls an edge of the outline, as seen from a hole in it.

    The notch; the nose about the hole; a toe, straight and beside the notch; a flank, straight and beside the nose; a
    corner, any other arc; else its number round the outline.
    """
    edges = plate.outline.segments
    kinds = {_kind(plate, hole, edges[(index + step) % len(edges)]) for step in (-1, 1)}
    kind = _kind(plate, hole, edges[index])
    if kind == "straight":
        return "toe" if "notch" in kinds else "flank" if "nose" in kinds else f"edge {index + 1}"
    return kind


def _kind(plate: Plate, hole: Hole, edge: Segment) -> str:
    if plate.notch is not None and edge.reversed() in plate.notch.segments:
        return "notch"
    if isinstance(edge, Arc):
        return "nose" if abs(edge.centre - hole.circle.centre) < SAME_POINT_MM else "corner"
    return "straight"


def _opening(opening: Opening) -> OpeningReport:
    turned = math.degrees(cmath.phase(opening.along))
    return mirrored(OpeningReport, opening, centre_mm=pair(opening.middle), turned_deg=turned)


def _slot(plate: Plate, slot: Slot) -> SlotReport:
    return mirrored(
        SlotReport,
        slot,
        ends_mm=tuple(map(pair, slot.ends)),
        bolt_at_mm=pair(slot.at),
        edge_distance_mm=slot_edge_mm(plate, slot),
        edge_distance_required_mm=slot.edge_required_mm,
        source=slot.edge_source,
    )
