"""Sleeves through a closed section: as long as it is deep between its walls, listed, drawn, and solids."""

import math
from functools import cache

import pytest

from plategen.bracket.sleeve import sleeves
from plategen.checks.hardware import hardware
from plategen.checks.setting import Setting
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.make import Work, carry_through
from plategen.tell.picture.turntable import bodies
from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import loaded_of

BOLTED = "forestry-bolted-channel"


def boxed(**given: float) -> Job:
    """The bolted example on a box section, its bolts right through it."""
    job = loaded_of(BOLTED).job
    assert job.bolted is not None
    table = job.bolted.replaced(**{"depth_mm": 120.0, "sleeve_mm": 32.0, **given})
    return job.replaced(rail=job.rail.replaced(section="box"), bolted=table)


@cache
def work() -> Work:
    return carry_through(boxed(), loaded_of(BOLTED).traces)


def test_each_bolt_has_a_sleeve_from_wall_to_wall() -> None:
    base, wall = work().design.base, work().job.rail.wall_mm
    assert base is not None
    cut = sleeves(work().design)
    assert len(cut) == len(base.bolts)
    for each, bolt in zip(cut, base.bolts, strict=True):
        assert each.length_mm == pytest.approx(120.0 - 2.0 * wall)
        near = each.placement.point(0j, each.length_mm)
        assert math.dist(near, base.placement.point(bolt.at, -bolt.gap_mm - wall)) < 1e-9
    assert not sleeves(carry_through(loaded_of(BOLTED).job, loaded_of(BOLTED).traces).design)


def test_they_are_bought_listed_and_drawn() -> None:
    bought = hardware(Setting(work().design, work().bracket, work().rail), work().findings).sleeves
    assert bought is not None
    assert (bought.count, bought.outside_mm, bought.length_mm) == (4, 32.0, pytest.approx(102.0))
    assert "Sleeves between the rail&#39;s walls" in sheet_html(work())
    assert {f"sleeve {k}" for k in range(1, 5)} <= {body["name"] for body in bodies(work())}
    assert {f"shim {k}" for k in range(1, 5)} <= {body["name"] for body in bodies(work())}


def test_their_solids_are_tubes() -> None:
    pytest.importorskip("cadquery")
    from plategen.solid.bodies import sleeve_bodies
    from plategen.solid.kernel import volume_mm3

    for body in sleeve_bodies(work()):
        assert volume_mm3(body.shape) == pytest.approx(math.pi / 4.0 * (32.0**2 - 18.0**2) * 102.0, rel=1e-9)


def test_nuts_lie_behind_the_backing_plate() -> None:
    behind, n = work().bracket.of_role("backing"), work().design.base.placement.normal  # type: ignore[union-attr]
    assert behind is not None
    outer = sum(a * b for a, b in zip(behind.placement.origin, n, strict=True))
    for body in (body for body in bodies(work()) if body["kind"] == "bolt"):
        lowest = min(sum(a * b for a, b in zip(p, n, strict=True)) for face in body["faces"] for p in face[0])
        assert lowest == pytest.approx(outer - 0.9 * 16.0, abs=1e-6)


def test_a_section_without_room_between_its_walls_is_refused() -> None:
    with pytest.raises(Refusal, match=r"leave no room in a section so deep") as refused:
        boxed(depth_mm=17.0)
    assert refused.value.key == "bolted.depth"
