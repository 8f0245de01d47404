"""What it costs, in the report."""

from __future__ import annotations

from typing import Annotated

from plategen.cost import Cost
from plategen.ground.show import Show
from plategen.tell.report.encode import Level, about


class CostItemReport(Level, frozen=True, kw_only=True):
    """One part of a cost."""

    part: Annotated[str, about("What is counted: steel, cutting, welding or other hours.")]
    amount: Annotated[float, about("What it comes to.")]
    how: Annotated[str, about("What it was counted by.")]


class CostReport(Level, frozen=True, kw_only=True):
    """What it costs by the shop's own rates."""

    money: Annotated[str, about("Sign or word of the money.")]
    total: Annotated[float, about("All of it.")]
    items: Annotated[tuple[CostItemReport, ...], about("What was counted.")]
    left_out: Annotated[tuple[str, ...], about("What has no rate, and is not counted.")]


def cost_report(cost: Cost, show: Show) -> CostReport:
    """A cost in words of the job's units."""
    items = tuple(CostItemReport(part=item.part, amount=item.amount, how=show.text(item.how)) for item in cost.items)
    return CostReport(money=cost.money, total=cost.total, items=items, left_out=cost.left_out)
