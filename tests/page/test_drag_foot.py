"""Dragging the end of a foot that goes round the rail's corner says its one station, and nothing of the side."""

from types import SimpleNamespace
from typing import Any

import pytest

from plategen.make import on_rail
from plategen.page.handles import dragged, feet
from plategen.page.request import Drag, Set
from tests.support.brackets import INLINE_MM, corner_job, corner_rail, flat_rail
from tests.support.corners import exact_rail, turned_over


def _dragged(work: Any, end: int, u: float) -> list[Any]:
    return list(dragged(Drag(what=f"foot {end}", u=u, v=0.0), SimpleNamespace(), SimpleNamespace(work=work)))  # type: ignore[arg-type]


@pytest.mark.parametrize("left_out", [False, True])
@pytest.mark.parametrize("over", [False, True])
def test_round_a_corner(over: bool, left_out: bool) -> None:
    rail, job = corner_rail(8.0, 0.0, 0.0, 0.0), corner_job(True)
    mount = job.mount
    if over:
        chain = turned_over(rail.traces[0].chain).moved(shift=600.0)
        rail = exact_rail(((0.0, chain),), INLINE_MM)
        mount = mount.replaced(foot_mm=(490.0,), pin_station_mm=260.0)
    if left_out:
        mount = mount.replaced(foot_mm=None, foot_rise_mm=None)
    work = on_rail(job.replaced(mount=mount), rail)
    under = 1 if over else 0
    assert len(feet(work)) == 2
    assert _dragged(work, under, 150.0) == [Set("mount.foot[0]", "150")]
    assert _dragged(work, 1 - under, 150.0) == []


def test_along_one_face_both_ends_are_stations() -> None:
    job = corner_job(False)
    work = on_rail(job, flat_rail(0.0, 0.0))
    assert _dragged(work, 1, 380.0) == [Set("mount.foot[1]", "380")]
