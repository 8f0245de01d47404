"""Which single part's loss takes the steering: read off the linkage as a tree, by hand for the examples."""

from pathlib import Path

from plategen.checks.loss import cut_off, losses
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.tell.report.job import job_report

PROFILES = Path(__file__).parents[2] / "profiles"


def _takes(profile: str) -> dict[str, str]:
    loaded = load_job(PROFILES / profile)
    work = carry_through(loaded.job, loaded.traces)
    return {loss.part: loss.takes for loss in losses(work.design, work.bracket)}


def test_without_the_drag_link_both_wheels_are_free_and_without_the_tie_rod_one() -> None:
    up = (0.0, 0.0, 1.0)
    levers = (
        Lever("arm", (0.0, 0.0, 0.0), up, {"drag": (0.0, 10.0, 0.0)}),
        Lever("left", (30.0, 0.0, 0.0), up, {"drag": (30.0, 10.0, 0.0), "tie": (28.0, 5.0, 0.0)}, wheel="left"),
        Lever("right", (30.0, -50.0, 0.0), up, {"tie": (28.0, -45.0, 0.0)}, wheel="right"),
        Lever("gauge", (0.0, 40.0, 0.0), up, {"end": (5.0, 40.0, 0.0)}),
    )
    rods = (
        Rod("drag link", ("arm", "drag"), ("left", "drag")),
        Rod("tie rod", ("right", "tie"), ("left", "tie")),
        Rod("gauge rod", ("arm", "drag"), ("gauge", "end")),
    )
    linkage = Linkage(levers, rods)
    assert cut_off(linkage, "arm", "drag link") == ("left", "right")
    assert cut_off(linkage, "arm", "tie rod") == ("right",)
    assert cut_off(linkage, "arm", "gauge rod") == ()


def test_a_steering_with_a_box_loses_only_its_assist_with_the_bracket() -> None:
    takes = _takes("orchard-sprayer-steering")
    assert takes["drag link"] == takes["tie rod"] == "the steering"
    assert takes["the cylinder's pin, or what keeps it in"] == "the assist"
    assert takes["a hose, the pump, its drive or the relief valve"] == "the assist"
    assert list(takes.values()) == sorted(takes.values(), reverse=True)


def test_where_no_box_is_known_the_assist_may_be_the_steering() -> None:
    takes = _takes("quarry-straight-rail")
    assert takes["the cylinder's pin, or what keeps it in"] == "the assist or the steering"
    assert takes["one of the two plates that hold the pin, or its weld"] == "the assist or the steering"


def test_a_seat_on_the_steering_s_own_tube_can_take_it_along() -> None:
    assert _takes("vineyard-drag-link-seat")["the tube that the bracket stands on"] == "the steering"


def test_the_report_says_what_the_sheet_says_of_a_loss() -> None:
    loaded = load_job(PROFILES / "orchard-sprayer-steering")
    work = carry_through(loaded.job, loaded.traces)
    told = [(loss.part, loss.takes) for loss in job_report(work).losses]
    assert told == [(loss.part, loss.takes) for loss in losses(work.design, work.bracket)]
    assert told
