"""The rod that the cylinder pushes is judged once and by one rule, whoever describes it: the linkage or ``[driven]``.

The numbers of the job are those of the orchard example, whose drag link was judged twice and differently once.
"""

import math
import re
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from plategen.checks.finding import Finding
from plategen.checks.steering import findings
from plategen.job.load import read_text, read_traces
from plategen.job.parse import parse_job, parse_steering
from plategen.make import carry_through
from plategen.steering.alignment import RodBending
from plategen.steering.study import study
from tests.support.orchard import HELD, ROLLING

PROFILE, TEXT = ROLLING, HELD
LINK = re.search(r'diameter = "1 3/4".*\nwall = "1/4"\nyield = "60 ksi"\n', TEXT)
ROD = {"driven rod buckling", "driven rod bending"}


@dataclass(frozen=True)
class DragLink:
    """A drag link as both ways describe it: outside and wall in inches."""

    outside: float
    wall: float

    @property
    def linkage(self) -> str:
        """The example with the link in its linkage alone, of the steel that ``[driven]`` has where it names none."""
        assert LINK is not None
        return TEXT.replace(LINK[0], f'diameter = {self.outside}\nwall = {self.wall}\nyield = "60 ksi"\n')

    @property
    def driven(self) -> str:
        """The table ``[driven]`` with the numbers that the linkage gives."""
        bending = _bending()
        return (
            f"[driven]\ndiameter = {self.outside}\nbore = {self.outside - 2 * self.wall}\n"
            f'length = "{bending.length_mm!r} mm"\narm = "{bending.eccentric_mm!r} mm"\n'
            f'at = "{bending.at_mm!r} mm"\nout_of_line = "{math.degrees(bending.out_of_line_rad)!r} deg"\n'
        )


def _without_steering() -> str:
    text = TEXT[: TEXT.index("[steering]")]
    return text.replace('pin = "study"', 'pin = "here"')


@cache
def _bending() -> RodBending:
    found = study(parse_steering(TEXT)).in_line
    assert found is not None
    assert found.bending is not None
    return found.bending


@cache
def _judged(text: str) -> tuple[Finding, ...]:
    job = parse_job(text)
    traces = read_traces(job, lambda name: read_text(PROFILE / name, 1_000_000, name))
    return tuple(f for f in carry_through(job, traces).findings if f.of.subject == "driven rod")


@pytest.mark.parametrize("rod", [DragLink(1.5, 0.25), DragLink(1.25, 0.25), DragLink(2.0, 0.25)])
def test_one_rod_described_both_ways_is_judged_alike(rod: DragLink) -> None:
    by_linkage, by_table = _judged(rod.linkage), _judged(_without_steering() + rod.driven)
    assert {f.check for f in by_linkage} == {f.check for f in by_table} == ROD
    for one, other in zip(by_linkage, by_table, strict=True):
        assert one.check == other.check
        assert one.demand == pytest.approx(other.demand, rel=1e-9)
        assert one.capacity == pytest.approx(other.capacity, rel=1e-9)
        assert (one.verdict, one.source) == (other.verdict, other.source)


def test_a_rod_that_both_describe_is_judged_once() -> None:
    rod = DragLink(1.5, 0.25)
    both = _judged(rod.linkage.replace("[weld]", f"{rod.driven}[weld]", 1))
    alone = _judged(rod.linkage)
    assert [f.check for f in both if f.check in ROD] == [f.check for f in alone]
    for one, other in zip((f for f in both if f.check in ROD), alone, strict=True):
        assert (one.demand, one.capacity, one.part) == (other.demand, other.capacity, other.part)
    agree = [f for f in both if f.check == "driven rod sizes agree"]
    assert [f.part.names[-1] for f in agree] == ["diameter", "bore", "length", "arm", "at"]
    assert all(f.verdict == "ok" for f in agree)


def test_sizes_that_disagree_are_a_finding_that_names_the_key() -> None:
    rod, other = DragLink(1.5, 0.25), DragLink(2.0, 0.25)
    both = _judged(rod.linkage.replace("[weld]", f"{other.driven}[weld]", 1))
    stopped = {f.part.names[-1]: f for f in both if f.check == "driven rod sizes agree" and f.verdict == "stop"}
    assert set(stopped) == {"diameter", "bore"}
    assert all(f.demand == pytest.approx(0.5 * 25.4) for f in stopped.values())
    cure = stopped["diameter"].cure
    assert cure is not None
    assert [change.key for change in cure.changes] == ["driven.diameter"]
    # the linkage's size is judged
    (bent,) = (f for f in both if f.check == "driven rod bending")
    (alone,) = (f for f in _judged(rod.linkage) if f.check == "driven rod bending")
    assert bent.demand == alone.demand


def test_each_way_fills_in_what_the_other_leaves_out() -> None:
    assert LINK is not None
    rod = DragLink(1.5, 0.25)
    unsized = TEXT.replace(LINK[0], "")
    assert _judged(unsized) == ()
    filled = _judged(unsized.replace("[weld]", f"{rod.driven}[weld]", 1))
    known = _judged(rod.linkage)
    for check in ROD:
        one, other = (next(f for f in found if f.check == check) for found in (filled, known))
        assert one.demand == pytest.approx(other.demand, rel=1e-9)
        assert one.capacity == pytest.approx(other.capacity, rel=1e-9)


