"""Does it hold? The one list of checks, and the judge that asks them all over every load case.

Whoever judges walks the list; the tests, the sheet's list of what is not covered and the documentation's table read it.
A new check is a row in its module's ``CHECKS``; a new group is one line here. What few brackets have, bolts or a clamp,
is judged by files that are loaded where there is some (:func:`_where`).
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from plategen.bracket.model import Bracket
from plategen.checks import (
    access,
    crosshead,
    cylinder,
    doubler,
    fatigue,
    fit_up,
    gusset,
    hole,
    pin,
    pin_plate,
    rail_pieces,
    rail_wall,
    run,
    section,
    softened,
    stiffness,
    swing,
    tie,
    traced,
    weld,
    welding,
)
from plategen.checks.finding import Check, Finding
from plategen.checks.proved import proved
from plategen.checks.setting import Setting
from plategen.design.design import Design
from plategen.rail.tube import Surface


@dataclass(frozen=True, slots=True)
class Group:
    """Checks that one function asks."""

    # Gives their findings about a setting; None where they are asked on demand alone.
    ask: Callable[[Setting], Iterable[Finding]] | None
    checks: tuple[Check, ...] | Callable[[], tuple[Check, ...]]  # Their rows, or what loads them.
    # True where they look at the machine: asked once of a job, and not again of the seat at its rod's end.
    once: bool = False


def _where(there: Callable[[Setting], object], file: str, ask: str, *more: str, once: bool = False) -> Group:
    """Checks of a file that is loaded only where there is what they judge.

    Args:
        there: What they judge of a setting; nothing is asked where it is empty.
        file: The file's name in this room.
        ask: The name of its function that asks them.
        more: Further files of this room whose rows that function asks as well.
        once: As a group has it.
    """

    def asked(setting: Setting) -> Iterable[Finding]:
        if not there(setting):
            return ()
        findings: Iterable[Finding] = getattr(_file(file), ask)(setting)
        return findings

    return Group(asked, lambda: _rows(file, *more), once)


def _rows(*files: str) -> tuple[Check, ...]:
    """The rows of some files of this room."""
    return tuple(check for file in files for check in _file(file).CHECKS)


def _file(name: str) -> Any:
    return import_module(f"plategen.checks.{name}")


GROUPS = (
    Group(pin.check_pin, pin.CHECKS),
    Group(pin_plate.check_pin_plates, pin_plate.CHECKS),
    Group(hole.check_holes, hole.CHECKS),
    _where(lambda s: any(p.slots for p in s.bracket.plates), "slot", "check_slots"),
    Group(section.check_sections, section.CHECKS),
    Group(softened.check_softened, softened.CHECKS),
    Group(weld.check_welds, weld.CHECKS),
    Group(tie.check_ties, tie.CHECKS),
    Group(stiffness.check_stiffness, stiffness.CHECKS),
    Group(rail_wall.check_rail_wall, lambda: _rows("rail_wall", "tube_wall")),
    Group(gusset.check_gussets, gusset.CHECKS),
    Group(crosshead.check_crosshead, crosshead.CHECKS),
    Group(doubler.check_doubler, doubler.CHECKS),
    Group(fatigue.check_fatigue, fatigue.CHECKS),
    Group(welding.check_welding, welding.CHECKS),
    _where(lambda s: s.bolted, "bolt", "check_bolts", "bolt_plate"),
    _where(lambda s: s.bolted, "bolt_group", "check_bolt_groups"),
    _where(lambda s: s.bolted, "base_plate", "check_base"),
    _where(lambda s: s.bracket.folded, "bend", "check_bends"),
    _where(lambda s: s.bracket.wall, "drilling", "check_drilling"),
    Group(hole.check_far_bolts, hole.FAR_CHECKS),
    _where(lambda s: s.bolted, "wrench", "check_wrenches"),
    Group(run.check_runs, run.CHECKS),
    Group(fit_up.check_fit_up, fit_up.CHECKS),
    Group(rail_pieces.check_rail, rail_pieces.CHECKS),
    _where(lambda s: s.job.seat, "clamp", "check_clamp"),
    Group(cylinder.check_cylinder, cylinder.CHECKS, once=True),
    _where(lambda s: s.job.driven or s.study, "driven_rod", "check_driven_rod", once=True),
    Group(cylinder.check_rod_end, (cylinder.TILT,)),
    Group(swing.check_swing, swing.CHECKS),
    Group(access.check_access, access.CHECKS),
    _where(lambda s: s.features, "feature", "check_features"),
    Group(swing.check_pin_place, (swing.PIN_PLACE,)),
    _where(lambda s: s.study, "steering", "check_steering", once=True),
    Group(traced.check_traces, traced.CHECKS),
    Group(None, lambda: _rows("elements")),
)
"""In the order in which the findings are listed."""


def every_check() -> Iterator[Check]:
    """Every row of the registry."""
    for group in GROUPS:
        yield from group.checks if isinstance(group.checks, tuple) else group.checks()


def judge(design: Design, bracket: Bracket, surface: Surface | None, *, opinions: bool = True) -> tuple[Finding, ...]:
    """Every finding about a bracket on its rail: the bracket's, the swing's, the steering's.

    Args:
        design: What was decided; the ``[rules]`` of its job choose the rule set that decides.
        bracket: The bracket as it was built, trimmed or kept.
        surface: The rail or tube that it stands on; None leaves out what is judged against it.
        opinions: False leaves out what other rule sets say, which decides nothing.

    Raises:
        Refusal: A steel or an electrode is not in the tables.
    """
    return findings_of(Setting(design, bracket, surface, opinions))


def findings_of(setting: Setting, *, whole: bool = True) -> tuple[Finding, ...]:
    """The same of a setting that is made already; not ``whole``, without what is asked once of a machine."""
    asked = (group.ask for group in GROUPS if group.ask is not None and (whole or not group.once))
    findings = tuple(f for ask in asked for f in proved(setting, tuple(ask(setting)), ask))
    # who shows no opinions, or judges thousands of variants, looks at none
    return findings if setting.opinions else tuple(f for f in findings if f.decides)
