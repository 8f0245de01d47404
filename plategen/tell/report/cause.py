"""What stops have in common, in the report: the one number that they follow from, and what takes them away."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from plategen.cause import Cause
from plategen.ground.show import Show
from plategen.tell.report.encode import Level, about
from plategen.tell.report.finding import ChangeReport, change_report


class FollowerReport(Level, frozen=True, kw_only=True):
    """A stop that follows from a cause; among `findings` the one of these three."""

    check: Annotated[str, about("Name of the check.")]
    part: Annotated[str, about("The plate, hole, run or member it looks at.")]
    source: Annotated[str, about("Rule, edition and clause.")]


class CauseReport(Level, frozen=True, kw_only=True):
    """A number of the job, and the stops that go when it alone is changed."""

    what: Annotated[str, about("The number as the job has it, in words.")]
    cure: Annotated[str, about("What would take them away, in words.")]
    changes: Annotated[
        tuple[ChangeReport, ...],
        about("The same as keys of the job file; empty where only a person can know whether the number is a fact."),
    ]
    misread: Annotated[bool, about("True where the number is plainly wrong: to be measured again.")]
    followers: Annotated[tuple[FollowerReport, ...], about("The stops that are gone with it, the worst first.")]


def cause_reports(found: Iterable[Cause], show: Show) -> tuple[CauseReport, ...]:
    """Causes as they were found, their words in the job's units."""
    return tuple(
        CauseReport(
            what=show.text(cause.what),
            cure=show.text(cause.cure.advice),
            changes=tuple(map(change_report, cause.cure.changes)),
            misread=cause.misread,
            followers=tuple(
                FollowerReport(check=each.check, part=each.part.words, source=each.source) for each in cause.followers
            ),
        )
        for cause in found
    )
