"""The rail's wall on the bench: demands by hand, what is not told, and what is told at the edge."""

import math

import pytest

from plategen.checks.finding import Finding
from plategen.design.motion import push_n
from plategen.ground.refusal import Refusal
from plategen.job.rail import RailEntry
from plategen.make import carry_through
from plategen.rules import wall_bending as rule
from plategen.rules.material import steel
from plategen.rules.pin_plate import near_ear_share
from tests.checks.bench import Bench
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


@pytest.mark.parametrize(("hold", "found"), [("weld", ["caution"]), ("clamp", [])])
def test_a_tube_that_is_welded_to_says_that_its_wall_is_not_judged(hold: str, found: list[str]) -> None:
    held = {"made": "forged", "hold": "clamp", "clamp": clamp()} if hold == "clamp" else {}
    made = job("seat", seat=seat(**held), inline_offset_mm=150.0 if held else 110.0)
    verdicts = [f.verdict for f in carry_through(made, ()).findings if f.check == "walls of the rail not judged"]
    assert verdicts == found
