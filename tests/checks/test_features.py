"""What is on the rail: plates, beads and the cylinder keep clear, and a bead stops short and counts in pieces."""

import math
import random

import pytest

from plategen.bracket.feature import Feature, on_face, room_to
from plategen.bracket.model import Plate
from plategen.bracket.prism import Prism, room_between
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, polygon
from plategen.flat.placement import Placement, across_pin
from plategen.ground.refusal import Refusal
from plategen.job.change import changed
from plategen.job.rail_feature import FeatureEntry
from plategen.make import Work, carry_through
from tests.support.random_jobs import example

STRAIGHT = "quarry-straight-rail"


def made(*features: FeatureEntry, name: str = STRAIGHT) -> Work:
    given = example(name)
    return carry_through(given.job.replaced(rail=given.job.rail.replaced(feature=features)), given.traces)


def on_it(kind: str = "rivet", station: float = 150.0, plane: float = 45.0, size: float = 20.0, **more: object):
    height = {} if kind == "hole" else {"height_mm": 8.0}
    given = {"kind": kind, "station_mm": station, "plane_mm": plane, "size_mm": size, **height, **more}
    return FeatureEntry(**given)


def throat(work: Work) -> float:
    return max(f.ratio for f in work.findings if f.check == "weld throat stress" and f.decides)


# --- in space --------------------------------------------------------------------------------------------------------


