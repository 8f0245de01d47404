"""The ``[crosshead]`` table: a plate between the ears, off the rail, so that neither leans sideways alone."""

from __future__ import annotations

from typing import Annotated

from plategen.job.quantities import BY_RULE, Length, LengthFromZero, PositiveLength, SteelName, Table


class Crosshead(Table, frozen=True, kw_only=True):
    """A flat plate between the ears that lies along the rail and is welded to both ears alone."""

    thickness_mm: Annotated[PositiveLength, "Its thickness."]
    steel: Annotated[SteelName, "Its steel; left out, that of the ears."] = ""
    height_mm: Annotated[
        PositiveLength | None, BY_RULE, "From what the ears stand on to its nearer face; left out, a rule chooses."
    ] = None
    deep_mm: Annotated[
        PositiveLength | None, BY_RULE, "How long its sides are on the ears, along the rail; left out, a rule chooses."
    ] = None
    station_mm: Annotated[Length | None, "Station of its middle; left out, the pin's."] = None
    leg_mm: Annotated[PositiveLength | None, "Leg of its fillets; left out, that of `weld`."] = None
    fit_mm: Annotated[LengthFromZero, "Room between it and the ear on each side."] = 0.4
