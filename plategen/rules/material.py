"""What steels and weld metal are good for, looked up by the names shops use."""

from dataclasses import dataclass
from functools import cache

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.rules import table


@dataclass(frozen=True, slots=True)
class Steel:
    """A steel: yield ``fy_mpa`` and tensile strength ``fu_mpa``, MPa, with the document they come from."""

    name: str
    fy_mpa: float
    fu_mpa: float
    source: str
    treated: str = ""  # ``"quenched and tempered"`` where the heat of a weld takes its strength away.
    dry_filler: bool = False  # True where it wants low-hydrogen filler.
    cet: float = 0.0  # Carbon equivalent CET where preheat goes by it; 0 where it goes by the table of AWS D1.1.


YOUNG_MPA = 200_000.0
"""Young's modulus of steel: the lower of the values in use (29 000 ksi; EN takes 210 000)."""

POISSON = 0.3
"""Of steel in its elastic range (EN 1993-1-1:2005 3.2.6)."""


@dataclass(frozen=True, slots=True)
class WeldMetal:
    """Weld metal: tensile strength ``fexx_mpa``, MPa, and diffusible hydrogen, ml in 100 g."""

    name: str
    fexx_mpa: float
    hydrogen_ml: float
    source: str


@cache
def steel(name: str, thickness_mm: float = 0.0) -> Steel:
    """The steel called ``name`` in a thickness, mm.

    >>> round(steel("A36").fy_mpa, 1), steel("s355").fu_mpa
    (248.2, 490.0)

    Raises:
        Refusal: The steel is not in the table, or not that thick.
    """
    row = table.by_name("steels", name, thickness_mm)
    return Steel(
        name=row["name"],
        fy_mpa=table.stress_mpa(row, "fy"),
        fu_mpa=table.stress_mpa(row, "fu"),
        source=row["source"],
        treated=row["treated"],
        dry_filler=row["low_hydrogen"] == "yes",
        cet=table.number(row["cet"] or "0"),
    )


def listed(name: str, thickness_mm: float) -> bool:
    """Whether a steel is in the table in a thickness.

    >>> listed("S355", 40.0), listed("S355", 41.0)
    (True, False)
    """
    try:
        steel(name, thickness_mm)
    except Refusal:
        return False
    return True


@cache
def weld_metal(name: str) -> WeldMetal:
    """The weld metal called ``name``: an electrode class or a wire.

    >>> weld_metal("ER70S-6").name
    'E70'

    Raises:
        Refusal: The electrode is not in the table.
    """
    row = table.by_name("electrodes", name)
    return WeldMetal(row["name"], table.stress_mpa(row, "fexx"), table.number(row["hydrogen"]), row["source"])


def filler_for(least_mpa: float, units: Units) -> str | None:
    """The weakest low-hydrogen filler of a system that is as strong as asked; None where the table has none.

    >>> filler_for(490.0, "mm"), filler_for(414.0, "in"), filler_for(1000.0, "in")
    ('G42', 'E7018', None)
    """
    rows = [row for row in table.read("electrodes") if row["dry"] and (row["unit"] == "ksi") == (units == "in")]
    strong = [row for row in rows if table.stress_mpa(row, "fexx") >= least_mpa - 1e-6]
    return min(strong, key=lambda row: table.stress_mpa(row, "fexx"))["dry"] if strong else None


@cache
def weld_beta(fu_mpa: float) -> float:
    """Correlation factor beta_w for the weaker of the two steels joined (EN 1993-1-8:2005 Table 4.1).

    >>> weld_beta(490.0)
    0.9
    """
    return next(
        table.number(row["beta_w"]) for row in table.read("weld_beta") if fu_mpa <= table.number(row["upto_fu_mpa"])
    )
