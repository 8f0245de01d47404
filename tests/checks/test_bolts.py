"""What pulls, shears and slips at the bolts, as the judge says it, against hand sums and printed limits."""

import cmath
import math
import random
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from plategen.bracket.model import Hole, Plate
from plategen.bracket.style import design_on
from plategen.checks.bolt_load import face_of, pulled
from plategen.checks.bolt_plate import Block, block_strength, blocks, check_plate_at_bolts
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.checks.weld import piece
from plategen.flat.loop import Circle, polygon
from plategen.flat.placement import across_pin
from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.ground.space import dot, mixed
from plategen.rules.bolt import en_bearing_n, group_forces_n
from plategen.rules.bolt_grade import bolt_grade
from plategen.rules.material import steel
from plategen.rules.weld_group import WeldGroup
from tests.bracket.test_split import _build, _fitted
from tests.checks.bench import Bench, push_n
from tests.checks.cases import FOUR
from tests.checks.edited import Edited
from tests.support.fitted import carried
from tests.support.style_jobs import job, split
from tests.support.web_jobs import bolted_job
from tests.support.web_rail import traced

LBF, IN = 4.4482216152605, 25.4


def _of(findings: tuple[Finding, ...], check: str) -> Finding:
    return next(f for f in findings if f.check == check and f.decides)


def test_bolts_in_long_slots_slip_at_the_safety_of_long_slots() -> None:
    # AISC 360-16 J3.8: Omega 2.14 in long slots in any direction; 7,889 lbf were told with the 1.50 of round holes
    found = _of(Edited("forwarder-split-mount", ()).findings(), "bolt slip")
    assert found.capacity / LBF == pytest.approx(5530.0, abs=1.0)


@pytest.mark.parametrize(
    ("rules", "grade", "right"),
    [
        ("aisc-asd", "Grade 2", "A325"),
        ("aisc-asd", "A307", "A325"),
        ("aisc-lrfd", "Grade 8", "A490"),
        ("aisc-asd", "8.8", "A325"),
        ("en-1993", "4.6", "8.8"),
        ("en-1993", "12.9", "10.9"),
    ],
)
def test_grades_that_a_rule_set_gives_no_pretension_are_refused(rules: str, grade: str, right: str) -> None:
    # AISC 360 Table J3.1 lists A325 and A490 alone; EN 1993-1-8:2005 3.1.2 classes 8.8 and 10.9
    bolted = {"bolts": FOUR, "nose": 80.0, "bolt": 16.0, "bolt_hole": 18.0}
    with pytest.raises(Refusal, match=f'no pretension; "{right}" is right') as refused:
        Bench(**bolted, rules={"set": rules, "bolt_grade": grade, "pretensioned": True}).findings()  # type: ignore[arg-type]
    assert refused.value.key == "rules.bolt_grade"
    assert refused.value.cure is not None
    assert [change.to for change in refused.value.cure.changes] == [right]
    assert Bench(**bolted, rules={"set": rules, "bolt_grade": right, "pretensioned": True}).findings()  # type: ignore[arg-type]
    assert Bench(**bolted, rules={"set": rules, "bolt_grade": grade}).findings()  # type: ignore[arg-type]


def _drilled(sides: tuple[float, float], thick: float, circles: list[Circle]) -> Plate:
    """A rectangle of S235 with these holes for M20."""
    holes = tuple(
        Hole(purpose="bolt", name=f"bolt {k}", circle=circle, bolt_mm=20.0, made="drill", edge_required_mm=26.0,
             edge_source="")
        for k, circle in enumerate(circles)
    )  # fmt: skip
    long, wide = sides
    return Plate(role="ear", name="ear", outline=polygon([0j, complex(long, 0.0), complex(long, wide), 1j * wide]),
                 thickness_mm=thick, steel="S235", placement=across_pin(0.0), holes=holes)  # fmt: skip


