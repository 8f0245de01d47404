"""Costs by the shop's own rates, against sums by hand; what has no rate is named, and without rates nothing is."""

import math

import pytest

from plategen.cost import cost_of
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.inputs import fingerprint
from plategen.job.parse import parse_table
from plategen.job.shop import Shop
from plategen.make import carry_through
from plategen.revision.compare import compare
from plategen.tell.report.job import job_report
from plategen.tell.revision import comparison_lines
from plategen.tell.sheet.sheet import sheet_html
from plategen.tell.vary_table import head, plain_head, plain_row, row, variants_report
from plategen.vary import judged, read_axes, sweep_of
from plategen.work import Work
from tests.support.every_example import loaded_of, work_of

EXAMPLE = "quarry-straight-rail"
RATES = {"money": "$", "steel": "1.20/lb", "cut": "0.15/in", "pierce": 1.5, "weld": "9/ft", "hour": 84, "hours": 2}


def priced(**table: object) -> Work:
    """The example as a shop with these rates would price it."""
    loaded = loaded_of(EXAMPLE)
    return carry_through(loaded.job.replaced(shop=parse_table(Shop, table, "in")), loaded.traces)


def amounts(work: Work) -> dict[str, float]:
    cost = cost_of(work)
    assert cost is not None
    return {item.part: item.amount for item in cost.items}


def test_every_part_of_a_cost_is_the_sum_that_one_makes_by_hand() -> None:
    work = priced(**RATES)
    found = amounts(work)
    report = job_report(work)
    # 7850 kg/m3; a pound is 0.45359237 kg, a foot 304.8 mm, both exact
    rectangles_kg = sum(p.width_mm * p.height_mm * p.thickness_mm * p.count for p in report.plates) * 7.85e-6
    assert found["steel"] == pytest.approx(1.20 * rectangles_kg / 0.45359237, rel=1e-9)
    cut_in = sum(p.cut_length_mm * p.count for p in report.plates) / 25.4
    assert found["cutting"] == pytest.approx(0.15 * cut_in + 1.5 * 4, rel=1e-9)  # two outlines and two pin holes
    assert found["welding"] == pytest.approx(9.0 * report.weld_length_mm / 304.8, rel=1e-9)
    assert found["other hours"] == pytest.approx(168.0)
    cost = cost_of(work)
    assert cost is not None
    assert cost.total == pytest.approx(math.fsum(found.values()))
    assert cost.left_out == ()


def test_what_has_no_price_by_length_is_counted_by_its_time() -> None:
    work = priced(hour=60)  # one a minute
    found = amounts(work)
    assert found["welding"] == pytest.approx(sum(run.minutes for run in job_report(work).welds))
    # 12 mm by plasma, the table's own feed and pierce time
    feed_mm_per_min, pierce_s = 1200.0, 0.9
    cut = sum(p.cut_length_mm for p in job_report(work).plates)
    assert found["cutting"] == pytest.approx(cut / feed_mm_per_min + 4 * pierce_s / 60.0)
    assert cost_of(work).left_out == ("steel",)  # type: ignore[union-attr]


def test_what_has_no_rate_is_named_wherever_the_cost_is_told() -> None:
    work = priced(steel="2.60/kg")
    assert cost_of(work).left_out == ("cutting", "welding")  # type: ignore[union-attr]
    assert job_report(work).cost.left_out == ("cutting", "welding")  # type: ignore[union-attr]
    assert "not counted, as it has no rate: cutting, welding" in sheet_html(work)


def test_a_price_by_the_pound_is_that_by_the_kilogram() -> None:
    by_pound, by_kilogram = (amounts(priced(steel=price))["steel"] for price in ("1.20/lb", "2.6455471462/kg"))
    assert by_pound == pytest.approx(by_kilogram, rel=1e-9)
    loaded = loaded_of(EXAMPLE)
    bare = [parse_table(Shop, {"steel": 2, "cut": 3}, units) for units in ("in", "mm")]
    assert bare[0].steel_per_kg == pytest.approx(2 / 0.45359237)
    assert bare[0].cut_per_mm == pytest.approx(3 / 25.4)
    assert (bare[1].steel_per_kg, bare[1].cut_per_mm) == (2.0, 0.003)
    assert loaded.job.shop is not None


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ({"steel": "3 lb"}, "write for example 1.20/lb or 2.60/kg"),
        ({"steel": "-3/lb"}, "it must be 0 or more"),
        ({"cut": "2 per"}, "write for example 0.15/in, 1.80/ft or 6/m"),
        ({"hours": 2}, "give `hour`"),
        ({"pierce": 1}, "`cut` or `hour` beside it is right"),
        ({"stock": [{"name": " ", "steel": "A36", "thickness": 1, "length": 9, "width": 9}]}, "calls the piece"),
        ({"stock": [{"name": "a", "steel": "A36", "thickness": 1, "length": 9, "width": 9, "count": 0}]}, "1 to 99"),
        (
            {"stock": [{"name": "a", "steel": "A36", "thickness": 1, "length": 9, "width": 9}] * 2},
            "two pieces",
        ),
        ({"stock": [{"name": "a", "steel": "A36", "thickness": 1, "length": 9, "width": "1/2"}]}, "half its width"),
    ],
)
def test_rates_that_make_no_sense_are_refused(table: dict[str, object], words: str) -> None:
    with pytest.raises(Refusal) as refused:
        parse_table(Shop, table, "in")
    assert words in Show("in").text(refused.value.message)


