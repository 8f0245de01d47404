"""The ``[closing]`` table: plates between the ears that make a box of the bracket."""

from typing import Annotated, Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import BY_RULE, LengthFromZero, PositiveLength, Table


class Closing(Table, frozen=True, kw_only=True):
    """Plates that stand on the rail between the ears, square to it and each fitted to it on its own edge.

    Args:
        back: True for one at the foot's end that the cylinder points away from.
        bottom: True for one at the foot's other end, as deep as the cylinder's swing allows.
        back_inset_mm: From the foot's end along the rail to the back plate's outer face; left out, a rule chooses.
        bottom_inset_mm: The same for the bottom plate.
        thickness_mm: Thickness of these plates; left out, that of the ears.
        steel: Their steel; left out, that of the ears.
        leg_mm: Leg of their fillets; left out, that of `weld`.
        joint: How they meet the ears: fitted between them, or with tabs in slots that locate them.
        tab_mm: Length of a tab; left out, a rule chooses.
        fit_mm: Room between plate and ear on each side, and round a tab in its slot.
    """

    back: Annotated[bool, BY_RULE] = False
    bottom: Annotated[bool, BY_RULE] = False
    back_inset_mm: Annotated[PositiveLength | None, BY_RULE] = None
    bottom_inset_mm: Annotated[PositiveLength | None, BY_RULE] = None
    thickness_mm: PositiveLength | None = None
    steel: str = ""
    leg_mm: PositiveLength | None = None
    joint: Literal["butt", "slots"] = "butt"
    tab_mm: Annotated[PositiveLength | None, BY_RULE] = None
    fit_mm: LengthFromZero = 0.4

    def __post_init__(self) -> None:
        if not self.back and not self.bottom:
            raise Refusal("no plate is asked for; back = true is right, or bottom = true", "back")
        if self.tab_mm is not None and self.joint != "slots":
            raise Refusal('only plates in slots have tabs; joint = "slots" is right', "tab")