def _setting(rules: str, *plates: Plate) -> Setting:
    bench = Bench(steel="S235", rules={"set": rules})
    return Setting(bench.design(), replace(bench.bracket(), style="ears", plates=plates, welds=()), None)


def _bearing_en(columns: int, rows: int, p1: float, p2: float, edge: float, pushed: int) -> float:
    """EN bearing of one M20 4.6 in a 22 mm hole of an 8 mm S235 plate, a force on it alone along its rows."""
    long, wide = 2 * edge + (columns - 1) * p1, 2 * edge + (rows - 1) * p2
    places = [complex(edge + i * p1, edge + j * p2) for i in range(columns) for j in range(rows)]
    plate = _drilled((long, wide), 8.0, [Circle(place, 11.0) for place in places])
    holes = plate.holes
    setting = _setting("en-1993", plate)
    forces = tuple(10e3 + 0j if k == pushed else 0j for k in range(len(holes)))
    found = check_plate_at_bolts(setting, plate, holes, [(message("push"), forces)], bolt_grade("4.6", 20.0))
    return next(f.capacity for f in found if f.check == "bolt bearing and tear-out" and f.decides)


def test_inner_and_end_bolts_bear_by_their_own_spacing_or_edge() -> None:
    # "Design resistance for individual fasteners as per EN 1993-1-8", worksheet, M20 in 8 mm: end bolt 33.997 kN, inner
    # bolt 41.079 kN, at e1 = e2 = 26.4, p1 = 48.4, p2 = 52.8; the sheet takes 400 MPa where the plate has 360
    share = 360.0 / 400.0
    end, inner = (_bearing_en(3, 3, 48.4, 52.8, 26.4, pushed) for pushed in (7, 4))
    assert end / 1e3 == pytest.approx(33.997 * share, abs=0.002)
    assert inner / 1e3 == pytest.approx(41.079 * share, abs=0.002)


def test_a_row_along_the_force_bears_by_its_spacing() -> None:
    # Table 3.4: alpha_b = p1/(3 d0) - 1/4 of the bolts behind the first; the next hole was counted as an edge
    assert _bearing_en(3, 1, 53.0, 0.0, 60.0, 0) == pytest.approx(
        en_bearing_n(360.0, 400.0, 20.0, 22.0, 8.0, math.inf, 60.0, 53.0)
    )


def test_one_row_across_the_force_bears_1_5_at_most() -> None:
    # EN 1993-1-8:2005 3.6.1(10): 1.5 fu d t/gM2 in a lap with one row of bolts; M20 in 8 mm S235: 69.12 kN
    assert _bearing_en(1, 2, 0.0, 100.0, 90.0, 0) / 1e3 == pytest.approx(69.12, abs=0.005)
    assert en_bearing_n(360.0, 400.0, 20.0, 22.0, 8.0, 90.0, 90.0) / 1e3 == pytest.approx(115.2, abs=0.05)


def test_a_block_of_two_lines_of_three_holes_has_the_areas_of_a_worked_example() -> None:
    # a structural engineering handbook, chapter on steel: web 0.22 in, bolts of 1 in, 3 in apart and from the edge, net
    # areas 2.72 and 0.41 sq in with holes 1/16 in wider than they are (AISC 360 B4.3b)
    sq, holes = (
        IN * IN,
        [Circle(complex(1 + 3 * i, 1.5 + 3 * j) * IN, 17 / 32 * IN) for i in range(3) for j in range(2)],
    )
    plate = _drilled((10.0 * IN, 6.0 * IN), 0.22 * IN, holes)
    (block,) = blocks(plate, plate.holes, [(message("push"), (1000.0 + 0j,) * len(plate.holes))])
    assert block.gross_shear / sq == pytest.approx(0.22 * 18.0)
    assert (block.net_shear - IN / 16 * block.shear_per_mm) / sq == pytest.approx(2.72, abs=0.005)
    assert (block.net_tension - IN / 16 * block.tension_per_mm) / sq == pytest.approx(0.41, abs=0.005)


