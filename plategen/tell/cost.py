"""A cost in words: a line for the screen, rows for a table."""

from plategen.cost import Cost
from plategen.ground.show import Show, money


def cost_words(cost: Cost) -> str:
    """What it comes to and what is not in it: ``'$228.21 by the shop's rates: steel 15.96, cutting 14.50'``."""
    parts = ", ".join(f"{item.part} {money(item.amount)}" for item in cost.items)
    words = f"{money(cost.total, cost.money)} by the shop's rates" + (f": {parts}" if parts else "")
    return words + not_counted(cost)


def not_counted(cost: Cost) -> str:
    """What has no rate, behind what was counted; "" when all has one."""
    return f"; not counted, as it has no rate: {', '.join(cost.left_out)}" if cost.left_out else ""


def cost_rows(cost: Cost, show: Show) -> tuple[tuple[str, str, str], ...]:
    """What is counted, what it comes to, and how; the sum last."""
    rows = ((item.part, money(item.amount, cost.money), show.text(item.how)) for item in cost.items)
    return (*rows, ("all of it", money(cost.total, cost.money), not_counted(cost).removeprefix("; ")))