def test_the_study_alone_says_the_same_as_the_judge() -> None:
    # with the job's own rules, which the study is not to miss
    text = DragLink(1.5, 0.25).linkage.replace("[weld]", "[rules]\nshock_factor = 1.2\n[weld]", 1)
    alone = [f for f in findings(study(parse_steering(text))) if f.of.subject == "driven rod"]
    for one, other in zip(alone, _judged(text), strict=True):
        assert (one.check, one.part, one.verdict) == (other.check, other.part, other.verdict)
        assert one.demand == pytest.approx(other.demand, rel=1e-12)
        assert one.capacity == other.capacity


def test_bending_by_hand() -> None:
    # 1 1/2 x 1/4 in, 42 x 2 x 4 in between balls: a beam on two supports under axial force, moments added
    (bent,) = (f for f in _judged(DragLink(1.5, 0.25).linkage) if f.check == "driven rod bending")
    force = 1.5 * (1200 * 6.894757e-3) * math.pi * 38.1**2 / 4
    length = math.sqrt(42.0**2 + 2.0**2 + 4.0**2) * 25.4
    bending = _bending()
    a = bending.at_mm
    moment = force * (
        math.sin(bending.out_of_line_rad) * a * (length - a) / length + bending.eccentric_mm * (length - a) / length
    )
    area, inertia = math.pi / 4 * (38.1**2 - 25.4**2), math.pi / 64 * (38.1**4 - 25.4**4)
    euler = math.pi**2 * 200_000.0 * inertia / length**2
    by_hand = force / area + moment * 38.1 / 2 / inertia / (1 - force / euler)
    assert bent.demand == pytest.approx(by_hand, rel=1e-6)


def test_the_example_holds_and_the_link_it_had_does_not() -> None:
    def verdicts(text: str) -> dict[str, str]:
        return {f.check: f.verdict for f in _judged(text)}

    assert verdicts(TEXT) == dict.fromkeys(ROD, "ok")
    assert verdicts(TEXT.replace('diameter = "1 3/4"', 'diameter = "1 1/2"'))["driven rod bending"] == "stop"


def test_a_thicker_rod_cures_the_linkage_it_stands_in() -> None:
    text = TEXT.replace('diameter = "1 3/4"', 'diameter = "1 1/4"')
    (bent,) = (f for f in _judged(text) if f.check == "driven rod bending")
    assert bent.cure is not None
    (change,) = bent.cure.changes
    assert change.key == "steering.rod[0].diameter"


TIE = 'to = "right spindle.tie"'


def test_a_tie_rod_buckles_under_the_push_that_the_far_wheel_resists() -> None:
    # statics at straight ahead, no figure of the sweep: the drag link turns the left spindle about its kingpin, and
    # the tie rod, 1 in solid, 50 1/4 in between balls, holds it alone
    sized = TEXT.replace(TIE, f'{TIE}\ndiameter = 1\nyield = "60 ksi"', 1)
    job = parse_job(sized)
    traces = read_traces(job, lambda name: read_text(PROFILE / name, 1_000_000, name))
    (tie,) = (f for f in carry_through(job, traces).findings if f.check == "rod of the linkage buckling")
    inertia, length = math.pi / 64 * 25.4**4, 50.25 * 25.4
    assert tie.capacity == pytest.approx(math.pi**2 * 200_000.0 * inertia / length**2, rel=1e-6)
    push = 1200 * 6.894757e-3 * math.pi * 38.1**2 / 4
    pivot, axis = np.array([0.0, 27.0, 15.0]), np.array([-0.07, -0.14, 1.0])
    drag, tied = np.array([0.0, 20.5, 16.0]), np.array([-7.0, 25.125, 14.0])
    box, across = np.array([-42.0, 18.5, 20.0]) - drag, np.array([0.0, -1.0, 0.0])
    cylinder = np.array([-36.0, 21.75, 19.4375]) - np.array([-55.0, 20.75, 21.25])
    turns = [abs(axis @ np.cross(at - pivot, way / np.linalg.norm(way))) for at, way in ((drag, box), (tied, across))]
    along = abs(cylinder @ box) / np.linalg.norm(cylinder) / np.linalg.norm(box)
    straight = 3.5 * push * along * turns[0] / turns[1]
    assert straight < tie.demand < 1.6 * straight  # worse towards the lock, where the tie rod's arm is shorter


def test_a_thicker_tie_rod_is_never_used_more() -> None:
    used = []
    for inches in (0.75, 1.0, 1.25):
        found = study(parse_steering(TEXT.replace(TIE, f'{TIE}\ndiameter = {inches}\nyield = "60 ksi"', 1)))
        used += [f.ratio for f in findings(found) if f.check == "rod of the linkage buckling"]
    assert used == sorted(used, reverse=True)