def test_a_block_loses_each_hole_by_its_own_width_whichever_is_first() -> None:
    # by hand: two lines of two, 100 mm apart, holes of 13 mm and one of 18 the farthest from the edge ahead
    holes = [Circle(50 + 50j, 9.0), Circle(150 + 50j, 6.5), Circle(50 + 150j, 6.5), Circle(150 + 150j, 6.5)]
    for circles in (holes, holes[::-1]):
        plate = _drilled((200.0, 200.0), 10.0, circles)
        (block,) = blocks(plate, plate.holes, [(message("push"), (1000.0 + 0j,) * len(plate.holes))])
        assert block.net_shear == pytest.approx(10.0 * ((150.0 - 13.0 - 18.0 / 2) + (150.0 - 13.0 - 13.0 / 2)))
        assert block.net_tension == pytest.approx(10.0 * (100.0 - 18.0 / 2 - 13.0 / 2))


def test_holes_count_2_mm_wider_for_aisc_and_as_they_are_for_en() -> None:
    # by hand, AISC 360 B4.3b and eq. J4-5 of S235 (360 MPa ultimate), EN 1993-1-8 3.10.2
    s235, block = steel("S235"), Block(1000.0, message("push"), 1e5, 2800.0, 870.0, 30.0, 10.0, even=True)
    asd, en = (next(view for view in _setting("aisc-asd") if view.rules == rules) for rules in ("aisc-asd", "en-1993"))
    assert block_strength(asd, s235, block) == pytest.approx((0.6 * 360 * (2800 - 60) + 360 * (870 - 20)) / 2.0)
    assert block_strength(en, s235, block) == pytest.approx(360 * 870 / 1.25 + 235 * 2800 / math.sqrt(3.0))
    # the end counts half where a moment loads the bolts unevenly: Ubs 0.5, and EN 1993-1-8 3.10.2(3)
    uneven = replace(block, even=False)
    assert block_strength(asd, s235, block) - block_strength(asd, s235, uneven) == pytest.approx(90 * 850)
    assert block_strength(en, s235, block) - block_strength(en, s235, uneven) == pytest.approx(180 * 870 / 1.25)


def test_a_moment_on_the_bolts_loads_them_unevenly() -> None:
    holes = [Circle(complex(x, y), 11.0) for x in (50.0, 150.0) for y in (50.0, 150.0)]
    plate, push = _drilled((200.0, 200.0), 10.0, holes), message("push")
    for lever_mm, even in ((0.0, True), (80.0, False)):
        at = [hole.circle.centre for hole in plate.holes]
        forces = group_forces_n(at, 1000.0 + 0j, complex(100.0, 100.0 + lever_mm))
        assert [block.even for block in blocks(plate, plate.holes, [(push, forces)])] == [even]


def test_less_edge_than_the_table_is_a_caution_where_the_steel_holds() -> None:
    # AISC 360-16 Table J3.4, note a: lesser edge distances are permitted where J3.10 and J4 are satisfied, but not
    # less than one diameter without the engineer's approval; M20: 26 mm
    def edges(steel_beyond: float, **given: float) -> set[str]:
        # the lowest bolts stand over the foot plate's lower edge, at v = -(nose + 10)
        low = -(80.0 + 10.0) + steel_beyond
        bolts = (-40 + 50j, 40 + 50j, complex(-40, low), complex(40, low))
        found = Bench(bolts=bolts, nose=80.0, **given).findings()
        return {f.verdict for f in found if f.check == "edge distance" and f.part.names[0] == "foot_near"}

    assert edges(27.0) == {"ok"}
    assert edges(22.0) == {"ok", "caution"}
    assert edges(20.0) == {"ok", "caution"}
    assert edges(19.0) == {"ok", "stop"}


