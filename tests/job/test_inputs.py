"""The fingerprint of a job: the units it is written in count where a rule chooses a size in them, and nowhere else."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from plategen.job import Job
from plategen.job.gusset import Gusset
from plategen.job.inputs import fingerprint, input_changes
from plategen.job.load import load_job
from plategen.job.rules import Rules
from plategen.job.style_tables import Closing
from plategen.rail.surface import Rail
from plategen.rail.trace import Trace
from tests.support.brackets import corner_job, corner_rail, flat_rail
from tests.support.designs import built

PROFILES = Path(__file__).parents[2] / "profiles"
GIVEN: dict[str, Any] = {"nose_radius_mm": 50.0, "toe_mm": 25.0, "relief_mm": 16.0}
LEFT_OUT = ["mount.foot_mm", "mount.foot_rise_mm", "bracket.nose_radius_mm", "bracket.toe_mm", "bracket.relief_mm"]


def _job(round_corner: bool, units: str, left_out: str = "") -> Job:
    """A job that gives every size but one, in units of its own; its lengths and tables are the same in either."""
    job = corner_job(round_corner, 80.0)
    job = job.replaced(rules=(job.rules or Rules()).replaced(tables="mm"))
    job = job.replaced(units=units, bracket=job.bracket.replaced(**GIVEN))
    if left_out == "mount.foot_mm":
        return job.replaced(mount=job.mount.replaced(foot_mm=None, foot_rise_mm=None))
    table, _, key = left_out.partition(".")
    return job.replaced(**{table: getattr(job, table).replaced(**{key: None})}) if left_out else job


def _rail(round_corner: bool) -> Rail:
    """A rail traced round its corner, or along one face as a tape and a straightedge read it."""
    if round_corner:
        return corner_rail(3.0, 0.0, 0.0, 0.0)
    rail = flat_rail(0.0, 0.0)
    along = tuple(replace(fitted, trace=replace(fitted.trace, round_corner=False)) for fitted in rail.traces)
    return replace(rail, traces=along)


def _print(job: Job, rail: Rail) -> str:
    return fingerprint(job, [fitted.trace for fitted in rail.traces])


@pytest.mark.parametrize("round_corner", [False, True], ids=["flat", "corner"])
@pytest.mark.parametrize("left_out", ["", *LEFT_OUT])
def test_units_count_just_where_they_change_the_bracket(round_corner: bool, left_out: str) -> None:
    rail = _rail(round_corner)
    inches, metric = (_job(round_corner, units, left_out) for units in ("in", "mm"))
    same_plates = built(inches, rail).plates == built(metric, rail).plates
    assert (_print(inches, rail) == _print(metric, rail)) == same_plates
    assert same_plates or left_out


def test_units_count_where_a_closing_plate_ends_on_a_shop_size() -> None:
    rail = _rail(False)
    for closing in (
        Closing(back=True, back_inset_mm=16.0, thickness_mm=8.0, leg_mm=5.0),
        Closing(bottom=True, bottom_inset_mm=16.0, thickness_mm=8.0, leg_mm=5.0),
    ):
        inches, metric = (_job(False, units).replaced(closing=closing) for units in ("in", "mm"))
        assert built(inches, rail).plates != built(metric, rail).plates
        assert _print(inches, rail) != _print(metric, rail)


def test_a_job_is_the_same_in_other_words() -> None:
    rail = _rail(False)
    job = _job(False, "mm")
    assert _print(job.replaced(title="another name"), rail) == _print(job, rail)
    assert _print(job.replaced(weld=job.weld.replaced(leg_mm=8.5)), rail) != _print(job, rail)


def test_a_mark_counts_and_a_note_does_not() -> None:
    rail, job = _rail(False), _job(False, "mm")
    traces = [fitted.trace for fitted in rail.traces]
    first, *rest = traces[0].readings

    def beside(**given: Any) -> list[Trace]:
        return [replace(traces[0], readings=(replace(first, **given), *rest)), *traces[1:]]

    assert fingerprint(job, beside(note="wet")) == fingerprint(job, traces) != fingerprint(job, beside(mark="bead"))
    assert input_changes((job, traces), (job, beside(note="wet"))) == ()
    assert [str(words) for words in input_changes((job, traces), (job, beside(mark="bead")))] == [
        f"trace at plane {traces[0].plane_mm:.1f} mm: other marks beside its readings"
    ]


def test_what_changed_is_told_in_words() -> None:
    loaded = load_job(PROFILES / "orchard-sprayer-steering")
    job, steering = loaded.job, loaded.job.steering
    assert steering is not None
    lever, bar = steering.lever[0], steering.bar[0]
    ball, at_mm = next(iter(lever.balls.items()))
    moved = lever.replaced(balls={**lever.balls, ball: (at_mm[0] + 10.0, *at_mm[1:])})
    longer = bar.replaced(start_mm=(bar.start_mm[0], bar.start_mm[1], bar.start_mm[2] + 5.0))
    new = job.replaced(
        steering=steering.replaced(lever=(moved, *steering.lever[1:]), bar=(longer, *steering.bar[1:])),
        bracket=job.bracket.replaced(toe_mm=20.0),
    )
    said = [str(words) for words in input_changes((job, loaded.traces), (new, loaded.traces))]
    assert all("→" not in line and "." not in line.split(":")[0] for line in said)
    assert any(
        f", balls, {ball}, forward: was {at_mm[0]:.1f} mm, now {at_mm[0] + 10.0:.1f} mm" in line for line in said
    )
    assert any(line.startswith("steering, bar ") and ", first end, up: was " in line for line in said)
    assert any(line.startswith("bracket, toe: was ") and line.endswith("now 20.0 mm") for line in said)
    assert len(said) == 3
    # a table that is new: its keys that are left out are not told, as an empty name was
    ribbed = job.replaced(gusset=Gusset(thickness_mm=8.0))
    told = [str(words) for words in input_changes((job, loaded.traces), (ribbed, loaded.traces))]
    assert told == ["gusset, thickness: was left out, now 8.0 mm"]


def test_a_bar_that_goes_is_told_by_what_it_had_alone() -> None:
    loaded = load_job(PROFILES / "orchard-sprayer-steering")
    job, steering = loaded.job, loaded.job.steering
    assert steering is not None
    gone = job.replaced(steering=steering.replaced(bar=steering.bar[:-1]))
    said = [str(words) for words in input_changes((job, loaded.traces), (gone, loaded.traces))]
    assert said
    assert not any("was left" in line and "now left" in line for line in said)
