"""Nothing of a bracket within the room of what is on the rail unsaid, by the solid kernel's own shapes and distances.

Plates with their bends, heads, nuts and washers by their published sizes, the socket that turns them, and a torch where
it is said that it finds a way.
"""

import math
import os
import random
from collections import Counter
from collections.abc import Iterator
from itertools import product

import cadquery
import numpy as np
import pytest

from plategen.bracket.feature import Feature, in_the_way
from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.unfold import bodies_of
from plategen.checks.access import ACCESS, NOZZLE_MM, REACH_MM, SHARES, TIP_MM, TRAVEL_RAD, WORK_RAD
from plategen.checks.feature import BEADS, PLATES
from plategen.checks.load_path import bolt_holes
from plategen.checks.wrench import BESIDE_FEATURE, HEAD_OVER_BOLT
from plategen.flat.loop import Circle, polygon
from plategen.flat.placement import Placement
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.job.crosshead import Crosshead
from plategen.job.doubler import Doubler
from plategen.job.gusset import Gusset
from plategen.job.rail_feature import FeatureEntry
from plategen.job.style_tables import Closing
from plategen.make import carry_through
from plategen.rail.trace import Trace
from plategen.rules.fastener import WASHER_OVER_BOLT
from plategen.rules.wrench import tool_room, wrench_size
from plategen.solid.bodies import feature_bodies
from plategen.solid.clearance import gap_mm
from plategen.solid.kernel import Shape, location, plate_solid, prism
from plategen.work import Work
from tests.support.random_jobs import example
from tests.support.web_jobs import bolted_job, set_and_sleeved
from tests.support.web_rail import traced

CASES = int(os.environ.get("PLATEGEN_CASES", "1"))

KINDS_OF_JOB = ("ears", "closing", "gusset", "doubler", "crosshead", "split", "bolted", "formed")
KINDS = ("rivet", "hose", "bracket", "bead")
WASHERS_MM = {8.0: 16.0, 10.0: 20.0, 12.0: 24.0, 15.875: 33.3, 16.0: 30.0, 19.05: 37.3, 20.0: 37.0, 24.0: 44.0}
"""Outside diameter of plain washers: ISO 7089, and ASTM F436 for 5/8 and 3/4 in (from memory)."""


def about(rng: random.Random, job: Job, reach_mm: float) -> tuple[FeatureEntry, ...]:
    """Things on the rail near the bracket."""
    middle = job.mount.pin_station_mm
    return tuple(
        FeatureEntry(
            kind=rng.choice(KINDS), station_mm=middle + rng.uniform(-0.6, 0.6) * 2 * reach_mm,  # type: ignore[arg-type]
            plane_mm=rng.uniform(-1.0, 1.0) * reach_mm, size_mm=rng.uniform(8.0, 40.0),
            height_mm=rng.uniform(4.0, 40.0),
        )
        for _ in range(3)
    )  # fmt: skip


def given(kind: str, rng: random.Random) -> tuple[Job, tuple[Trace, ...]]:
    """A job of a kind with things on its rail."""
    if kind == "bolted":
        return set_and_sleeved(bolted_job(rng), rng), traced(rng)
    name = {"formed": "hay-rake-formed-bracket", "split": "forwarder-split-mount"}.get(kind, "quarry-straight-rail")
    made = example(name)
    job = made.job.replaced(
        rail=made.job.rail.replaced(feature=about(rng, made.job, 120.0 if kind == "formed" else 70.0))
    )
    if kind == "gusset":
        job = job.replaced(gusset=Gusset(thickness_mm=8.0))
    if kind == "crosshead":
        job = job.replaced(crosshead=Crosshead(thickness_mm=8.0))
    if kind == "closing":
        wide = job.cylinder.base.replaced(eye_width_mm=60.0)  # room for a torch between the ears
        job = job.replaced(
            cylinder=job.cylinder.replaced(base=wide), closing=Closing(back=True, bottom=rng.random() < 0.5)
        )
    if kind == "doubler":
        job = job.replaced(doubler=Doubler(thickness_mm=10.0))
    return job, made.traces


@pytest.fixture(scope="module", params=KINDS_OF_JOB)
def works(request: pytest.FixtureRequest) -> tuple[Work, ...]:
    found, seed = [], 0
    while len(found) < CASES:
        seed += 1
        assert seed < 20 * CASES + 20, "hardly a job of this kind can be built"
        rng = random.Random(f"{request.param} {seed}")
        try:
            work = carry_through(*given(request.param, rng))
        except Refusal:
            continue
        if in_the_way(work.features):
            found.append(work)
    return tuple(found)


def placed(plate: Plate) -> Shape:
    return plate_solid(plate).Located(location(plate.placement))


def said(work: Work, row: str, name: str, *, stops: bool) -> bool:
    """Whether a finding of a row says something of a thing on the rail: that it stops, or at least something."""
    found = [f for f in work.findings if f.of.row == row and name in f.part.names]
    return any(f.verdict == "stop" if stops else f.verdict != "ok" for f in found)


def things(work: Work) -> Iterator[tuple[Feature, Shape]]:
    bodies = feature_bodies(work)
    for feature, body in zip(in_the_way(work.features), bodies, strict=True):
        yield feature, body.shape.Located(location(body.placement))


def test_no_plate_stands_in_the_room_of_what_is_on_the_rail_unsaid(works: tuple[Work, ...]) -> None:
    for work in works:
        for feature, shape in things(work):
            room = min(gap_mm(placed(plate), shape) for plate in bodies_of(work.bracket))
            stopped = said(work, PLATES.row, feature.name, stops=True)
            assert stopped or room >= feature.clear_mm - 2e-3, (feature, room)
            assert not stopped or room < feature.clear_mm + 2e-3, (feature, room)