def test_the_side_push_levers_the_bolts_as_statics_ask() -> None:
    # M12, bolts 150 mm beside the pin in one row along the cylinder, skew 5 degrees: by hand, the ear tilting about the
    # edge of the tab or its own; half the polar moment told a third of it, and less the wider the bolts stood
    def worst(spacing: float) -> float:
        table = split(bolt_mm=12.0, height_mm=150.0, row_spacing_mm=spacing, built_for_mm=250.0)
        at = {"split": table, "inline_offset_mm": 250.0, "foot_mm": (5.0, 335.0), "pin_station_mm": 170.0}
        wanted = job("split", **at)
        assert wanted.rules is not None
        rules = wanted.rules.replaced(skew_rad=math.radians(5.0), swing_rad=0.0, pretensioned=False)
        setting = Setting(design_on(wanted.replaced(rules=rules), _fitted("straight")), _build("straight", **at), None)
        assembly, joint = setting.bolted[0]
        face = face_of(assembly, joint)
        assert max(abs(corner.imag - 150.0) for corner in face.corners) == pytest.approx(16.0, abs=1e-4)
        return max(pull.tension for pull in pulled(face, setting.cases, assembly.share))

    side = 1.5 * push_n(12.0, 50.0) * math.sin(math.radians(5.0))
    assert worst(290.0) == pytest.approx(side * (150.0 + 16.0) / 32.0, rel=1e-6)
    assert worst(100.0) == pytest.approx(worst(290.0), rel=1e-6)


def test_bolts_contact_and_welds_are_the_load_to_the_last_bit() -> None:
    """Sum of forces and moments over 200 random jobs, in space."""
    chance = random.Random(9)
    for _ in range(200):
        count = chance.choice([2, 2, 3, 4, 6])
        bolts = tuple(cmath.rect(chance.uniform(15.0, 55.0), chance.uniform(0, 6.28)) for _ in range(count))
        rules = {"skew_rad": chance.uniform(0.0, 0.3), "swing_rad": chance.uniform(0.0, 0.6)}
        bench = Bench(bolts=bolts, nose=80.0, thickness=chance.uniform(5.0, 25.0), gap=chance.uniform(0.0, 3.0),
                      height=chance.uniform(90.0, 200.0), rules=rules)  # fmt: skip
        setting = Setting(bench.design(), bench.bracket(), None)
        cases = chance.sample(setting.cases, 2)
        for assembly, joint in (chance.choice(setting.bolted),):
            face = face_of(assembly, joint)
            group = WeldGroup([[piece(edge, run.placement) for edge in run.path] for run in assembly.rail_runs])
            n, share, at = face.place.normal, assembly.share, assembly.loaded_at(setting.bracket.pin.centre)
            for case, pull in zip(cases, pulled(face, cases, share), strict=True):
                force = mixed(case.force_n, share, n, (1.0 - share) * dot(case.force_n, n))
                load, close = _wrench(at, np.array(force)), 1e-9 * case.size_n * 500.0
                held = np.zeros(6)
                for place, shear, tension in zip(face.bolts, pull.shear, pull.tensions, strict=True):
                    in_plane = np.array(face.place.u) * shear.real + np.array(face.place.v) * shear.imag
                    held += _wrench(face.place.point(place), in_plane - face.side * tension * np.array(n))
                for corner, pressed in zip(face.corners, pull.contact, strict=True):
                    held += _wrench(face.place.point(corner), face.side * pressed * np.array(n))
                assert held == pytest.approx(load, abs=close)
                assert _in_welds(group, load) == pytest.approx(load, abs=close)


def _wrench(at: tuple[float, float, float], force: Any) -> Any:
    return np.r_[force, np.cross(at, force)]


