"""The ``[mount]``, ``[bracket]`` and ``[weld]`` tables: where the bracket sits, its style and how it is made."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal, TypeAlias, get_args

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.quantities import (
    BY_RULE,
    BY_RULE_AT_CORNER,
    FillerName,
    Length,
    LengthFromZero,
    PositiveLength,
    Pressure,
    SteelName,
    Table,
)

StyleName: TypeAlias = Literal["ears", "split", "seat", "bolted"]
"""How a bracket is built; the builder of a style is the file of its name in :mod:`plategen.bracket`."""

PinName: TypeAlias = Literal["fixed pin", "moving pin"]
"""The cylinder's two pins: the one on the frame, and the one on what it pushes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StyleEntry:
    """What a job of a style holds."""

    tables: tuple[str, ...] = ()  # The tables that only this style has.
    # A rail that is traced, or a tube that is known by its size and needs no trace.
    stands_on: Literal["rail", "tube"] = "rail"
    holds: PinName = "fixed pin"  # Which end of the cylinder it holds.


STYLES: Mapping[StyleName, StyleEntry] = {
    "ears": StyleEntry(tables=("closing", "doubler", "gusset", "crosshead")),
    "split": StyleEntry(tables=("split",)),
    "bolted": StyleEntry(tables=("bolted",)),
    "seat": StyleEntry(tables=("seat",), stands_on="tube", holds="moving pin"),
}
"""Every style."""

ONLY_ON_RAIL = (
    "rail.trace", "rail.feature", "rail.section", "rail.face", "rail.face_from", "rail.face_to", "rail.plates_lie",
    "rail.tilt", "rail.turn", "mount.foot", "mount.foot_rise", "bracket.relief", "rod_end",
)  # fmt: skip
"""What a job on a tube cannot have, by its keys."""

assert set(STYLES) == set(get_args(StyleName))


_INCH_MM = 25.4

LEAST_RELIEF_MM = 1.0
"""Half of what a fine plasma cut leaves of a hole: less is a notch at best."""


class Mount(Table, frozen=True, kw_only=True):
    """Where the cylinder has to lie against the straightedge."""

    inline_offset_mm: Annotated[
        Length,
        "From the straightedge to the cylinder's centre line, positive when the cylinder lies on the far side of the "
        "straightedge from the rail; of a seat, from the tube's axis.",
    ]
    pin_station_mm: Annotated[Length, "Station of the pin's centre."]
    pin: Annotated[
        Literal["here", "study"],
        'Who says where the pin goes: "here" these numbers, "study" the steering study, which starts from them.',
    ] = "here"
    pin_within_mm: Annotated[PositiveLength, "How far the pin may lie from where the steering study wants it."] = (
        _INCH_MM / 16
    )
    front: Annotated[
        Literal["ahead", "behind", "near", "far"] | None,
        'Where the machine\'s front lies, for the words in the picture: "ahead" the way stations grow, "behind" '
        'against it, "near" or "far" to that side. A steering study that draws the pin knows it.',
    ] = None
    foot_mm: Annotated[
        tuple[Length, ...] | None,
        BY_RULE,
        'Stations where the plate\'s foot on the rail begins and ends; left out or "auto", a rule chooses. For a '
        "foot that goes round the rail's corner and up its side, the one station where it begins, as in [2].",
    ] = None
    foot_rise_mm: Annotated[
        PositiveLength | None,
        BY_RULE_AT_CORNER,
        "For a foot that goes round the rail's corner: how far up the side it runs, as a tape reads it from the "
        'corner where underside and side would meet; left out or "auto", a rule chooses.',
    ] = None

    def __post_init__(self) -> None:
        if self.foot_mm is None:
            return
        if len(self.foot_mm) not in (1, 2):
            raise Refusal(
                f"{len(self.foot_mm)} stations; two are right, or one for a foot that goes round the rail's corner",
                "foot",
            )
        if len(self.foot_mm) == 2 and self.foot_mm[0] >= self.foot_mm[1]:
            raise Refusal("the foot must begin before it ends; the smaller station comes first", "foot")
        if len(self.foot_mm) == 2 and self.foot_rise_mm is not None:
            raise Refusal(
                "a foot between two stations has no rise; for one that goes round the rail's corner give the one "
                "station where it begins",
                "foot_rise",
            )


class BracketEntry(Table, frozen=True, kw_only=True):
    """The plates."""

    style: Annotated[StyleName, "How the bracket is built."] = "ears"
    plane_mm: Annotated[
        Length,
        "Place of the inner face of the first ear along the pin; the ear lies below it, the other ear beyond the eye "
        "and its play.",
    ]
    thickness_mm: Annotated[PositiveLength, "Thickness of the plates."]
    steel: Annotated[SteelName, "Their steel, by the name shops use."]
    side_play_mm: Annotated[LengthFromZero, "Room on each side of the eye."] = _INCH_MM / 32
    root_gap_mm: Annotated[LengthFromZero, "Standing gap between the notch and the rail."] = 0.0
    nose_radius_mm: Annotated[
        PositiveLength | None,
        BY_RULE,
        'Radius of the plate about the pin; left out or "auto", the edge-distance rule chooses.',
    ] = None
    toe_mm: Annotated[
        PositiveLength | None, BY_RULE, 'Height of the plate\'s ends at the rail; left out or "auto", a rule chooses.'
    ] = None
    corner_radius_mm: Annotated[LengthFromZero, "Radius of the plate's outer corners."] = _INCH_MM / 4
    relief_mm: Annotated[
        LengthFromZero | None,
        BY_RULE_AT_CORNER,
        "Radius of the hole cut away at a corner of the rail that is sharper than it, so that torch and bead clear; "
        'left out or "auto", a rule chooses; 0 cuts none.',
    ] = None
    pin_fit: Annotated[
        Literal["close", "normal", "loose", "ream"],
        'Clearance of the pin\'s hole, or "ream" for one cut small and reamed to the pin.',
    ] = "close"

    def __post_init__(self) -> None:
        if self.relief_mm is not None and 0.0 < self.relief_mm < LEAST_RELIEF_MM:
            raise Refusal(
                message(
                    "no torch cuts so small a hole; {} or more is right, or 0 for no relief", mm(LEAST_RELIEF_MM, "up")
                ),
                "relief",
            )


class Procedure(Table, frozen=True, kw_only=True):
    """A welding procedure qualified on the job's heat-treated steel, and what it leaves of the steel's strength."""

    document: Annotated[str, "What it is called, and who qualified it: the maker's letter, the test record."]
    yield_mpa: Annotated[Pressure, "Yield strength that the softened steel beside its beads was tested to keep."]
    tensile_mpa: Annotated[Pressure, "Tensile strength across the joint that it was tested to keep."]

    def __post_init__(self) -> None:
        if not self.document.strip():
            raise Refusal("no name; what the procedure is called and who qualified it is right", "document")
        if self.yield_mpa > self.tensile_mpa:
            raise Refusal("more than the tensile strength; `tensile` or less is right", "yield")


class Weld(Table, frozen=True, kw_only=True):
    """The fillets that hold the plates."""

    leg_mm: Annotated[PositiveLength, "Leg of the fillet."]
    electrode: Annotated[FillerName, "Its weld metal, by the name shops use."] = "E70"
    one_side: Annotated[
        bool,
        "True where only the outer side of each plate is welded to what it stands on, for want of room between them.",
    ] = False
    procedure: Annotated[
        Procedure | None, "The qualified procedure for a heat-treated rail or plate, which is not welded without one."
    ] = None
