"""The rail's wall on the bench: demands by hand, what is not told, and what is told at the edge."""

import math
from typing import Literal

import pytest

from plategen.checks.finding import Finding
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.rail import RailEntry
from plategen.job.rules import Rules
from plategen.make import carry_through
from plategen.rules import wall_bending as rule
from plategen.rules.material import steel
from plategen.rules.pin_plate import near_ear_share
from tests.checks.bench import Bench, push_n
from tests.checks.cases import FLANGE, STRAIGHT
from tests.support.style_jobs import clamp, job, seat

BOX = {"section": "box", "face_from_mm": -80.0, "face_to_mm": 80.0}


def bends(bench: Bench) -> Finding:
    return next(f for f in bench.findings() if f.check == "rail wall in bending" and not f.opinion)


def test_a_force_along_a_flange_tilts_both_plates_by_hand() -> None:
    b = Bench(rail=FLANGE, rules=STRAIGHT)
    force = 1.5 * push_n(b.pressure, b.bore) * near_ear_share(b.eye_width, b.thickness, b.gap)
    fy, length = steel("S355", b.wall).fy_mpa, 2 * b.foot
    inner = b.eye_width / 2 + b.gap
    arms = [45.0 - inner - b.thickness / 2, 45.0 + inner + b.thickness / 2]
    width = abs(FLANGE["face_to_mm"] - FLANGE["face_from_mm"])  # type: ignore[operator]
    walls = [rule.flange_along(fy, b.wall, length, arm, width - arm).tilt_nmm(length) for arm in arms]
    assert bends(b).demand == pytest.approx(sum(force * b.height / wall for wall in walls) * 1.67, rel=1e-9)


def test_a_side_force_tilts_the_plate_aside_as_well() -> None:
    straight, skewed = (bends(Bench(rail=BOX, rules={**STRAIGHT, "skew_rad": skew})) for skew in (0.0, 0.1))
    assert skewed.demand > 1.2 * straight.demand


@pytest.mark.parametrize("rail", [FLANGE, BOX, {**FLANGE, "plates_lie": "across"}])
def test_a_thicker_wall_and_less_pressure_use_less_of_it(rail: dict[str, object]) -> None:
    usual = bends(Bench(rail=rail))
    assert bends(Bench(rail=rail, wall=12.0)).demand == pytest.approx(usual.demand / 1.44, rel=1e-9)
    assert bends(Bench(rail=rail, pressure=5.0)).demand == pytest.approx(usual.demand / 2.0, rel=1e-9)


def test_a_channels_web_holds_less_than_a_boxs_wall() -> None:
    web = {**BOX, "section": "channel", "face": "web"}
    assert bends(Bench(rail=web)).demand == pytest.approx(2.0 * bends(Bench(rail=BOX)).demand, rel=1e-9)


def test_what_is_not_told_is_a_caution_among_the_first_and_no_stop() -> None:
    findings = Bench(rail={}).findings()
    (untold,) = (f for f in findings if f.of.subject == "rail wall")
    assert (untold.verdict, math.isinf(untold.ratio)) == ("caution", True)
    assert "NOT judged" in str(untold.assumed)
    assert Bench(rail={}).stops() == set()


def test_near_a_flanges_edge_is_a_caution_and_over_it_a_stop() -> None:
    for edge, verdict in ((70.0, "ok"), (45.0, "caution"), (30.0, "stop")):
        found = Bench(rail={**FLANGE, "face_to_mm": edge}, wall=20.0).findings()
        far = next(f for f in found if f.check == "bead to the flange's edge" and f.part.names == ("ear_far",))
        assert far.verdict == verdict


def test_a_section_without_its_face_is_refused() -> None:
    with pytest.raises(Refusal, match="face_from"):
        RailEntry(wall_mm=6.0, steel="A36", section="box")


def of_tube(made: Job, check: str) -> list[Finding]:
    return [f for f in carry_through(made, ()).findings if f.check == check and f.decides]


