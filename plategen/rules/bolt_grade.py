"""What grades of bolts are good for, looked up by the names shops use."""

from dataclasses import dataclass
from functools import cache

from plategen.rules import table
from plategen.rules.safety import RuleSet


@dataclass(frozen=True, slots=True)
class BoltGrade:
    """A fastener grade, stresses in MPa."""

    name: str
    proof_mpa: float  # 0 where its standard gives none.
    tensile_mpa: float
    fnt_mpa: float  # Nominal tensile strength on the shank (AISC 360 Table J3.2).
    fnv_in_mpa: float  # Nominal shear strength with threads in the shear plane (same table).
    alpha_v: float  # Shear factor with threads in the plane (EN 1993-1-8 Table 3.4).
    pretension: str  # Whose rules give it a pretension: ``"aisc"`` or ``"en"``; "" for none.
    source: str

    def may_be_pretensioned(self, rules: RuleSet) -> bool:
        """Whether a rule set gives the grade a pretension: A325 and A490 under AISC 360, 8.8 and 10.9 under EN 1993.

        Source: AISC 360 Table J3.1; EN 1993-1-8:2005 3.1.2 and 3.6.1.

        >>> [bolt_grade(name).may_be_pretensioned("en-1993") for name in ("8.8", "4.6", "A325")]
        [True, False, False]
        """
        return bool(self.pretension) and rules.startswith(self.pretension)


@cache
def bolt_grade(name: str, diameter_mm: float = 0.0) -> BoltGrade:
    """The fastener grade called ``name`` in a diameter, mm.

    Raises:
        Refusal: The grade is not in the table, or not made that thick.

    >>> bolt_grade("8.8", 16.0).tensile_mpa
    800.0
    """
    row = table.by_name("bolts", name, diameter_mm)

    def stress(column: str) -> float:
        return table.stress_mpa(row, column) if row[column] else 0.0

    return BoltGrade(
        name=row["name"],
        proof_mpa=stress("proof"),
        tensile_mpa=stress("tensile"),
        fnt_mpa=stress("fnt"),
        fnv_in_mpa=stress("fnv_in"),
        alpha_v=table.number(row["alpha_v"]),
        pretension=row["pretension"],
        source=row["source"],
    )


@cache
def to_pretension(name: str, diameter_mm: float, rules: RuleSet) -> str:
    """The grade to take where a rule set asks for a pretension: the nearest in strength that it gives one.

    >>> [to_pretension(name, 16.0, "aisc-asd") for name in ("4.6", "8.8", "Grade 8")]
    ['A325', 'A325', 'A490']
    >>> to_pretension("A490", 16.0, "en-1993")
    '10.9'
    """
    tensile_mpa = bolt_grade(name, diameter_mm).tensile_mpa
    grades = (bolt_grade(row["name"], diameter_mm) for row in table.read("bolts") if row["pretension"])
    allowed = [grade for grade in grades if grade.may_be_pretensioned(rules)]
    return min(allowed, key=lambda grade: abs(grade.tensile_mpa - tensile_mpa)).name
