"""Gap and bind to expect, held by the pin and pushed home, on rails whose doubt is known in closed form."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import linprog

from plategen.bracket.fitted_edge import Root, fitted_edge
from plategen.bracket.meeting import Meeting, as_drawn, held, motions, pressing, pushed_home
from plategen.bracket.notch import Notch, fit_notch
from plategen.checks.fit_up import Clear
from plategen.design.foot import Foot
from plategen.flat.chain import Chain
from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.rail.doubt import blocks_of, doubt
from plategen.rail.draws import Block, drawn, normal
from plategen.rail.fit import fit_trace
from plategen.rail.spread import WAVE_MM
from plategen.rail.surface import Rail
from tests.checks.edited import Edited
from tests.rail.fit_rails import STEP_MM, trace_of
from tests.support.corners import corner_profile, exact, exact_rail

FLAT = Chain((Line(0j, 300 + 0j),))
WAY = np.array([1j])


def on_flat(
    modes: Sequence[Sequence[float]], freedom: float = math.inf, gap: Sequence[float] = (0.0, 0.0, 0.0)
) -> Meeting:
    """A straight edge at both ends and its middle."""
    points = np.array([0.0, 150.0, 300.0], dtype=complex)
    return Meeting(
        gap_mm=np.array(gap),
        modes_mm=np.array(modes),
        blocks=(Block(len(modes[0]), freedom),),
        closer=motions(points, np.full(3, 1j), WAY),
        press=pressing((FLAT,), WAY),
        ways=WAY,
    )


@pytest.mark.parametrize(
    ("freedom", "one_sided", "both_sides"), [(math.inf, 1.645, 1.960), (10.0, 1.812, 2.228), (6.0, 1.943, 2.447)]
)
def test_a_rail_off_as_a_whole_gaps_and_binds_by_students_table(
    freedom: float, one_sided: float, both_sides: float
) -> None:
    """Percentage points of t for 95 %: any handbook's table, as in the NIST/SEMATECH e-Handbook, 1.3.6.7.2."""
    meeting = on_flat([[0.4], [0.4], [0.4]], freedom)
    assert held(meeting) == pytest.approx((0.4 * one_sided, 0.4 * one_sided), rel=0.04)
    home = pushed_home(meeting, 150 - 60j)
    assert home.gap_mm == pytest.approx(0.0, abs=1e-9)
    assert home.pin_off_mm == pytest.approx(0.4 * both_sides, rel=0.04)


def test_a_rail_that_leans_turns_the_plate_and_with_it_the_pin() -> None:
    meeting = on_flat([[-0.3], [0.0], [0.3]])
    assert held(meeting) == pytest.approx((0.3 * 1.96, 0.3 * 1.96), rel=0.04)
    home = pushed_home(meeting, 150 - 75j)
    assert home.gap_mm == pytest.approx(0.0, abs=1e-9)
    assert home.pin_off_mm == pytest.approx(75 * 0.3 / 150 * 1.96, rel=0.04)


@pytest.mark.parametrize(
    ("chances", "off_mm", "gap", "bind"),
    [
        ((0.04,), (3.0,), 0.0, 0.0),  # what is so in four of a hundred is not in 95 of them
        ((0.06,), (3.0,), 3.0, 0.0),
        ((0.06, 0.9), (3.0, -2.0), 3.0, 2.0),
        ((0.03, 0.03), (3.0, 1.0), 1.0, 0.0),
    ],
)
def test_another_shape_is_right_with_its_chance_or_not_at_all(
    chances: tuple[float, ...], off_mm: tuple[float, ...], gap: float, bind: float
) -> None:
    """Of 100 rails so many lie off by all of the distance, and no rail lies where two other shapes put it."""
    modes = [[off * math.sqrt(chance) for off, chance in zip(off_mm, chances, strict=True)]] * 3
    meeting = replace(on_flat(modes), blocks=(Block(0, math.inf, chances),))
    assert held(meeting) == pytest.approx((gap, bind), abs=1e-9)
    assert (drawn(meeting.blocks) ** 2).mean(axis=1) == pytest.approx(np.ones(len(chances)), rel=0.02)


def test_a_rail_proud_in_the_middle_rocks_the_plate_onto_one_end() -> None:
    meeting = on_flat([[0.0], [0.0], [0.0]], gap=(1.0, 0.0, 1.0))
    home = pushed_home(meeting, 150 - 60j)
    # it touches in the middle, and the hair's breadth that it is pressed beside it tips it until an end touches too
    assert home.gap_mm == pytest.approx(2.0, abs=1e-6)
    assert home.pin_off_mm == pytest.approx(60 * 1.0 / 150, abs=1e-6)