def test_the_room_between_two_bodies_is_known_exactly() -> None:
    box = polygon((0j, 100 + 0j, 100 + 10j, 10j))
    plate = Prism(box, across_pin(0.0), 12.0)
    # a post square to the plate's edge, 7 mm beyond it and 5 mm beside its upper face
    post = Prism(Circle(0j, 4.0), Placement((50.0, 17.0, 21.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), 3.0)
    # its axis runs against v, from v = 17 to 14; its rim comes to w = 17
    assert post.placement.normal == (0.0, -1.0, 0.0)
    assert room_between(post, plate) == pytest.approx(math.hypot(14.0 - 10.0, 17.0 - 12.0), abs=1e-6)
    assert room_between(plate, post) == pytest.approx(math.hypot(4.0, 5.0), abs=1e-6)
    through = Prism(Circle(0j, 4.0), Placement((50.0, 17.0, 6.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), 12.0)
    assert room_between(through, plate) == pytest.approx(0.0, abs=1e-6)


def test_the_room_to_a_plate_is_no_more_than_any_sampled_pair_of_points_says() -> None:
    work, rng = made(on_it()), random.Random(7)
    for k in range(12):
        entry = on_it(
            rng.choice(("rivet", "step", "bracket")), rng.uniform(20, 280), rng.uniform(-60, 90), rng.uniform(8, 60),
            height_mm=rng.uniform(3, 40),
        )  # fmt: skip
        feature = made(entry).features[0]
        for plate in work.bracket.plates:
            room = room_to(feature, plate)
            least = min(
                math.dist(feature.body.placement.point(p, h), _on_plate(plate, rng)) for p, h in _within(feature, rng)
            )
            assert room <= least + 1e-6, k


def _within(feature: Feature, rng: random.Random) -> list[tuple[complex, float]]:
    u0, v0, u1, v1 = feature.outline.bounds
    points = [complex(rng.uniform(u0, u1), rng.uniform(v0, v1)) for _ in range(400)]
    return [(p, rng.uniform(0.0, feature.height_mm)) for p in points if inside(feature.outline, p)]


def _on_plate(plate: Plate, rng: random.Random) -> tuple[float, float, float]:
    edge = rng.choice(plate.outline.segments)
    return plate.placement.point(edge.point(rng.random()), rng.uniform(0.0, plate.thickness_mm))


def test_the_room_is_that_between_the_solids() -> None:
    pytest.importorskip("cadquery")
    from plategen.solid.bodies import feature_bodies, plate_bodies
    from plategen.solid.clearance import clearances

    entries = (
        on_it("rivet", 90.0, 50.0, 18.0),
        on_it("step", 255.0, 48.0, 30.0, width_mm=12.0, height_mm=55.0),
        on_it("hose", 150.0, -40.0, 160.0, width_mm=20.0, height_mm=26.0),
    )
    work = made(*entries, name="sprayer-kicked-rail")
    names = {f"on_rail_{k}": feature for k, feature in enumerate(work.features, start=1)}
    seen = 0
    for each in clearances((*plate_bodies(work.bracket), *feature_bodies(work))):
        pair = sorted((each.one, each.other), key=lambda name: name in names)
        if pair[1] in names and pair[0] not in names:
            plate = next(plate for plate in work.bracket.plates if plate.name == pair[0])
            room = room_to(names[pair[1]], plate)
            assert room <= each.gap_mm + 1e-3
            assert room == pytest.approx(each.gap_mm, abs=1e-3) or room > 60.0
            seen += 1
    assert seen == 6


def test_a_feature_lies_on_the_face_and_stands_out_towards_the_cylinder() -> None:
    work = made(on_it(), name="sprayer-kicked-rail")
    (feature,) = work.features
    u, v, w = feature.placement.origin
    assert (u, w) == (150.0, 45.0)
    assert abs(work.rail.section(45.0).distance(complex(u, v))) < 1e-6
    assert feature.placement.normal[1] < -0.8
    # the kicked rail is traced in two planes: its face slants along the pin, and the rivet with it
    beside = on_face(work.rail, 150.0, 46.0).origin
    assert abs(sum(n * (a - b) for n, a, b in zip(feature.placement.normal, beside, (u, v, w), strict=True))) < 0.02


# --- welds -----------------------------------------------------------------------------------------------------------


def test_a_bead_stops_short_of_a_rivet_by_its_leg_and_the_room_and_counts_less() -> None:
    whole, work = made(), made(on_it("hole", 110.0, -6.0, 14.0))
    near = [run for run in work.bracket.welds if run.plate == "ear_near"]
    assert [run.stops_at for run in near] == [("", "hole 1"), ("hole 1", "")] * 2
    assert len([run for run in work.bracket.welds if run.plate == "ear_far"]) == 2
    for run in near:
        at = run.path.end if run.stops_at[1] else run.path.start
        p = run.placement.point(at)
        apart = math.dist(p, work.features[0].body.nearest(p))
        assert apart == pytest.approx(3.0 + run.leg_mm, abs=1e-6)
    lost = sum(r.length_mm for r in whole.bracket.welds) - sum(r.length_mm for r in work.bracket.welds)
    # two root lines 6 mm beside the middle of a hole of 14 mm: chords of a circle of 7 + 3 + 6 mm
    assert lost == pytest.approx(2 * 2 * math.sqrt(16.0**2 - 6.0**2), abs=0.01)
    assert throat(work) > throat(whole)


def test_a_piece_too_short_to_count_is_left_out() -> None:
    # the hole leaves a stub of some 20 mm at the foot's beginning, shorter than 4 legs or 30 mm
    work = made(on_it("hole", 85.0, -6.0, 14.0))
    near = [run for run in work.bracket.welds if run.plate == "ear_near"]
    assert [run.stops_at for run in near] == [("hole 1", "")] * 2
    assert all(run.length_mm > 140.0 for run in near)


def test_what_is_far_away_changes_nothing() -> None:
    whole, work = made(), made(on_it("hole", 150.0, 200.0, 14.0))
    assert work.bracket == whole.bracket
    assert throat(work) == throat(whole)


def test_the_stress_is_that_of_the_pieces_as_lines() -> None:
    # AISC: weld treated as a line; both pieces of one ear, cut evenly about the middle, under a pull square to the rail
    gap = made(on_it("hole", 150.0, -6.0, 40.0))
    runs = [run for run in gap.bracket.welds if run.plate == "ear_near"]
    assert len(runs) == 4
    assert sum(r.length_mm for r in runs if not r.piece) < 200.0
    wall = [f for f in gap.findings if f.check == "plate beside the weld" and f.decides and "ear_near" in str(f.part)]
    assert all("2 beads" in str(f.assumed) for f in wall)  # of two faces, in two pieces each


# --- the judge -------------------------------------------------------------------------------------------------------


def test_a_stop_names_key_direction_and_amount_and_is_cured_by_it() -> None:
    given = example(STRAIGHT)
    rng, cured = random.Random(19), 0
    for _ in range(30):
        kind = rng.choice(("rivet", "bead", "bracket", "hole"))
        entry = on_it(kind, rng.uniform(20, 280), rng.uniform(-25, 50), rng.uniform(8, 30))
        job = given.job.replaced(rail=given.job.rail.replaced(feature=(entry,)))
        work = carry_through(job, given.traces)
        stopped = [f for f in work.findings if f.of.subject == "on the rail" and f.verdict == "stop"]
        for finding in stopped:
            assert finding.cure is not None
            assert "mm" in str(finding.cure.advice)
            if finding.cure.changes:
                again = carry_through(changed(job, finding.cure.changes), given.traces)
                assert not [f for f in again.findings if f.of.subject == "on the rail" and f.verdict == "stop"]
                cured += 1
    assert cured > 8


def test_a_torch_finds_the_way_barred_by_a_step_beside_the_run() -> None:
    def outside(work: Work) -> float:
        found = [f for f in work.findings if f.check == "torch access" and "outside" in str(f.part)]
        return min((f.capacity for f in found if "ear far" in str(f.part)), default=math.inf)

    assert outside(made(on_it("rivet", 150.0, 300.0))) >= 75.0
    barred = made(on_it("bracket", 150.0, 55.0, 220.0, width_mm=20.0, height_mm=120.0))
    assert outside(barred) < 75.0


@pytest.mark.parametrize(
    ("given", "key"),
    [
        ({"kind": "hole", "height_mm": 3.0}, "height"),
        ({"kind": "hose", "height_mm": None}, "height"),
        ({"kind": "rivet", "use": True}, "use"),
        ({"kind": "rivet", "made": "burned"}, "made"),
        ({"kind": "rivet", "width_mm": 4.0}, "width"),
    ],
)
def test_what_cannot_be_is_refused_with_its_key(given: dict[str, object], key: str) -> None:
    with pytest.raises(Refusal) as refused:
        on_it(**given)  # type: ignore[arg-type]
    assert refused.value.key == key


def test_a_place_off_the_trace_is_refused_with_its_key() -> None:
    with pytest.raises(Refusal) as refused:
        made(on_it(station=900.0))
    assert refused.value.key == "rail.feature[0].station"
    with pytest.raises(Refusal, match="two are called"):
        made(on_it(name="r"), on_it(name="r"))


def test_every_paper_and_picture_shows_it() -> None:
    from plategen.page.draw import drawing
    from plategen.paper.template import template_svg
    from plategen.tell.picture.plan import plan_picture
    from plategen.tell.picture.plate import plate_picture
    from plategen.tell.report.job import job_report

    work = made(on_it(name="spring hanger", kind="bracket", plane=60.0))
    ear = work.bracket.plates[1]
    for shown in (drawing(work, None), plate_picture(work, ear), plan_picture(work), template_svg(work, ear)):
        assert "spring hanger" in shown
    assert [each.name for each in job_report(work).on_rail] == ["spring hanger"]
    assert plan_picture(made()) == ""
