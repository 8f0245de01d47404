"""The turning view's faces: every body is closed and turned outwards, and what is sent of it stays small."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from plategen.bracket.model import Slot
from plategen.checks.load_path import bolt_joints
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.steering.hoses import ports_with_hoses
from plategen.tell.picture.hose import drawn_ports, hanging
from plategen.tell.picture.script_data import script_data
from plategen.tell.picture.turntable import HEAD_HIGH, NUT_HIGH, STEP_RAD, bodies, flat_points, turntable
from tests.support.every_example import EXAMPLES, PROFILES, work_of
from tests.support.example_work import HOLE_MM, THICKNESS_MM, example_work

TENTHS = 0.012
"""The view keeps tenths of a millimetre, of which a plate 9.525 mm thick loses or gains up to one in a hundred."""


def area_vectors(body) -> np.ndarray:
    """The area vector of each face, its loops' together."""
    found = []
    for face in body["faces"]:
        total = np.zeros(3)
        for loop in face:
            points = np.array(loop)
            total += 0.5 * np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0)
        found.append(total)
    return np.array(found)


def volume(body) -> float:
    """Volume by the divergence theorem: positive when every face looks outwards."""
    faces = zip(area_vectors(body), body["faces"], strict=True)
    return sum(float(np.dot(area, np.mean(face[0], axis=0))) for area, face in faces) / 3.0


def test_every_body_is_closed_and_looks_outwards():
    for body in bodies(example_work()):
        areas = area_vectors(body)
        assert np.abs(areas.sum(axis=0)).max() < 0.002 * np.abs(areas).sum(), body["kind"]
        assert volume(body) > 0.0, body["kind"]


def test_a_plate_s_volume_is_its_area_times_its_thickness():
    work = example_work()
    for plate, body in zip(work.bracket.plates, bodies(work), strict=False):
        assert volume(body) == pytest.approx(plate.area_mm2 * THICKNESS_MM, rel=TENTHS)


def test_openings_are_holes_in_it_too():
    work = example_work()
    plate = work.bracket.plates[0]
    slot = Slot(
        name="bolt 1", ends=(120 + 80j, 120 + 100j), width_mm=12.0, bolt_mm=10.0, at=120 + 90j, edge_required_mm=15.0,
        edge_source="common practice, no source",
    )  # fmt: skip
    for contour in (slot.contour, slot.contour.reversed()):
        slotted = replace(plate, openings=(contour,), slots=(slot,))
        changed = replace(work, bracket=replace(work.bracket, plates=(slotted, *work.bracket.plates[1:])))
        body = bodies(changed)[0]
        assert volume(body) == pytest.approx(slotted.area_mm2 * THICKNESS_MM, rel=TENTHS)
        assert np.abs(area_vectors(body).sum(axis=0)).max() < 1.0


def test_curves_are_drawn_as_short_chords():
    plate = example_work().bracket.plates[0]
    sweep = sum(abs(s.sweep_rad) for s in plate.outline)
    assert len(flat_points(plate.outline)) >= len(plate.outline) - 2 + sweep / STEP_RAD


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_sent_is_every_body_and_stays_under_a_hundred_kilobytes(name):
    """Before, up to 111 kB, and neither bolts nor beads nor what is on the rail were among it."""
    work = work_of(name)
    shown, sent = bodies(work), turntable(work)
    assert len(script_data(sent)) < 100_000
    for body, packed in zip(shown, sent["bodies"], strict=True):
        points = np.array(packed["at"]).reshape(-1, 3) / 10.0
        for face, numbers in zip(body["faces"], packed["faces"], strict=True):
            for loop, which in zip(face, numbers, strict=True):
                assert np.abs(points[which] - loop).max() <= 0.05 + 1e-9
        areas = area_vectors(body)
        assert np.abs(areas.sum(axis=0)).max() < 0.002 * np.abs(areas).sum(), packed["name"]
        assert volume(body) > 0.0, packed["name"]
    kinds = Counter(body["kind"] for body in shown)
    assert kinds["bead"] == len(work.bracket.welds)
    assert kinds["on-rail"] == len(work.features)
    assert kinds["bolt"] == sum(len(joint.upper_holes) for joint in bolt_joints(work.bracket))
    assert kinds["rail"] == kinds["pin"] == 1
    assert all(body["name"] for body in shown)


