"""The ``[solid]`` table: what the files of solids hold."""

from typing import Literal

from plategen.job.quantities import Table


class SolidEntry(Table, frozen=True, kw_only=True):
    """What the files of solids hold.

    Args:
        beads: True for the weld beads as bodies of their own.
        schema: Edition of STEP: AP214 is read everywhere, AP242 is its successor.
        mesh: A second file for looking only, of flat facets.
    """

    beads: bool = False
    schema: Literal["AP214", "AP242"] = "AP214"
    mesh: Literal["none", "stl", "3mf", "glb"] = "none"
