"""A bracket bent of one plate: on random rails its ears stand in line, nothing is welded, and the flat plate that is
cut becomes the bracket that stands when it is bent, point by point.
"""

import math
import os
import random
from functools import cache

import numpy as np
import pytest

from plategen.bracket.base import fold_of
from plategen.bracket.folded import Bend
from plategen.bracket.unfold import bend_limits, bends_in, bodies_of, cut_of
from plategen.checks.bend import CHECKS, PUNCH
from plategen.flat.inside import inside, simple
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.ground.space import dot
from plategen.job import Job
from plategen.job.bolted import Bolted, Formed
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cutting import Cutting
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.rail_feature import FeatureEntry
from plategen.job.rules import Rules
from plategen.make import carry_through
from plategen.work import Work
from tests.support.every_example import work_of
from tests.support.web_rail import assert_clearly_refused, built_or_refused, web_entry

CASES = int(os.environ.get("PLATEGEN_CASES", "16"))


def random_job(rng: random.Random) -> Job:
    """A job in millimetres on such a rail, its cylinder ending in a wide tube."""
    wide = rng.choice((60.0, 80.0, 100.0, 120.0))
    holes = [
        FeatureEntry(
            kind="hole", station_mm=rng.uniform(60.0, 440.0), plane_mm=rng.uniform(-60.0, 60.0), size_mm=18.0,
            use=rng.random() < 0.3,
        )
        for _ in range(rng.choice((0, 0, 1)))
    ]  # fmt: skip
    return Job(
        title="Formed",
        units="mm",
        rail=web_entry(rng.choice((6.0, 8.0, 10.0)), "S690", holes),
        cylinder=Cylinder(
            bore_mm=63.0, rod_mm=40.0, stroke_mm=200.0, closed_length_mm=460.0, body_diameter_mm=76.0,
            pressure_mpa=rng.uniform(4.0, 12.0),
            base=CylinderEnd(pin_mm=rng.choice((25.0, 30.0)), eye_width_mm=wide, eye_radius_mm=28.0),
        ),
        mount=Mount(inline_offset_mm=rng.uniform(30.0, 80.0), pin_station_mm=rng.uniform(220.0, 280.0)),
        bracket=BracketEntry(
            style="bolted", plane_mm=-wide / 2 + rng.uniform(-8.0, 8.0), thickness_mm=rng.choice((6.0, 8.0, 10.0)),
            steel=rng.choice(("S235", "S275", "S355")), side_play_mm=1.0, corner_radius_mm=rng.choice((0.0, 8.0)),
        ),
        bolted=Bolted(
            bolt_mm=rng.choice((12.0, 16.0)), bolts=rng.choice((4, 4, 6)), backing_mm=rng.choice((None, 8.0)),
            formed=Formed(
                rolled=rng.choice(("across", "along")), throat_mm=rng.choice((0.0, 60.0)),
                k=rng.choice((None, None, 0.33)), radius_mm=rng.choice((None, None, 25.0)),
            ),
        ),
        weld=Weld(leg_mm=6.0),
        cutting=Cutting(process=rng.choice(("plasma", "plasma", "saw and drill"))),
        rules=Rules(set="en-1993", bolt_grade="10.9", pretensioned=True),
    )  # fmt: skip


@cache
def built(count: int = CASES) -> tuple[tuple[Job, Work | str], ...]:
    return built_or_refused(1807, count, random_job)


def works() -> list[Work]:
    return [work for _, work in built() if isinstance(work, Work)]


def test_every_job_is_a_bracket_or_one_clear_refusal() -> None:
    assert_clearly_refused(built(), 0.6)


def test_nothing_is_welded_and_one_plate_is_cut() -> None:
    for work in works():
        assert not work.bracket.welds
        flat, *others = work.cut_plates
        assert flat.role == "formed"
        assert {plate.role for plate in others} <= {"backing", "shim"}
        for plate in (*work.cut_plates, *work.bracket.plates):
            assert simple(plate.outline) is None
            assert plate.outline.area > 0.0
            assert all(inside(plate.outline, hole.circle.centre) for hole in plate.holes)
        assert len([hole for hole in flat.holes if hole.purpose == "pin"]) == 2
        assert {f.of for f in work.findings} >= set(CHECKS)


def test_the_ears_stand_in_line_whatever_the_rail_does() -> None:
    for work in works():
        ears = [plate for plate in work.bracket.plates if plate.role == "ear"]
        pin = work.bracket.pin.centre
        for ear in ears:
            assert abs(ear.placement.normal[2]) == 1.0
            assert ear.pin_hole is not None
            at = ear.placement.point(ear.pin_hole.circle.centre)
            assert math.dist(at[:2], pin[:2]) < 1e-9
        apart = max(e.placement.origin[2] for e in ears) - min(e.placement.origin[2] + e.thickness_mm for e in ears)
        assert apart == pytest.approx(work.bracket.pin.eye_width_mm + 2.0 * work.bracket.pin.gap_mm, abs=1e-9)