def test_a_bolt_reaches_through_what_it_holds():
    work = work_of("forwarder-split-mount")
    joint = bolt_joints(work.bracket)[0]
    place, bolt = joint.upper.placement, next(b for b in bodies(work) if b["kind"] == "bolt")
    levels = [np.dot(np.subtract(p, place.origin), place.normal) for f in bolt["faces"] for loop in f for p in loop]
    d = joint.upper_holes[0].bolt_mm
    grip = joint.upper.thickness_mm + joint.lower.thickness_mm
    assert max(levels) - min(levels) == pytest.approx(grip + (HEAD_HIGH + NUT_HIGH) * d, abs=0.5)


def test_the_view_centres_on_what_it_shows():
    sent = turntable(example_work())
    points = np.concatenate([np.array(b["at"]).reshape(-1, 3) / 10.0 for b in sent["bodies"]])
    assert (points.min(axis=0) + points.max(axis=0)) / 2 == pytest.approx(sent["middle"], abs=0.2)
    (pin,) = (b for b in sent["bodies"] if b["kind"] == "pin")
    assert np.ptp(pin["at"][::3]) / 10.0 == pytest.approx(HOLE_MM, abs=0.3)


@pytest.mark.parametrize("name", ["bowser-leaf-axle", "orchard-sprayer-steering", "quarry-loader-cylinder-pair"])
def test_a_hose_is_a_tube_as_long_as_the_job_says_between_its_fitting_and_where_it_is_made_fast(name):
    """Before, a port was drawn as a post, and its hose not at all."""
    work = work_of(name)
    told = {port.name: port for port in ports_with_hoses(work.job.steering) if port.hose_to_mm is not None}
    followed = {port.name: port for port in work.steering.ports}
    ports = {port.name: port for port in drawn_ports(work)}
    assert set(ports) == set(followed)
    assert {port.name for port in ports.values() if port.hose} == set(told)
    packed = [body for body in turntable(work)["bodies"] if body["kind"] == "hose"]
    assert len(packed) == len(told)
    for (key, entry), body in zip(told.items(), packed, strict=True):
        line, least = np.array(ports[key].hose), followed[key].hose_span_mm[0]
        length_mm = np.linalg.norm(np.diff(line, axis=0), axis=1).sum()
        assert length_mm == pytest.approx(entry.hose_length_mm or followed[key].hose_needed_mm, abs=0.1)
        assert np.linalg.norm(line[-1] - line[0]) > 0.95 * least, "its ends as far apart as the study has them"
        rings = np.array(body["at"]).reshape(body["rings"], -1, 3) / 10.0
        radii = np.linalg.norm(rings - rings.mean(axis=1, keepdims=True), axis=2)
        assert np.abs(radii - ports[key].radius_mm).max() < 0.1
        assert np.abs(rings.mean(axis=1) - line).max() < 0.1, "ring by ring, the one that goes with the cylinder first"


def test_a_hose_leaves_square_and_hangs_no_longer_than_it_is():
    start, end, up = (0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    taut, slack = hanging(start, up, end, 290.0), np.array(hanging(start, up, end, 400.0))
    assert all(y == 0.0 for _, y, _ in taut), "too short a hose is drawn straight"
    assert slack[1][1] > 3.0 * slack[1][0] > 0.0
    assert slack[:, 1] == pytest.approx(slack[::-1, 1]), "it comes to its end as it left"
    assert np.linalg.norm(np.diff(slack, axis=0), axis=1).sum() == pytest.approx(400.0, abs=1e-3)


def test_a_hose_on_the_rail_is_round():
    work = work_of("forestry-bolted-channel")
    (hose,) = (each for each in work.features if each.kind == "hose")
    (body,) = (each for each in bodies(work) if each["name"] == hose.name)
    u0, v0, u1, v1 = hose.outline.bounds
    least, most = sorted((u1 - u0, v1 - v0))
    octagon = 4.0 * np.sin(np.pi / 4)  # of radius 1
    assert volume(body) == pytest.approx(octagon * least / 2 * hose.height_mm / 2 * most, rel=1e-6)


def test_a_part_that_stops_is_marked():
    assert not any(body["stops"] for body in bodies(work_of("sprayer-kicked-rail")))
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    pressed = loaded.job.cylinder.replaced(pressure_mpa=62.0)
    work = carry_through(loaded.job.replaced(cylinder=pressed), loaded.traces)
    assert any(body["stops"] for body in bodies(work) if body["kind"] == "steel")
