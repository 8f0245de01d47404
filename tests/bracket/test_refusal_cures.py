"""A refusal that knows a cure knows one that cures: with its key changed, that refusal is not met again."""

from typing import Any

import pytest

from plategen.ground.cure import Change
from plategen.ground.message import Quantity
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.cylinder import CylinderEnd
from plategen.job.quantities import Table
from plategen.job.schema import fields
from plategen.job.style_tables import Closing
from tests.support.brackets import corner_job, flat_rail
from tests.support.designs import built
from tests.support.refused import outcome
from tests.support.style_jobs import job, pad, seat


def _set(table: Any, path: list[str], to: object) -> Any:
    """A table with one key, or a key of a table within, set."""
    name = next(field.name for field in fields(type(table)) if field.key == path[0])
    inner = _set(getattr(table, name), path[1:], to) if path[1:] else to
    assert isinstance(table, Table)
    return table.replaced(**{name: inner})


def _cured(wanted: Job, change: Change) -> Job:
    to = change.to
    values = tuple(q.value for q in to) if isinstance(to, tuple) else to.value if isinstance(to, Quantity) else to
    cured: Job = _set(wanted, change.key.split("."), values)
    return cured


def _fork() -> Job:
    wanted = corner_job(False)
    fork = CylinderEnd(kind="fork", pin_mm=40.0, eye_width_mm=12.5, fork_width_mm=50.0, eye_radius_mm=42.0)
    return wanted.replaced(cylinder=wanted.cylinder.replaced(base=fork))


def _tab(tab_mm: float) -> Job:
    closing = Closing(back=True, joint="slots", tab_mm=tab_mm, thickness_mm=8.0, leg_mm=5.0)
    return corner_job(False, 60.0).replaced(closing=closing)


def _off_trace() -> Job:
    wanted = corner_job(False)
    return wanted.replaced(mount=wanted.mount.replaced(foot_mm=(-100.0, 430.0)))


def _pad(width_mm: float, **table: Any) -> Job:
    return job("seat", seat=seat(pad=pad(width_mm=width_mm), **table))


def _beyond(plane_mm: float) -> Job:
    wanted = corner_job(False)
    return wanted.replaced(bracket=wanted.bracket.replaced(plane_mm=plane_mm))


CASES = {
    "ears before the first traced plane": _beyond(-20.0),
    "ears beyond the last traced plane": _beyond(100.3),
    "a plate too thick for its fork": _fork(),
    "a tab that is all shoulders": _tab(4.0),
    "a tab too long for its side": _tab(400.0),
    "a foot beyond what was read": _off_trace(),
    "a pad that wraps too far": _pad(200.0),
    "a pad too narrow": _pad(20.0),
    "a flat pad too wide": _pad(79.0, tube="square", corner_mm=6.0),
    "a flat pad too narrow": _pad(12.0, tube="square", corner_mm=2.0),
}


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("name", CASES)
def test_the_cure_cures(name: str, units: str) -> None:
    wanted = CASES[name].replaced(units=units)
    on = flat_rail(0.0, 0.0) if wanted.rail.trace else None
    with pytest.raises(Refusal) as raised:
        built(wanted, on)
    cure = raised.value.cure
    assert cure is not None
    (change,) = cure.changes
    assert change.key == raised.value.key
    assert cure.advice.quantities == (change.to if isinstance(change.to, tuple) else (change.to,))
    again = outcome(lambda: built(_cured(wanted, change), on))
    assert not isinstance(again, Refusal) or again.message.template != raised.value.message.template


def test_ears_too_far_apart_for_the_traced_planes_are_told_where_to_trace() -> None:
    """Eye 150 mm, play 1 mm each side, ears of 15 mm: the far one reaches 15 + 152 + 15 = 182, and 15 beyond 167."""
    with pytest.raises(Refusal) as raised:
        built(corner_job(False, 150.0), flat_rail(0.0, 0.0))
    assert raised.value.cure is None
    assert str(raised.value) == (
        "bracket.plane: ear far reaches 62.0 mm beyond the traced planes (0.0 mm to 120.0 mm), more than its thickness "
        "of 15.0 mm; a trace at a plane of 167.0 mm or more is right"
    )