def folded_up(work: Work, bend: Bend, p: complex) -> tuple[float, float, float]:
    """Where a point of the flat plate goes when it is bent, at the depth whose fibre keeps its length.

    Found by walking outwards along that fibre in small steps, straight but for the bend, where it turns evenly: no
    formula of the bend's geometry is used. Far enough inside the flat base it stays where it is.
    """
    base = next(plate for plate in work.bracket.plates if plate.role == "base")
    begins, ends = (abs(line.start.imag - bend.edge.start.imag) for line in bend_limits(bend))
    assert begins == 0.0
    far = abs(p.imag - bend.edge.start.imag)
    out, up, steps = 0.0, base.thickness_mm * (1.0 - bend.k), 4000
    for k in range(steps):
        at = far * (k + 0.5) / steps
        turned = bend.turn_rad * min(1.0, at / ends)
        out, up = out + math.cos(turned) * far / steps, up + math.sin(turned) * far / steps
    return base.placement.point(complex(p.real, bend.edge.start.imag + bend.side * out), up)


def test_the_flat_plate_becomes_the_bracket_when_it_is_bent() -> None:
    for work in works():
        flat = work.cut_plates[0]
        for bend in bends_in(work.bracket, flat):
            ear = next(plate for plate in work.bracket.plates if plate.name == bend.ear)
            assert ear.pin_hole is not None
            which = ear.name.rpartition("_")[2]
            hole = next(hole for hole in flat.holes if hole.name == f"pin {which}")
            # from the ear's face inside the bend as deep as the fibre lies
            inner = ear.thickness_mm if bend.side < 0 else 0.0
            depth = inner + bend.side * bend.k * ear.thickness_mm
            stands = ear.placement.point(ear.pin_hole.circle.centre, depth)
            assert math.dist(folded_up(work, bend, hole.circle.centre), stands) < 0.02
            tip = max(flat.outline, key=lambda e, side=bend.side: side * e.point(0.5).imag).point(0.5)
            lies = folded_up(work, bend, tip)
            assert ear.outline.distance(ear.placement.flat(lies)) < 0.02


def test_the_flat_plate_has_the_area_of_its_parts_and_of_the_fibre_between_them() -> None:
    for work in works():
        named = {plate.name: plate for plate in work.bracket.plates}
        bends = work.bracket.folded.bends if work.bracket.folded else ()
        parts = named["base"].area_mm2 + sum(named[bend.ear].area_mm2 for bend in bends)
        between = sum(bend.turn_rad * (bend.inside_mm + bend.k * named["base"].thickness_mm) * bend.edge.length
                      for bend in bends)  # fmt: skip
        assert work.cut_plates[0].area_mm2 == pytest.approx(parts + between, rel=1e-9)


def test_bends_turn_as_the_face_leans_and_are_parallel() -> None:
    for work in works():
        folded = work.bracket.folded
        assert folded is not None
        assert sum(bend.turn_rad for bend in folded.bends) == pytest.approx(math.pi, abs=1e-9)
        base = next(plate for plate in work.bracket.plates if plate.role == "base")
        lean = math.asin(abs(dot(base.placement.normal, (0.0, 0.0, 1.0))))
        assert abs(folded.bends[0].turn_rad - math.pi / 2) == pytest.approx(lean, abs=1e-6)
        for bend in folded.bends:
            ear = next(plate for plate in work.bracket.plates if plate.name == bend.ear)
            assert ear.notch is not None
            way = ear.notch.end - ear.notch.start
            assert way / abs(way) == pytest.approx(complex(*base.placement.u[:2]), abs=1e-9)


def test_a_bend_begins_and_ends_where_its_neighbours_do() -> None:
    for work in works():
        for bend in work.bracket.folded.bends if work.bracket.folded else ():
            ear = next(plate for plate in work.bracket.plates if plate.name == bend.ear)
            base = next(plate for plate in work.bracket.plates if plate.role == "base")
            assert ear.notch is not None
            band, r, t = bend.band, bend.inside_mm, bend.band.thickness_mm
            assert band.placement.point(0j) == pytest.approx(
                base.placement.point(complex(0.0, bend.edge.start.imag), t), abs=1e-9
            )
            # the far end of its inside: turned about the centre of the bend
            centre = band.placement.point(0j, -r)
            n, v = (np.array(x) for x in (band.placement.normal, band.placement.v))
            end = np.array(centre) + r * (n * math.cos(bend.turn_rad) + v * math.sin(bend.turn_rad))
            inner = ear.thickness_mm if bend.side < 0 else 0.0
            line = [np.array(ear.placement.point(p, inner)) for p in (ear.notch.start, ear.notch.end)]
            along = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
            assert np.linalg.norm(np.cross(end - line[0], along)) < 1e-6


