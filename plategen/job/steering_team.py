"""The tables ``[[steering.cylinder]]`` and ``[[steering.box]]``: what turns the linkage beside the first of each."""

from __future__ import annotations

from typing import Annotated

from plategen.ground.refusal import Refusal
from plategen.job.cylinder import refuse_misfit
from plategen.job.quantities import Moment, PositiveLength, Table, Volume
from plategen.job.steering_equipment import Place


class FurtherCylinderEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.cylinder]]``: a second cylinder of a pair or a further one, at the first one's pressure.

    It is ported so that it helps in both turns. Its pins stay where they are drawn; its bracket is another job's.
    """

    name: Annotated[str, "What the shop calls it."]
    pushes: Annotated[str, "The rod or lever that carries its moving pin."]
    fixed_pin_mm: Annotated[Place, "The pin on the frame or the axle's beam, straight ahead."]
    moving_pin_mm: Annotated[Place, "The pin on what it pushes."]
    bore_mm: Annotated[PositiveLength, "Inside diameter of the barrel."]
    rod_mm: Annotated[PositiveLength, "Diameter of the rod."]
    stroke_mm: Annotated[PositiveLength, "How far the rod can move."]
    closed_length_mm: Annotated[PositiveLength, "From pin to pin with the rod all the way in."]
    body_diameter_mm: Annotated[
        PositiveLength | None,
        "Largest outside diameter of the barrel, for the tyres; its bore when left out.",
    ] = None
    double_rod: Annotated[bool, "A rod through both ends: it pushes and pulls alike."] = False

    def __post_init__(self) -> None:
        if not self.name.strip() or self.name == "cylinder":
            raise Refusal('give it a name of its own; "cylinder" is the first one', "name")
        refuse_misfit(self.bore_mm, self.rod_mm, self.body_diameter_mm, self.stroke_mm, self.closed_length_mm)


class FurtherBoxEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.box]]``: a second steering box that works with the first, its arm a lever of the linkage."""

    lever: Annotated[str, "The lever that is its arm."]
    moment_nmm: Annotated[Moment, "What it gives at its arm's shaft, at relief."]
    volume_mm3: Annotated[Volume | None, "Oil that its own piston takes from lock to lock."] = None
