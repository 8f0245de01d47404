"""Does it hold? The one list of checks, and the judge that asks them all over every load case.

Whoever judges walks the list; the tests, the sheet's list of what is not covered and the documentation's table read it.
A new check is a row in its module's ``CHECKS``; a new group is one line here.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from plategen.bracket.model import Bracket
from plategen.checks import (
    access,
    base_plate,
    bend,
    bolt,
    bolt_group,
    bolt_plate,
    clamp,
    crosshead,
    cylinder,
    doubler,
    drilling,
    driven_rod,
    elements,
    fatigue,
    feature,
    fit_up,
    gusset,
    hole,
    pin,
    pin_plate,
    rail_pieces,
    rail_wall,
    run,
    section,
    slot,
    softened,
    stiffness,
    swing,
    tie,
    traced,
    weld,
    welding,
    wrench,
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


def _check_steering(setting: Setting) -> Iterable[Finding]:
    """The findings of a job that draws its steering; others need not load what judges it."""
    if setting.study is None:
        return ()
    from plategen.checks.steering import check_steering

    return check_steering(setting)


def _steering_rows() -> tuple[Check, ...]:
    from plategen.checks.steering import CHECKS

    return CHECKS


GROUPS = (
    Group(pin.check_pin, pin.CHECKS),
    Group(pin_plate.check_pin_plates, pin_plate.CHECKS),
    Group(hole.check_holes, hole.CHECKS),
    Group(slot.check_slots, slot.CHECKS),
    Group(section.check_sections, section.CHECKS),
    Group(softened.check_softened, softened.CHECKS),
    Group(weld.check_welds, weld.CHECKS),
    Group(tie.check_ties, tie.CHECKS),
    Group(stiffness.check_stiffness, stiffness.CHECKS),
    Group(rail_wall.check_rail_wall, rail_wall.CHECKS),
    Group(gusset.check_gussets, gusset.CHECKS),
    Group(crosshead.check_crosshead, crosshead.CHECKS),
    Group(doubler.check_doubler, doubler.CHECKS),
    Group(fatigue.check_fatigue, fatigue.CHECKS),
    Group(welding.check_welding, welding.CHECKS),
    Group(bolt.check_bolts, (*bolt.CHECKS, *bolt_plate.CHECKS)),
    Group(bolt_group.check_bolt_groups, bolt_group.CHECKS),
    Group(base_plate.check_base, base_plate.CHECKS),
    Group(bend.check_bends, bend.CHECKS),
    Group(drilling.check_drilling, drilling.CHECKS),
    Group(hole.check_far_bolts, hole.FAR_CHECKS),
    Group(wrench.check_wrenches, wrench.CHECKS),
    Group(run.check_runs, run.CHECKS),
    Group(fit_up.check_fit_up, fit_up.CHECKS),
    Group(rail_pieces.check_rail, rail_pieces.CHECKS),
    Group(clamp.check_clamp, clamp.CHECKS),
    Group(cylinder.check_cylinder, cylinder.CHECKS, once=True),
    Group(driven_rod.check_driven_rod, driven_rod.CHECKS, once=True),
    Group(cylinder.check_rod_end, (cylinder.TILT,)),
    Group(swing.check_swing, swing.CHECKS),
    Group(access.check_access, access.CHECKS),
    Group(feature.check_features, feature.CHECKS),
    Group(swing.check_pin_place, (swing.PIN_PLACE,)),
    Group(_check_steering, _steering_rows, once=True),
    Group(traced.check_traces, traced.CHECKS),
    Group(None, elements.CHECKS),
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