def test_bolts_keep_off_the_bends_and_their_slots() -> None:
    for work in works():
        flat, thick = work.cut_plates[0], work.job.bracket.thickness_mm
        for hole in flat.holes:
            if hole.purpose == "bolt":
                assert flat.outline.distance(hole.circle.centre) >= hole.edge_required_mm - 1e-6
                assert all(
                    max(0.0, bend_limits(bend)[0].start.real - hole.circle.centre.real,
                        hole.circle.centre.real - bend_limits(bend)[0].end.real) >= 2.0 * thick
                    for bend in bends_in(work.bracket, flat)
                )  # fmt: skip


def test_a_wide_low_channel_passes_a_straight_punch_and_a_tall_one_does_not() -> None:
    """With square bends: the ear that is up comes (H - W)/sqrt 2 past the punch's line, H high and W wide inside."""
    for work in works():
        base = next(plate for plate in work.bracket.plates if plate.role == "base")
        found = next(f for f in work.findings if f.of == PUNCH)
        folded = work.bracket.folded
        assert folded is not None
        wide = work.bracket.pin.eye_width_mm + 2.0 * work.bracket.pin.gap_mm
        first = next(plate for plate in work.bracket.plates if plate.name == folded.bends[0].ear)
        assert first.notch is not None
        u = complex(*base.placement.u[:2])
        tops = [edge.point(t) for edge in first.outline for t in (0.0, 0.5)]
        high = max(-((p - first.notch.start) / u).imag for p in tops) + folded.bends[0].inside_mm
        lean = abs(folded.bends[0].turn_rad - math.pi / 2)
        assert found.demand == pytest.approx(max(0.0, (high - wide) / math.sqrt(2.0)), abs=3.0 + 120.0 * lean)


def test_k_by_trial_moves_the_ears_out_in_the_flat_plate_and_nothing_that_stands() -> None:
    job, traces = (work_of("hay-rake-formed-bracket").job, work_of("hay-rake-formed-bracket").traces)
    assert job.bolted is not None
    assert job.bolted.formed is not None
    fold = fold_of(job)
    assert fold is not None
    other = job.replaced(bolted=job.bolted.replaced(formed=job.bolted.formed.replaced(k=0.45)))
    one, two = (carry_through(each, traces) for each in (job, other))
    assert one.bracket.plates == two.bracket.plates
    more = two.cut_plates[0].outline.bounds[3] - one.cut_plates[0].outline.bounds[3]
    bend = next(bend for bend in one.bracket.folded.bends if bend.side > 0) if one.bracket.folded else None
    assert bend is not None
    assert more == pytest.approx(bend.turn_rad * (0.45 - fold.k) * job.bracket.thickness_mm, rel=1e-9)


def test_bodies_and_cut_plates_of_a_welded_bracket_are_its_plates() -> None:
    bracket = work_of("forestry-bolted-channel").bracket
    assert bodies_of(bracket) == bracket.plates
    assert cut_of(bracket) == (*bracket.plates, *bracket.packing)


def test_lines_are_scribed_short_of_the_edges() -> None:
    for work in works():
        flat = work.cut_plates[0]
        for mark in flat.marks:
            for p in (mark.path.start, mark.path.end):
                assert inside(flat.outline, p)
                assert flat.outline.distance(p) >= 2.9
            assert not mark.behind
            assert not any(isinstance(edge, Circle) for edge in mark.path)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"base_mm": 10.0}, "one plate"),
        ({"pattern": "beside"}, "bends run beside"),
    ],
)
def test_what_a_formed_bracket_has_not_is_refused(given: dict[str, object], words: str) -> None:
    with pytest.raises(Refusal, match=words):
        Bolted(bolt_mm=16.0, formed=Formed(), **given)  # type: ignore[arg-type]


def test_a_base_without_a_thickness_and_a_k_beyond_the_middle_are_refused() -> None:
    with pytest.raises(Refusal, match=r"bolted\.formed"):
        Bolted(bolt_mm=16.0)
    with pytest.raises(Refusal, match=r"0\.5 or less is right"):
        Formed(k=0.6)


def test_a_steel_without_a_table_of_bends_is_refused() -> None:
    work = work_of("hay-rake-formed-bracket")
    job = work.job.replaced(bracket=work.job.bracket.replaced(steel="4130"))
    with pytest.raises(Refusal, match="no table says how tightly"):
        carry_through(job, work.traces)