def _in_welds(group: WeldGroup, load: Any) -> Any:
    """The sum over straight runs of the line load that a force with its moment about the origin makes."""
    turned = np.linalg.solve(group.k, load[3:] - np.cross(group.centroid, load[:3]))
    held = np.zeros(6)
    for straight in (straight for run in group.runs for straight in run):
        low, high = map(np.array, straight.ends())
        for share, at in ((1 / 6, low), (4 / 6, (low + high) / 2), (1 / 6, high)):
            line_load = load[:3] / group.length + np.cross(turned, at - group.centroid)
            held += share * straight.length * _wrench(at, line_load)
    return held


def _bolted(chance: random.Random) -> Bench:
    """A bolted bench with loads, bolts and rules drawn anew."""
    spread, high = chance.uniform(25.0, 45.0), chance.uniform(20.0, 45.0)
    rules = {
        "set": chance.choice(["aisc-asd", "aisc-lrfd", "en-1993"]),
        "skew_rad": chance.uniform(0.0, 0.2),
        "swing_rad": chance.uniform(0.0, 0.4),
        "bolt_grade": "8.8",
    }
    four = tuple(complex(x, y) for x in (-spread, spread) for y in (-high, high))
    bolts = chance.choice([four, four[:2], four[::3], (*four, 0j + 1.3 * high * 1j)])
    return Bench(bolts=bolts, nose=85.0, pin=20.0, hole=20.5, bolt=12.0, bolt_hole=18.0, rules=rules,
                 pressure=chance.uniform(2.0, 12.0), thickness=chance.uniform(6.0, 20.0))  # fmt: skip


def _shares(bench: Bench) -> dict[tuple[str, str, str], tuple[float, float]]:
    found = (f for f in bench.findings() if f.of.subject == "bolt")
    return {f.key: (f.ratio, f.demand) for f in found}


def test_a_stronger_or_bigger_bolt_or_less_pressure_never_uses_more() -> None:
    chance = random.Random(5)
    for _ in range(12):
        bench = _bolted(chance)
        now = _shares(bench)
        assert {check for check, _, _ in now} >= {"bolt shear", "bolt tension with shear", "bolt bearing and tear-out"}
        easier = (
            replace(bench, rules={**bench.rules, "bolt_grade": "10.9"}),
            replace(bench, bolt=16.0),
            replace(bench, pressure=0.8 * bench.pressure),
        )
        for other in easier:
            for key, (ratio, _) in _shares(other).items():
                assert ratio <= now[key][0] * (1.0 + 1e-9), key


def test_twice_the_force_asks_twice_of_every_bolt() -> None:
    chance = random.Random(6)
    for _ in range(6):
        bench = _bolted(chance)
        once, twice = _shares(bench), _shares(replace(bench, pressure=2.0 * bench.pressure))
        for key, (_, demand) in once.items():
            assert twice[key][1] == pytest.approx(2.0 * demand, rel=1e-9), key


def test_a_bolt_between_wide_ears_bends_the_base_from_the_nearest_one() -> None:
    # ears at -75 and 66 mm along the pin, the bolts at -45 and 36: the box about both ears holds the bolts
    rng = random.Random(3)
    traces, wide = traced(rng), bolted_job(rng)
    assert wide.bolted is not None
    base = wide.cylinder.base.replaced(eye_width_mm=140.0)
    work = carried(
        wide.replaced(
            rail=wide.rail.replaced(feature=()),
            bracket=wide.bracket.replaced(plane_mm=-75.0),
            cylinder=wide.cylinder.replaced(base=base),
            mount=wide.mount.replaced(foot_mm=(140.0, 360.0), pin_station_mm=250.0),
            bolted=wide.bolted.replaced(pattern="beside", spacing_mm=80.0, row_spacing_mm=120.0, bolts=4),
        ),
        traces,
    )
    pried = [f for f in work.findings if f.check == "base at its bolts, with prying"]
    assert pried
    for finding in pried:
        assert finding.assumed.quantities[0].value == pytest.approx(30.0, abs=0.2)