def test_pushed_home_is_what_a_linear_programme_says() -> None:
    """SciPy's, on every rail drawn, for a straight foot and for one round a corner."""
    rng = np.random.default_rng(9)
    for ways in (WAY, np.array([1.0, 1j])):
        points = np.concatenate([np.linspace(0, 200, 6) + 0j, 200 + 1j * np.linspace(0, 120, 5)])
        away = np.array([1j] * 6 + [-1.0] * 5)
        if len(ways) == 1:
            points, away = points[:6], away[:6]
        legs = [Chain((Line(complex(points[0]), 200 + 0j),)), Chain((Line(200 + 0j, 200 + 120j),))][: len(ways)]
        modes, gap = rng.normal(0.0, 0.4, (len(points), 4)), rng.uniform(0.0, 0.5, len(points))
        closer, press, blocks = motions(points, away, ways), pressing(legs, ways), (Block(3, 9.0, (0.2,)),)
        meeting = Meeting(gap_mm=gap, modes_mm=modes, blocks=blocks, closer=closer, press=press, ways=ways)
        true = (gap[:, None] + modes @ drawn(blocks)).T
        found = [linprog(-press, closer, each, bounds=(None, None)).x for each in true]
        left = [float((each - closer @ m).max()) for each, m in zip(true, found, strict=True)]
        off = [abs(m[:-1] @ ways + 1j * m[-1] * (100 - 50j)) for m in found]
        home = pushed_home(meeting, 100 - 50j)
        assert home.gap_mm == pytest.approx(np.quantile(left, 0.95), abs=1e-6)
        assert home.pin_off_mm == pytest.approx(np.quantile(off, 0.95), abs=1e-6)


def unwaved(notch: Notch) -> Meeting:
    """How a notch meets a rail that is known exactly, its waves too."""
    return replace(notch.fit.meeting, modes_mm=np.zeros_like(notch.fit.meeting.modes_mm))


def test_what_stands_clear_of_a_known_rail_by_a_root_gap_goes_home_by_it() -> None:
    rail = exact_rail([(0.0, corner_profile(200, 120, math.pi / 2, 0.0))], 0.0)
    along = unwaved(fit_notch(rail, (-5.0, 5.0), (-180.0, -40.0), 1.0))
    assert held(along) == pytest.approx((1.0, 0.0), abs=1e-6)
    assert pushed_home(along, -110 - 50j).pin_off_mm == pytest.approx(1.0, abs=1e-4)
    home = pushed_home(unwaved(fit_notch(rail, (-5.0, 5.0), Foot(-150.0, None, 90.0), 1.0, 10.0)), -80 - 60j)
    assert (home.gap_mm, home.pin_off_mm) == pytest.approx((0.0, math.sqrt(2.0)), abs=1e-4)
    assert pushed_home(as_drawn((FLAT,), (0.0, 3.0)), None).pin_off_mm is None


@pytest.mark.parametrize("turn_deg", [75.0, 90.0, 105.0])
def test_a_face_that_leans_over_the_other_is_no_gap_of_that_ones(turn_deg: float) -> None:
    """Past a relief each leg meets its own face alone, also where the rail's corner is sharper than square."""
    rail = exact_rail([(0.0, corner_profile(200, 120, math.radians(turn_deg), 0.0))], 0.0)
    notch = fit_notch(rail, (-5.0, 5.0), Foot(-150.0, None, 90.0), 1.0, 10.0)
    assert len(notch.parts) == 2
    assert held(unwaved(notch)) == pytest.approx((1.0, 0.0), abs=1e-6)


def test_between_two_traces_the_doubt_is_less_than_at_either_and_grows_beyond() -> None:
    rng = np.random.default_rng(3)
    x = np.arange(25) * STEP_MM
    trace = trace_of(x + 1j * np.round(rng.normal(40.0, 0.5, 25), 2), read_error_mm=0.5)
    below, above = (fit_trace(replace(trace, plane_mm=w)) for w in (-30.0, 30.0))
    rail = Rail(traces=(below, above), inline_offset_mm=0.0)
    at = np.array([150 + 40j])
    waves = blocks_of(rail)[-1].modes
    error = [float(np.linalg.norm(doubt(rail, [(w, at)]).modes_mm[:, :-waves])) for w in (-30.0, 0.0, 30.0, 60.0)]
    assert error[1] == pytest.approx(error[0] / math.sqrt(2.0), rel=1e-6)
    assert error[2] == pytest.approx(error[0], rel=1e-6)
    assert error[3] == pytest.approx(error[0] * math.hypot(0.5, 1.5), rel=1e-6)


