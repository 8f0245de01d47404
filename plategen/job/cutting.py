"""The ``[cutting]``, ``[sheet_stock]`` and ``[solid]`` tables: how plates are cut, from what, and drawn."""

from typing import Annotated, Literal, TypeAlias

from plategen.ground.refusal import Refusal
from plategen.job.quantities import LengthFromZero, PositiveLength, PositiveNumber, Table

DxfVersion: TypeAlias = Literal["R12", "R2000", "R2013"]
DxfEntities: TypeAlias = Literal["polylines", "lines and arcs"]
"""Which release a DXF file is written for, and how its outlines are drawn."""

Process: TypeAlias = Literal["plasma", "laser", "waterjet", "oxyfuel", "hand torch", "saw and drill"]
"""What cuts plates: four tables that follow a file, and two ways by hand that follow the true-scale paper."""

BY_HAND: frozenset[Process] = frozenset({"hand torch", "saw and drill"})
"""Those that a hand leads: no file moves them, and none of them makes a round hole, so that every hole is drilled."""


class Cutting(Table, frozen=True, kw_only=True):
    """How the plates are cut."""

    process: Annotated[
        Process,
        'What cuts them: a table by the files, or a hand by the paper. A "hand torch" leaves the line, which is ground '
        'to; with "saw and drill" plates have straight edges and drilled corners only. By hand every hole is drilled.',
    ] = "plasma"
    kerf_mm: Annotated[LengthFromZero, "Width of the cut."] = 0.0
    compensate: Annotated[
        bool, "True to move the cutting lines out by half the kerf; most controllers do that themselves."
    ] = False
    outer_corner: Annotated[
        Literal["round", "loop"],
        "With compensation, how the torch passes a sharp outer corner: on an arc about it, or running past it and "
        "round in a loop.",
    ] = "round"
    lead_mm: Annotated[
        LengthFromZero, "Radius of the arcs that lead in and out; 0 for none, as most controllers add their own."
    ] = 0.0
    smallest_hole: Annotated[
        PositiveNumber, "Smallest hole that is cut, in plate thicknesses; a smaller one is punched and drilled."
    ] = 1.0
    ream_under_mm: Annotated[
        LengthFromZero, "How much smaller than the pin a reamed pin hole is cut; 0 to punch its centre and drill it."
    ] = 0.0
    dxf: Annotated[DxfVersion, "Version of the DXF files; R12 for the oldest tables."] = "R2000"
    entities: Annotated[
        DxfEntities, "Edges as closed polylines, or as lines and arcs one by one for a table that asks for them."
    ] = "polylines"
    size_class: Annotated[int, "Tolerance class of ISO 9013 that the table keeps, 1 or 2."] = 2
    edge_range: Annotated[int, "Range of edge quality of ISO 9013 that it reaches, 1 (best) to 5."] = 4

    @property
    def by_hand(self) -> bool:
        """Whether a hand leads it along the paper's lines, and every hole is drilled."""
        return self.process in BY_HAND

    @property
    def straight(self) -> bool:
        """Whether it cuts straight edges only, and what is round is drilled."""
        return self.process == "saw and drill"

    def __post_init__(self) -> None:
        if self.by_hand:
            self._refuse_table()
        if self.compensate and self.kerf_mm == 0.0:
            raise Refusal("compensating needs the width of the cut; give `kerf`", "kerf")
        if self.outer_corner == "loop" and not self.compensate:
            raise Refusal("loops need the path of the torch itself; `compensate = true` is right", "outer_corner")
        if self.size_class not in (1, 2):
            raise Refusal("ISO 9013 has the tolerance classes 1 and 2", "size_class")
        if not 1 <= self.edge_range <= 5:
            raise Refusal("ISO 9013 has the ranges 1 to 5 of edge quality", "edge_range")

    def _refuse_table(self) -> None:
        """Refuse what only a table that follows a file can do."""
        asked = {"compensate": self.compensate, "lead": self.lead_mm > 0.0, "ream_under": self.ream_under_mm > 0.0}
        for key, is_asked in asked.items():
            if is_asked:
                raise Refusal(f'no file moves a {self.process}, the paper leads it by hand; leave "{key}" out', key)


class SheetStock(Table, frozen=True, kw_only=True):
    """The sheet or off-cut that the plates are cut from."""

    length_mm: Annotated[PositiveLength, "Along the way it was rolled."]
    width_mm: Annotated[PositiveLength, "Across it."]
    spacing_mm: Annotated[LengthFromZero, "Least distance from part to part."] = 8.0
    margin_mm: Annotated[LengthFromZero, "Least distance from part to the sheet's edge."] = 10.0
    grain: Annotated[
        Literal["any", "along", "across"],
        'How the cylinder lies to the way the sheet was rolled: "along" it, "across" it, or "any" way.',
    ] = "any"

    def __post_init__(self) -> None:
        if 2 * self.margin_mm >= min(self.length_mm, self.width_mm):
            raise Refusal("the margins leave nothing of the sheet; less than half its width is right", "margin")


class SolidEntry(Table, frozen=True, kw_only=True):
    """What the files of solids hold."""

    beads: Annotated[bool, "True for the weld beads as bodies of their own."] = False
    schema: Annotated[
        Literal["AP214", "AP242"], "Edition of STEP: AP214 is read everywhere, AP242 is its successor."
    ] = "AP214"
    mesh: Annotated[Literal["none", "stl", "3mf", "glb"], "A second file for looking only, of flat facets."] = "none"