@pytest.mark.parametrize(("hold", "found"), [("weld", ["ok"]), ("clamp", [])])
def test_a_tube_that_is_welded_to_is_judged(hold: str, found: list[str]) -> None:
    held = {"made": "forged", "hold": "clamp", "clamp": clamp()} if hold == "clamp" else {}
    made = job("seat", seat=seat(**held), inline_offset_mm=150.0 if held else 110.0)
    assert [f.verdict for f in of_tube(made, "walls of the rail not judged")] == found
    assert len(of_tube(made, "tube wall under its welds")) == len(found)


def test_a_tube_that_no_rule_covers_says_so_among_the_first() -> None:
    made = job("seat", seat=seat(across_mm=155.0), inline_offset_mm=150.0, wall_mm=3.0)
    (untold,) = of_tube(made, "walls of the rail not judged")
    assert (untold.verdict, math.isinf(untold.ratio)) == ("caution", True)
    assert str(untold.assumed).endswith("NOT judged")
    assert of_tube(made, "tube wall under its welds") == []


@pytest.mark.parametrize("tube", ["round", "square"])
def test_tabs_tilt_along_the_tube_and_press_on_it_by_hand(tube: Literal["round", "square"]) -> None:
    # EN 1993-1-8 Tables 7.3 and 7.13: the pin stands over the middle of a foot of 200 mm, 110 mm above the tube's axis
    fy, t, across, length, height = 355.0, 8.0, 90.0, 200.0, 110.0
    made = job("seat", seat=seat(tube=tube, across_mm=across), inline_offset_mm=height, thickness_mm=10.0)
    made = made.replaced(rules=(made.rules or Rules()).replaced(skew_rad=0.0))
    work = carry_through(made, ())
    (found,) = of_tube(made, "tube wall under its welds")
    force = 1.5 * max(case.size_n for case in work.design.motion.cases)
    both = 2.0 * near_ear_share(30.0, 10.0, work.bracket.pin.gap_mm)
    along, square = force * math.cos(math.radians(5.0)), force * math.sin(math.radians(5.0))
    outside, inside = across, across - 2.0 * t
    bent = force * height / 2.0 / ((outside**4 - inside**4) / outside) / fy
    if tube == "round":
        foot = work.bracket.welds[0].path.start.imag  # how high the beads lie, 15.5 and 25.5 mm beside the axis
        push, arm = 5.0 * fy * t**2 * (1.0 + 0.25 * length / across), 0.8 * length
        left = 1.0 - 0.3 * bent * 32.0 / math.pi * (1.0 + bent * 32.0 / math.pi)
        turned = sum((height - foot) / math.hypot(height - foot, beside) for beside in (15.5, 25.5)) / 2.0
    else:
        foot, left, turned = height - across / 2.0, min(1.0, 1.3 * (1.0 - 6.0 * bent)), 1.0
        wall = rule.face_along(fy, t, across, 10.0, length, en=True, leg_mm=work.bracket.welds[0].leg_mm)
        push, arm = wall.push_n, wall.tilt_nmm(length) / wall.push_n
    share = both * (square + along * foot / arm) / push / left
    assert found.demand == pytest.approx(share * turned, rel=1e-9)


def test_a_thicker_tube_and_less_pressure_use_less_of_it() -> None:
    def used(wall_mm: float, pressure_mpa: float) -> float:
        made = job("seat", seat=seat(across_mm=90.0), inline_offset_mm=110.0, wall_mm=wall_mm)
        made = made.replaced(cylinder=made.cylinder.replaced(pressure_mpa=pressure_mpa))
        (found,) = of_tube(made, "tube wall under its welds")
        return found.demand

    assert used(8.0, 12.0) < 0.5 * used(5.0, 12.0)
    assert used(5.0, 6.0) < 0.5 * used(5.0, 12.0)  # the tube's own bending leaves it more


def test_a_side_push_tilts_tabs_aside_on_a_round_tube() -> None:
    # TUB 2765 p. 23 and the tables before EN 1993-1-8: aside a plate takes 0.5 t1 N, so that much more is used at least
    straight, skewed = (
        of_tube(made.replaced(rules=(made.rules or Rules()).replaced(skew_rad=skew)), "tube wall under its welds")[0]
        for made in [job("seat", seat=seat(across_mm=90.0), inline_offset_mm=110.0, wall_mm=6.0)]
        for skew in (0.0, 0.1)
    )
    assert skewed.demand > 2.0 * straight.demand
