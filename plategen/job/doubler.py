"""The ``[doubler]`` table: a plate on the rail under the foot of welded ears."""

from __future__ import annotations

from typing import Annotated, Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import BY_RULE, PositiveLength, SteelName, Table

MOST_PLUGS = 20
"""More plug welds heat a rail more than they hold."""


class Doubler(Table, frozen=True, kw_only=True):
    """A flat plate between the rail and the ears, welded along its long edges only, never across the rail."""

    thickness_mm: Annotated[PositiveLength, "Its thickness."]
    steel: Annotated[SteelName, "Its steel; left out, that of the ears."] = ""
    ends: Annotated[
        Literal["rounded", "tapered"], "Shape of its two ends: half round, or drawn in to a third of its width."
    ] = "rounded"
    side_mm: Annotated[
        PositiveLength | None, BY_RULE, "How far it reaches beyond the ears' outer faces, along the pin."
    ] = None
    beyond_mm: Annotated[
        PositiveLength | None, BY_RULE, "How far its straight edges reach beyond the foot, at each end."
    ] = None
    leg_mm: Annotated[
        PositiveLength | None, "Leg of the fillets along its edges; left out, that of `weld`, no more than it is thick."
    ] = None
    plugs: Annotated[int, "Plug welds in a line between the ears, which draw it to the rail and count for nothing."] = 0

    def __post_init__(self) -> None:
        if not 0 <= self.plugs <= MOST_PLUGS:
            raise Refusal(f"0 to {MOST_PLUGS} are right", "plugs")
