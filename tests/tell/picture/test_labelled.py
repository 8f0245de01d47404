"""The words in the bracket's picture, each run's own place in the weld maps, and openings and reliefs dimensioned."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from plategen.bracket.measure import along_pin, box_corners
from plategen.checks.access import weld_notes
from plategen.cut.scribe import scribed
from plategen.design.front import front_of
from plategen.flat.segment import Arc
from plategen.ground.show import Show
from plategen.tell.picture.labelled import labelled_view
from plategen.tell.picture.plate import plate_picture
from plategen.tell.picture.plate_features import opening_of, plain_openings, tape
from plategen.tell.picture.plate_station import risers
from plategen.tell.picture.weld import weld_maps
from tests.support.every_example import EXAMPLES, work_of

SVG = "{http://www.w3.org/2000/svg}"


def words_of(picture: str) -> list[str]:
    return [t.text for t in ET.fromstring(picture).iter(f"{SVG}text")]


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_picture_names_parts_traces_and_directions(name: str) -> None:
    work = work_of(name)
    words = words_of(labelled_view(work))
    for plate in work.bracket.plates:
        # a plate behind the rail's wall may be hidden altogether
        assert plate.name.replace("_", " ") in words or plate.role == "backing"
    for fitted in work.rail.traces:
        assert any(w.startswith(f"trace {fitted.trace.file}, plane ") for w in words)
    assert {"cylinder this way", "station 0"} <= set(words)
    for way in ("stations grow", "up, to the ", "plane grows, to the far side"):
        assert sum(w.startswith(way) for w in words) == 1
    assert sum(w.endswith("machine's front") for w in words) == 1, "every example tells where the front lies"


def test_the_front_is_where_the_job_says_or_where_the_study_has_it() -> None:
    work = work_of("sprayer-kicked-rail")
    said = [(None, None), ("ahead", "stations grow, to the machine's front"), ("near", "machine's front")]
    said += [("far", "plane grows, to the far side, to the machine's front"), ("behind", "machine's front")]
    for front, words in said:
        job = work.job.replaced(mount=work.job.mount.replaced(front=front))
        turned = replace(work, design=replace(work.design, job=job))
        told = {w for w in words_of(labelled_view(turned)) if "front" in w}
        assert told - {f"trace {f.trace.file}, plane 0 in" for f in work.rail.traces} == ({words} if words else set())
    steered = work_of("orchard-sprayer-steering")
    assert steered.job.mount.front is None
    along = front_of(steered.job, steered.steering)
    assert along is not None
    assert sum(x * x for x in along) == pytest.approx(1.0)
    assert along[0] > 0.9, "its cylinder lies along the machine, its eye behind the rod's"


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_run_has_a_ring_and_a_bead_at_a_place_of_its_own(name: str) -> None:
    work = work_of(name)
    maps = weld_maps(work)
    rings = [w for picture in maps for w in words_of(picture) if re.fullmatch(r"W\d+", w)]
    assert sorted(rings) == sorted(run.name for run in work.bracket.welds)
    for picture in maps:
        roots = [
            p.get("d").split("L")[0] for p in ET.fromstring(picture).iter(f"{SVG}path") if p.get("class") == "bead"
        ]
        assert len(set(roots)) >= len(roots) / 2, "runs on the two faces of a thin plate may share a corner, no more"
        corners = [p.get("d") for p in ET.fromstring(picture).iter(f"{SVG}path") if p.get("class") == "bead"]
        assert len(set(corners)) == len(corners)


def test_the_clamped_seat_s_cradles_are_seen_along_the_pin_and_not_said_to_lie_between_the_tabs() -> None:
    work = work_of("quarry-clamped-seat")
    along, side = weld_maps(work)
    assert {w for w in words_of(side) if w.startswith("W")} == {f"W{i}" for i in range(5, 13)}
    assert {w for w in words_of(along) if w.startswith("W")} == {f"W{i}" for i in range(1, 5)}
    between = next(Show("mm").text(note) for note in weld_notes(work.bracket) if "between the plates" in str(note))
    assert between.startswith("W2, W4 lie between the plates")


def test_slots_reliefs_and_the_upright_leg_are_dimensioned() -> None:
    work = work_of("quarry-screen-corner")
    show = Show("mm")
    for plate in (p for p in work.bracket.plates if p.role == "ear"):
        words = words_of(plate_picture(work, plate))
        (opening,) = map(opening_of, plain_openings(plate))
        assert f"slot {tape(show, opening.width_mm)} by {tape(show, opening.length_mm)}" in words
        pin = plate.pin_hole.circle.centre
        assert tape(show, (opening.middle - pin).imag) in words
        relief = next(s for s in plate.notch if isinstance(s, Arc) and s.radius == pytest.approx(16.0, abs=0.1))
        assert tape(show, pin.real - relief.centre.real) in words
        assert tape(show, relief.centre.real - opening.middle.real) in words
        for riser in risers(plate, 50.0):
            assert f"{riser.along_mm:.0f}:" in words
            assert tape(show, abs(riser.point.real - pin.real)) in words
        assert len(risers(plate, 50.0)) == 2


def test_a_rolled_pad_is_drawn_rolled_with_its_tube() -> None:
    (picture,) = weld_maps(work_of("vineyard-drag-link-seat"))
    plates = [p.get("d") for p in ET.fromstring(picture).iter(f"{SVG}path") if p.get("class") == "plate"]
    assert max(d.count("L") for d in plates) > 20
    assert any(p.get("class") == "rail" for p in ET.fromstring(picture).iter(f"{SVG}path"))


NUMBER = re.compile(r"[\d.]+")


@pytest.mark.parametrize("name", ["quarry-clamped-seat", "forestry-bolted-channel"])
def test_feet_are_drawn_and_dimensioned_where_the_parts_stand(name: str) -> None:
    work = work_of(name)
    parts = {plate.name: plate for plate in work.bracket.plates}
    for under in {run.other for run in work.bracket.welds}:
        plate = parts[under]
        names = {run.plate for run in work.bracket.welds if run.other == under}
        assert {mark.name for mark in plate.marks if mark.foot} == names
        words = words_of(plate_picture(work, plate))
        numbers = [float(w) for w in words if NUMBER.fullmatch(w)]
        lower_edge = plate.outline.bounds[1]
        for part in names:
            assert part.replace("_", " ") in words
            # both faces of the part by its own placement: no weld run has a say in it
            across = [plate.placement.flat(corner).imag - lower_edge for corner in box_corners(parts[part])]
            if parts[part].role == "cradle":
                assert min(abs(n - min(across)) for n in numbers) < 0.5
                assert min(abs(n - max(across)) for n in numbers) < 0.5
            else:
                faces = [plate.placement.flat(parts[part].placement.point(0j, t)).imag - lower_edge for t in
                         (0.0, parts[part].thickness_mm)]  # fmt: skip
                leaning = abs(plate.placement.v[0]) + abs(plate.placement.v[1])
                assert all(min(abs(n - face) for n in numbers) < 0.5 + 200.0 * leaning for face in faces)


def test_feet_on_the_shown_face_alone_are_scribed() -> None:
    plates = {plate.name: plate for plate in work_of("quarry-clamped-seat").bracket.plates}
    near, far = plates["clamp_near"], plates["clamp_far"]
    assert {mark.name for mark in near.marks if not mark.behind} == {"tab_near", "tab_far"}
    assert {mark.path for mark in near.marks if not mark.behind} <= set(scribed(near).lines)
    assert {mark.behind for mark in far.marks} == {True}
    assert not {mark.path for mark in far.marks} & set(scribed(far).lines)


def test_the_tabs_of_a_closing_plate_are_dimensioned() -> None:
    work = work_of("quarry-screen-corner")
    plate = next(plate for plate in work.bracket.plates if plate.role == "closing")
    words, (u0, v0, _, _) = words_of(plate_picture(work, plate)), plate.outline.bounds
    end = sorted(s.start.imag for s in plate.outline if abs(s.start.real - u0) < 1e-6)
    for mm in (end[0] - v0, end[-1] - end[0]):
        assert tape(Show("mm"), mm) in words
    ears = [along_pin([ear]) for ear in work.bracket.plates if ear.role == "ear"]
    apart = max(low for low, _ in ears) - min(high for _, high in ears)
    sides = [float(w) for w in words if NUMBER.fullmatch(w)]
    assert any(0.0 < apart - side < 1.0 for side in sides), "its body goes between the ears"
    assert sum(math.isclose(side, (82.0 - 51.2) / 2.0, abs_tol=0.051) for side in sides) == 2
