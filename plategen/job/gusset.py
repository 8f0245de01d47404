"""The ``[gusset]`` table: a rib behind each ear, which keeps a tall one from leaning sideways."""

from __future__ import annotations

from typing import Annotated

from plategen.job.quantities import BY_RULE, Length, PositiveLength, SteelName, Table


class Gusset(Table, frozen=True, kw_only=True):
    """A plate square to each ear on its outer face, fitted to the rail on its own edge and welded to both."""

    thickness_mm: Annotated[PositiveLength, "Its thickness."]
    steel: Annotated[SteelName, "Its steel; left out, that of the ears."] = ""
    height_mm: Annotated[PositiveLength | None, BY_RULE, "How far it goes up the ear, from the rail."] = None
    reach_mm: Annotated[PositiveLength | None, BY_RULE, "How far it reaches out from the ear, along the pin."] = None
    station_mm: Annotated[
        Length | None, "Station of its middle; left out, the pin's, or as near to it as the foot goes."
    ] = None
    leg_mm: Annotated[PositiveLength | None, "Leg of its fillets; left out, that of `weld`."] = None
