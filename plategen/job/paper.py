"""The ``[paper]`` table: what the true-scale paper shows besides."""

from typing import Annotated

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.quantities import LengthFromZero, Table

WIDEST_TORCH_LINE_MM = 12.7
"""Wider than any cut by hand; it must stand on the paper beside the plate."""


class Paper(Table, frozen=True, kw_only=True):
    """What the true-scale paper shows besides."""

    torch_line_mm: Annotated[
        LengthFromZero,
        "Width of a grey line outside every edge, for a torch that is led by hand: cut in it, and grind to the edge; "
        "0 for none.",
    ] = 0.0
    outline: Annotated[
        bool, "True for a file more of each plate, edge and holes alone, for a pen plotter or a vinyl cutter."
    ] = False

    def __post_init__(self) -> None:
        if self.torch_line_mm > WIDEST_TORCH_LINE_MM:
            raise Refusal(
                message("wider than any torch cuts; up to {} is right", mm(WIDEST_TORCH_LINE_MM, "down")), "torch_line"
            )