def test_the_numbers_drawn_are_normal_and_go_with_each_other_in_nothing() -> None:
    drawn = normal(12)
    assert np.abs(drawn.mean(axis=1)).max() < 0.08
    assert np.abs(drawn.std(axis=1) - 1.0).max() < 0.05
    assert np.abs(np.corrcoef(drawn) - np.eye(12)).max() < 0.08
    assert (drawn[:3] == normal(3)).all()


@pytest.mark.parametrize(
    ("clear", "words"),
    [
        (Clear(0.8, 1.5, 6.0), "a gap may then be up to 1.5 mm, which the leg bridges as it is"),
        (Clear(1.0, 2.4, 8.4), "a gap may then be up to 2.4 mm, and there the leg grows from 6.0 mm to 8.4 mm"),
        (Clear(2.0, 5.5, 11.5), "but a gap may then be up to 5.5 mm, more than a fillet bridges: read more"),
    ],
)
def test_the_price_of_standing_clear_is_told_in_weld(clear: Clear, words: str) -> None:
    """AWS D1.1 5.21.1 (7.21 from 2020): up to 1/16 in as it is, from there the leg grows by the gap, to 3/16 in."""
    assert Show("mm").text(clear.words(6.0)).endswith(words)


def test_a_plate_along_the_pin_gaps_and_binds_as_the_rail_is_off() -> None:
    """Known to 0.4 mm as a whole, one standard deviation: 1.645 of it either way, held in its place."""
    section = corner_profile(300, 120, math.pi / 2, 0.0)
    rail = Rail(traces=(exact(section, -40.0, 0.4), exact(section, 40.0, 0.4)), inline_offset_mm=0.0)
    edge = fitted_edge(rail, Root(-150 + 0j, 1 + 0j, 1, 0.0), 25.0, 10.0, 0.5)
    at_middle, at_end = 0.4 / math.sqrt(2.0), 0.4 * math.hypot(65 / 80, 15 / 80)
    fit = edge.fit()
    gap, bind = fit.expected_gap_mm, fit.expected_bind_mm
    assert 0.5 + 1.645 * at_middle < gap < 0.5 + 2.0 * math.hypot(at_end, WAVE_MM)
    assert gap - 0.5 == pytest.approx(bind + 0.5, rel=0.05)
    assert pushed_home(fit.meeting, None).gap_mm < 0.1


def test_cutting_it_clear_as_the_cure_says_cures_the_bind() -> None:
    job = Edited("quarry-straight-rail", (('file = "rail.csv"', 'file = "rail.csv"\nread_error = 1.5'),))
    bound = [f for f in job.findings() if f.check == "bind to expect"]
    assert {f.verdict for f in bound} == {"caution"}
    assert bound[0].cure is not None
    assert [c.key for c in bound[0].cure.changes] == ["bracket.root_gap"]
    cut = [f for f in job.findings(bound[0].cure.changes) if f.check == "bind to expect"]
    assert {f.verdict for f in cut} == {"ok"}
    assert all(f.demand < 1e-6 for f in cut)


def test_a_face_with_few_places_among_many_holds_the_plate_all_the_same() -> None:
    # once a traceback, where a bead's many places on the one face hid the other from the choice
    under, side = np.linspace(20.0, 120.0, 600) + 0j, 120.0 + 1j * np.linspace(63.1, 65.9, 4)
    points, away = np.append(under, side), np.append(np.full(600, 1j), np.full(4, -1.0 + 0j))
    ways = np.array([1.0, 1j])
    meeting = Meeting(
        gap_mm=np.append(np.full(600, 0.5), np.full(4, 1.0)),
        modes_mm=np.zeros((604, 0)),
        blocks=(),
        closer=motions(points, away, ways),
        press=pressing((Chain((Line(20 + 0j, 120 + 0j),)), Chain((Line(120 + 63j, 120 + 66j),))), ways),
        ways=ways,
    )
    home = pushed_home(meeting, 70 - 60j)
    assert home.gap_mm == pytest.approx(0.0, abs=1e-6)
    assert home.pin_off_mm == pytest.approx(math.hypot(0.5, 1.0), abs=1e-6)
