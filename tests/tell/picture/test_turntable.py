"""The turning view's faces: every body is closed and turned outwards, and bodies do not share a stretch of the pin."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from plategen.bracket.model import Slot
from plategen.tell.picture.turntable import STEP_RAD, flat_points, turntable
from tests.support.example_work import HOLE_MM, THICKNESS_MM, example_work

TENTHS = 0.012
"""The view keeps tenths of a millimetre, of which a plate 9.525 mm thick loses or gains up to one in a hundred."""


def area_vectors(body) -> np.ndarray:
    """The area vector of each face, its loops' together."""
    found = []
    for face in body["faces"]:
        total = np.zeros(3)
        for loop in face["loops"]:
            points = np.array(loop)
            total += 0.5 * np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0)
        found.append(total)
    return np.array(found)


def volume(body) -> float:
    """Volume by the divergence theorem: positive when every face looks outwards."""
    faces = zip(area_vectors(body), body["faces"], strict=True)
    return sum(float(np.dot(area, np.mean(face["loops"][0], axis=0))) for area, face in faces) / 3.0


def test_every_body_is_closed_and_looks_outwards():
    for body in turntable(example_work())["bodies"]:
        areas = area_vectors(body)
        assert np.abs(areas.sum(axis=0)).max() < 0.002 * np.abs(areas).sum(), body["kind"]
        assert volume(body) > 0.0, body["kind"]


def test_a_plate_s_volume_is_its_area_times_its_thickness():
    work = example_work()
    for plate, body in zip(work.bracket.plates, turntable(work)["bodies"], strict=False):
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
        body = turntable(changed)["bodies"][0]
        assert volume(body) == pytest.approx(slotted.area_mm2 * THICKNESS_MM, rel=TENTHS)
        assert np.abs(area_vectors(body).sum(axis=0)).max() < 1.0


def test_pin_ends_and_eye_have_their_own_stretch_of_the_pin():
    bodies = [b for b in turntable(example_work())["bodies"] if b["kind"] != "rail"]
    spans = sorted((b["from"], b["to"]) for b in bodies)
    for (_, until), (begins, _) in pairwise(spans):
        assert until <= begins + 0.06


def test_curves_are_drawn_as_short_chords():
    plate = example_work().bracket.plates[0]
    sweep = sum(abs(s.sweep_rad) for s in plate.outline)
    assert len(flat_points(plate.outline)) >= len(plate.outline) - 2 + sweep / STEP_RAD


def test_the_view_centres_on_what_it_shows():
    shown = turntable(example_work())
    points = np.array([p for b in shown["bodies"] for f in b["faces"] for loop in f["loops"] for p in loop])
    assert np.linalg.norm(points - shown["middle"], axis=1).max() <= shown["reach"] + 0.2
    pin = [b for b in shown["bodies"] if b["kind"] == "pin"]
    assert len(pin) == 2
    assert np.ptp([p[0] for b in pin for f in b["faces"] for loop in f["loops"] for p in loop]) == pytest.approx(
        HOLE_MM, abs=0.2
    )
