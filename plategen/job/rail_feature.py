"""``[[rail.feature]]``: what is on the rail already, of which a bracket must keep clear."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Length, LengthFromZero, PositiveLength, Table

FeatureKind: TypeAlias = Literal["hole", "rivet", "bead", "hose", "bracket", "step"]
"""What stands on a rail, or goes through it."""

ROUND: frozenset[FeatureKind] = frozenset({"hole", "rivet"})
"""Kinds that are round and have a diameter; the others take up a rectangle."""

CLEAR_MM: dict[FeatureKind, float] = {
    "hole": 3.0, "rivet": 3.0, "bead": 3.0, "hose": 25.0, "bracket": 3.0, "step": 3.0,
}  # fmt: skip
"""Room kept where the job asks for none: beside steel what dirt and paint need, beside a hose what keeps sparks and
chafing off it (common practice, no source)."""


class FeatureEntry(Table, frozen=True, kw_only=True):
    """One ``[[rail.feature]]``, on the face that the traces were read on."""

    kind: Annotated[FeatureKind, "What it is; a weld is a bead."]
    name: Annotated[str, 'What it is called; left out, its kind and number: "rivet 2".'] = ""
    station_mm: Annotated[Length, "Station of its middle along the straightedge."]
    plane_mm: Annotated[Length, "Place of its middle along the pin."]
    size_mm: Annotated[PositiveLength, "Its diameter; of a bead, hose, bracket or step its length along the rail."]
    width_mm: Annotated[
        PositiveLength | None, "Of a bead, hose, bracket or step its width along the pin; left out, its `size`."
    ] = None
    height_mm: Annotated[
        PositiveLength | None, "How far it stands out of the face; every kind but a hole needs it."
    ] = None
    clear_mm: Annotated[
        LengthFromZero | None,
        "How near plates, beads and tools may come to it; left out, 1 in (25 mm) to a hose and 1/8 in (3 mm) to "
        "anything else.",
    ] = None
    use: Annotated[bool, "Of a hole: true where a bolt of the bracket is to go through it."] = False
    made: Annotated[
        Literal["drilled", "burned"], "Of a hole: how it was made; through a burned one no bolt may go."
    ] = "drilled"

    def __post_init__(self) -> None:
        if self.kind == "hole":
            if self.height_mm is not None:
                raise Refusal("a hole does not stand out of the face; leave it out", "height")
        elif self.height_mm is None:
            raise Refusal(f"missing; how far the {self.kind} stands out of the face is right", "height")
        elif self.use or self.made == "burned":
            raise Refusal("only a hole can be used, and burned; leave it out", "use" if self.use else "made")
        if self.kind in ROUND and self.width_mm is not None:
            raise Refusal(f"a {self.kind} is round, its diameter is `size`; leave it out", "width")

    @property
    def room_mm(self) -> float:
        """How near anything may come."""
        return CLEAR_MM[self.kind] if self.clear_mm is None else self.clear_mm