def test_without_rates_nothing_is_priced() -> None:
    loaded = loaded_of(EXAMPLE)
    work = carry_through(loaded.job.replaced(shop=None), loaded.traces)
    assert cost_of(work) is None
    assert job_report(work).cost is None
    assert "by the shop's own rates" not in sheet_html(work)
    sweep = sweep_of(work.job, work.traces, read_axes(work.job, ["weld.leg=5:6:1"]))
    assert "cost" not in (*head(sweep), *plain_head(sweep))
    assert variants_report(sweep, tuple(judged(sweep, range(2)))).variants[0].cost is None
    assert compare(work, work).costs is None


def test_rates_and_rack_are_no_revision() -> None:
    loaded = loaded_of(EXAMPLE)
    bare = loaded.job.replaced(shop=None)
    assert fingerprint(loaded.job, loaded.traces) == fingerprint(bare, loaded.traces)


def test_variants_tell_what_they_cost() -> None:
    work = priced(**RATES)
    sweep = sweep_of(work.job, work.traces, read_axes(work.job, ["bracket.thickness=10:14:2"]))
    variants = tuple(judged(sweep, range(3)))
    costs = [variant.cost for variant in variants]
    assert costs[1] == pytest.approx(cost_of(work).total)  # type: ignore[union-attr]
    assert costs == sorted(costs)  # type: ignore[type-var]  # more steel costs more
    at = head(sweep).index("cost")
    assert row(sweep, variants[1])[at] == f"${costs[1]:,.2f}"
    assert len(row(sweep, variants[0])) == len(head(sweep))
    assert plain_row(sweep, variants[1])[plain_head(sweep).index("cost")] == f"{costs[1]:.2f}"


def test_a_revision_tells_what_the_change_costs() -> None:
    """Other legs on the same plates: nothing is cut, all is built up; the plates' own price does not come in."""
    work = priced(**RATES)
    thicker = carry_through(work.job.replaced(weld=work.job.weld.replaced(leg_mm=8.0)), work.traces)
    change = compare(work, thicker)
    assert change.costs is not None
    was, now, doing = change.costs
    assert (was.total, now.total) == (cost_of(work).total, cost_of(thicker).total)  # type: ignore[union-attr]
    assert {item.part for item in doing.items} == {"welding"}
    laid_mm = sum(run.laid_mm for run in change.runs)
    assert doing.total == pytest.approx(9.0 * laid_mm / 304.8)
    lines = comparison_lines(change, Show("mm"))
    assert any(line.startswith("  this change: $") for line in lines)


def test_a_revision_counts_plates_that_are_cut_again_and_what_is_ground_out() -> None:
    work = priced(**RATES)
    moved = work.job.replaced(mount=work.job.mount.replaced(pin_station_mm=work.job.mount.pin_station_mm + 20.0))
    change = compare(work, carry_through(moved, work.traces))
    assert {plate.kind for plate in change.plates} == {"cut again"}
    assert change.costs is not None
    _, now, doing = change.costs
    parts = {item.part: item.amount for item in doing.items}
    whole = {item.part: item.amount for item in now.items}
    assert (parts["steel"], parts["cutting"]) == (whole["steel"], whole["cutting"])
    grinding = sum(run.grinding_minutes for run in change.runs)
    assert grinding > 0.0
    assert parts["grinding"] == pytest.approx(grinding / 60.0 * 84.0)


def test_a_plate_beyond_the_table_of_feeds_is_named_and_not_guessed() -> None:
    loaded = loaded_of(EXAMPLE)
    job = loaded.job.replaced(
        shop=parse_table(Shop, {"hour": 60}, "mm"), bracket=loaded.job.bracket.replaced(thickness_mm=36.0)
    )
    work = carry_through(job, loaded.traces)
    assert "cutting" in cost_of(work).left_out  # type: ignore[union-attr]


def test_the_example_is_priced() -> None:
    work = work_of(EXAMPLE)
    assert cost_of(work) is not None