def bolts(work: Work) -> Iterator[tuple[str, Placement, float, float]]:
    """Every bolt of a base or a tab: its name, the plane under its head or nut, where that lies, and its diameter."""
    middle = work.bracket.pin.centre[2]
    for plate in work.bracket.plates:
        lies = plate.placement
        turned = Placement(lies.origin, lies.v, lies.u)  # its normal is the other way
        for hole in bolt_holes(plate):
            if plate.role == "base":
                over = lies.point(hole.circle.centre, plate.thickness_mm)
                yield hole.name, Placement(over, lies.u, lies.v), hole.bolt_mm, 1.0
            elif plate.role == "tab":  # the nuts lie on the tabs' outer faces
                far = (lies.origin[2] > middle) == (lies.normal[2] > 0.0)
                over = lies.point(hole.circle.centre, plate.thickness_mm if far else 0.0)
                out = lies if far else turned
                yield hole.name, Placement(over, out.u, out.v), hole.bolt_mm, 1.0


def test_no_head_washer_or_socket_stands_there_unsaid(works: tuple[Work, ...]) -> None:
    for work in works:
        for name, under, bolt, _ in bolts(work):
            flats = max(wrench_size(bolt).head_mm, wrench_size(bolt).nut_mm)
            washer_mm = WASHER_OVER_BOLT * bolt
            washer = prism(Circle(0j, WASHERS_MM[bolt] / 2.0), washer_mm, placement=under)
            corners = [flats / math.sqrt(3.0) * complex(math.cos(a), math.sin(a)) for a in np.arange(6) * math.pi / 3.0]
            on = Placement(under.point(0j, washer_mm), under.u, under.v)
            head = prism(polygon(corners), HEAD_OVER_BOLT * bolt, placement=on)
            socket = prism(Circle(0j, tool_room(bolt, power=True).mm), 4.0 * bolt, placement=under)
            for feature, shape in things(work):
                for solid in (washer, head, socket):
                    room = gap_mm(solid, shape)
                    near = room < feature.clear_mm - 2e-3
                    assert not near or said(work, BESIDE_FEATURE.row, feature.name, stops=False), (name, feature, room)


def test_no_bead_stands_there_unsaid(works: tuple[Work, ...]) -> None:
    from plategen.solid.bodies import bead_bodies

    for work in works:
        runs = {f"bead_{run.name}": run for run in work.bracket.welds if run.joint == "rail"}
        beads = [(runs[b.name], b.shape) for b in bead_bodies(work.bracket) if b.name in runs]
        for feature, shape in things(work):
            rooms = [gap_mm(bead, shape) for _, bead in beads]
            near = min(rooms, default=math.inf) < feature.clear_mm - 0.05
            assert not near or said(work, BEADS.row, feature.name, stops=True), (feature, min(rooms))


def nozzle(tip: Vector, way: Vector) -> Shape:
    """The nozzle's cone and its cylinder, as far back as must go in straight."""
    axis = cadquery.Vector(*way)
    start = cadquery.Vector(*tip) + axis * TIP_MM
    step = (REACH_MM - TIP_MM) / 6.0
    cone = cadquery.Solid.makeCone(NOZZLE_MM / 4.0, NOZZLE_MM / 2.0, step, start, axis)
    tube = cadquery.Solid.makeCylinder(NOZZLE_MM / 2.0, REACH_MM - TIP_MM - step, start + axis * step, axis)
    return cadquery.Compound.makeCompound([cone, tube]).wrapped


def ways(work: Work, run: WeldRun, share: float) -> Iterator[tuple[Vector, Vector]]:
    """The root at a share of a run, and the ways in which a torch may come to it."""
    plate = next(plate for plate in work.bracket.plates if plate.name == run.plate)
    index, t = run.path.at(share * run.path.length)
    edge, place = run.path.segments[index], run.placement
    root = np.array(place.point(edge.point(t)))
    tangent = edge.tangent(t)
    along = np.array(place.u) * tangent.real + np.array(place.v) * tangent.imag
    normal = np.array(plate.placement.normal)
    deep = (root - np.array(plate.placement.origin)) @ normal
    out = normal if deep > plate.thickness_mm / 2.0 else -normal
    up = np.cross(along, normal)
    middle = np.array(plate.placement.point(sum(plate.outline.bounds[k] for k in (0, 2)) / 2.0 + 0j))
    middle = middle + np.array(plate.placement.v) * (plate.outline.bounds[1] + plate.outline.bounds[3]) / 2.0
    up = up if up @ (middle - root) > 0.0 else -up
    for travel, lean in product(TRAVEL_RAD, WORK_RAD):
        across = out * math.sin(lean) + up * math.cos(lean)
        way = across * math.cos(travel) + along * math.sin(travel)
        yield tuple(root.tolist()), tuple(way.tolist())  # type: ignore[misc]


def test_where_a_torch_is_said_to_find_a_way_one_is_there(works: tuple[Work, ...]) -> None:
    looked = Counter[bool]()
    for work in works:
        solids = [placed(plate) for plate in bodies_of(work.bracket)] + [shape for _, shape in things(work)]
        for found in (f for f in work.findings if f.of == ACCESS and f.verdict == "ok"):
            run = next(run for run in work.bracket.welds if run.name == found.part.names[0])
            if run.joint != "rail" or len(run.path) > 1:
                continue
            free = any(
                all(gap_mm(nozzle(tip, way), solid) > 0.0 for solid in solids)
                for tip, way in ways(work, run, SHARES[1])
            )
            assert free, (run.name, found.capacity)
            looked[free] += 1
            if looked[True] >= 6:
                return
