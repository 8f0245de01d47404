"""The three rule sets, and how each turns a nominal strength into what may be asked of the part.

AISC 360 gives every nominal strength both a resistance factor phi (for factored loads, LRFD) and a safety factor Omega
(for loads as they are, ASD). EN 1993 divides by a partial factor gamma_M under factored loads.
"""

from dataclasses import dataclass
from typing import Literal, TypeAlias

RuleSet: TypeAlias = Literal["aisc-asd", "aisc-lrfd", "en-1993"]
"""The rules that a job may be judged by."""

AISC = "AISC 360-22"
"""The edition whose clause numbers the findings give; the formulas named are the same in 360-16."""

EN_JOINTS = "EN 1993-1-8:2005"
"""The part on joints, as findings name it."""

PRACTICE = "common practice, no source"
"""The source of a fact of the trade that nobody printed."""


@dataclass(frozen=True, slots=True)
class Safety:
    """A pair of factors for one limit state: ``phi`` for LRFD, ``omega`` for ASD."""

    phi: float
    omega: float

    def available(self, nominal: float, rules: RuleSet) -> float:
        """What of a nominal strength may be used: phi Rn (LRFD) or Rn/Omega (ASD).

        >>> RUPTURE.available(100.0, "aisc-asd"), RUPTURE.available(100.0, "aisc-lrfd")
        (50.0, 75.0)
        """
        return nominal * self.phi if rules == "aisc-lrfd" else nominal / self.omega


RUPTURE = Safety(0.75, 2.00)
"""Rupture, bearing, bolts and welds (AISC 360 D5.1, J2.4, J3, J4, J7)."""

YIELDING = Safety(0.90, 1.67)
"""Yielding and buckling of the member (AISC 360 D2, E1, F1, G1)."""

SHEAR_YIELDING = Safety(1.00, 1.50)
"""Shear yielding of connecting elements (AISC 360 J4.2)."""

SLIP = Safety(1.00, 1.50)
"""Slip in standard holes (AISC 360 J3.8 in 360-16, J3.9 in 360-22)."""

SLOT_SLIP = Safety(0.70, 2.14)
"""Slip in long slots (AISC 360 J3.8 in 360-16, J3.9 in 360-22)."""

GAMMA_M0 = 1.00
GAMMA_M2 = 1.25
"""Partial factors as EN 1993 recommends them; a country may ask for others."""

GAMMA_M3 = 1.25
"""Slip at the ultimate limit state (EN 1993-1-8:2005 Table 2.1)."""

GAMMA_M6_SER = 1.00
"""Replaceable pins at serviceability (EN 1993-1-8:2005 Table 2.1)."""

LOAD_FACTOR: dict[RuleSet, float] = {"aisc-asd": 1.0, "aisc-lrfd": 1.6, "en-1993": 1.5}
"""Factor on the cylinder's force: a variable load under ASCE 7 (1.6 L) and EN 1990 (gamma_Q 1.5); none under ASD."""
