"""Heat-treated steel under a weld: its strength was made by quenching and tempering, and the weld's heat takes it away.

Nobody can say from a grade's name how much is left: it hangs on the heat put in, the wall and the steel's own
tempering. So such a part is not welded, unless a qualified procedure says what it was tested to keep.
"""

from collections.abc import Iterator

from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.ground.message import Message, message, mpa
from plategen.rules.material import Steel

SOFTENED = Check(
    "beads on heat-treated steel",
    "heat-treated steel",
    "1",
    "at most",
    source="makers' rules for heat-treated rails, AWS D1.1 5.7 and EN 1011-2 C.2.4 for quenched and tempered steel; "
    "from memory",
    not_covered="A part is taken as heat-treated where its named steel is: many pressed truck rails are, and nothing "
    "on them says so. Ask the maker, or have the hardness tested. Keep every bead off a flange's edge.",
)
CHECKS = (SOFTENED,)
"""The checks of this file."""


def check_softened(setting: Setting) -> Iterator[Finding]:
    """How many beads lie on steel that they soften: of what the bracket stands on, and of every heat-treated plate."""
    welds, procedure = setting.bracket.welds, setting.job.weld.procedure
    under = next((run.other for run in welds if run.other not in setting.plates), None)
    steels = setting.steels if under is None else {under: setting.wall, **setting.steels}
    for name, steel in steels.items():
        beads = sum(1 for run in welds if name in (run.plate, run.other))
        if beads and (name == under or steel.treated):
            yield SOFTENED.at_most(
                part(name),
                0.0,
                float(beads) if steel.treated and procedure is None else 0.0,
                assumed=_assumed(setting, steel),
                cure=_CURE if name == under else _CURE_OF_PLATE,
            )


_CURE = (
    "bolt it to the rail's web instead: style = \"bolted\" under [bracket], in holes that the rail's maker allows in "
    "writing; or have the maker's written "
    "word and a procedure qualified on this steel, and declare what it keeps under [weld.procedure]"
)
_CURE_OF_PLATE = (
    "a plate of ordinary weldable steel, or a procedure qualified on this steel, declared under [weld.procedure]"
)


def _assumed(setting: Setting, steel: Steel) -> Message:
    kept = setting.job.weld.procedure
    if not steel.treated:
        return message("{} is not heat-treated", steel.name)
    if kept is None:
        return message(
            "{} is {}: beside a bead it keeps less than its strength, nobody knows how much, and every figure here "
            "that counts its full strength is too good",
            steel.name,
            steel.treated,
        )
    return message(
        '{} is {}; by "{}" it keeps yield {} and tensile {} beside a bead, counted over the whole part',
        steel.name,
        steel.treated,
        kept.document,
        mpa(steel.fy_mpa),
        mpa(steel.fu_mpa),
    )
