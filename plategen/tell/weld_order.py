"""The order in which the runs are laid so that the plates stay where they were tacked."""

from collections.abc import Sequence

from plategen.bracket.model import WeldRun

WHY = (
    "Tack every plate at both ends on both sides with the pin and a spacer in place, check the line of the cylinder, "
    "then weld in this order, letting each run cool until it can be touched: outside runs first, from plate to plate, "
    "then the inside ones, so that the pull of one run is met by the next (common practice, no source)."
)
"""Beneath the order."""


def weld_order(runs: Sequence[WeldRun]) -> dict[str, int]:
    """Each run's place in the order, from 1: runs on outside faces before the others, plates by turns."""
    seen: dict[tuple[bool, str], int] = {}
    keyed = []
    for index, run in enumerate(runs):
        group = run.side != "outside", run.plate
        turn = seen[group] = seen.get(group, -1) + 1
        keyed.append(((group[0], turn, index), run.name))
    return {name: place for place, (_, name) in enumerate(sorted(keyed), start=1)}
