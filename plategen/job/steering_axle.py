"""The ``[steering.axle]`` table: how the axle moves under the steering."""

from __future__ import annotations

from typing import Annotated, Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Angle, Length, LengthFromZero, Table
from plategen.job.steering_equipment import Direction, Place


class AxleEntry(Table, frozen=True, kw_only=True):
    """How far the axle moves, and along what path."""

    kind: Annotated[Literal["solid", "swing"], "One beam, or a half for each wheel that swings about its own line."] = (
        "solid"
    )
    up_mm: Annotated[LengthFromZero, "How far its middle goes up from where it is drawn, to the bump stop."] = 0.0
    down_mm: Annotated[LengthFromZero, "How far its middle goes down."] = 0.0
    roll_rad: Annotated[Angle, "How far it rolls, to either side, at every height."] = 0.0
    about_mm: Annotated[
        Place | None,
        "Point that it swings about: a radius arm's or a link's front joint; of a leaf spring, a quarter of its fixed "
        "half in from the fixed eye; of a swing axle, a point of the left half's line, which the right mirrors. Left "
        "out, a solid axle goes straight up and down.",
    ] = None
    axis: Annotated[Direction, "Direction of that line for the left half of a swing axle."] = (1.0, 0.0, 0.0)
    turns: Annotated[bool, "A solid axle turns with its radius arm; on a leaf or two links it does not."] = False
    roll_centre_mm: Annotated[Length | None, "Height about which a solid axle rolls; its own middle when left out."] = (
        None
    )
    carries: Annotated[tuple[str, ...], "Other levers on a solid axle, beside those that carry wheels."] = ()

    def __post_init__(self) -> None:
        if not 0.0 <= self.roll_rad < 0.8:
            raise Refusal("a roll from 0 to 45 deg is right", "roll")
        if self.up_mm == self.down_mm == self.roll_rad == 0.0:
            raise Refusal("the axle does not move; give `up`, `down` or `roll`", "up")
        if self.kind == "swing" and self.about_mm is None:
            raise Refusal("a swing axle swings about a line; give a point of it", "about")
        if self.kind == "swing" and (self.turns or self.carries or self.roll_centre_mm is not None):
            raise Refusal("`turns`, `carries` and `roll_centre` belong to a solid axle", "kind")
        if self.turns and self.about_mm is None:
            raise Refusal("an axle that turns with its arm needs the arm's front joint", "about")
