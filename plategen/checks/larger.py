"""The next size that holds, as the cure of what does not: legs, plates and bolts, each by its key of the job file."""

import math
from collections.abc import Callable

from plategen.bracket.model import WeldRun
from plategen.checks.setting import Setting
from plategen.ground.cure import Change, Cure, advise, set_to
from plategen.ground.message import Value, message, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES
from plategen.rules.hole_size import made_bolts_mm


def next_up_mm(setting: Setting, least_mm: float) -> float:
    """The next size up that a shop would call for."""
    return PART_SIZES.up(least_mm, setting.job.units)


def up(setting: Setting, least_mm: float) -> Value:
    """The next size up that a shop would call for, to stand in a message."""
    return size(next_up_mm(setting, least_mm)) if math.isfinite(least_mm) else "more than can be"


def raise_to(setting: Setting, key: str, least_mm: float, template: str, otherwise: str) -> Cure:
    """A key set to the next size up from the least that holds; other advice where no size would.

    Args:
        setting: The design under judgement.
        key: The key of the job file.
        least_mm: The least that holds.
        template: The words, with one place for the size: ``"leg to {}"``.
        otherwise: What else would do, where the least is beyond any size.
    """
    if not math.isfinite(least_mm):
        return advise(otherwise)
    return set_to(key, size(next_up_mm(setting, least_mm)), template)


def size_that_holds(
    setting: Setting, now_mm: float, holds: Callable[[float], bool], most_mm: float = math.inf
) -> float | None:
    """The next size above ``now_mm`` that a shop would call for and that holds; None up to ten times it.

    Args:
        setting: The design under judgement.
        now_mm: The size that does not hold.
        holds: Whether a size does.
        most_mm: Sizes from here on cannot be.
    """
    return next((each for each in PART_SIZES.above(now_mm, setting.job.units, most_mm) if holds(each)), None)


def bolts_that_hold(setting: Setting, key: str, now_mm: float, holds: Callable[[float], bool]) -> Cure:
    """The cure of a bolt that is too small: the next size that is made in the job's units, or what else would do.

    Args:
        setting: The design under judgement.
        key: The bolt's key of the job file: ``"split.bolt"``, ``"seat.clamp.bolt"``.
        now_mm: The bolt that does not hold.
        holds: Whether a bolt of a diameter does; it may raise a Refusal for a size that its grade has not.
    """
    for bolt_mm in made_bolts_mm(setting.job.units):
        if bolt_mm > now_mm + 1e-6 and _does(holds, bolt_mm):
            return set_to(key, size(bolt_mm), "bolts to {}")
    return advise("more bolts further apart, or a stronger grade")


def friction_that_holds(
    setting: Setting, key: str, now_mm: float, holds: Callable[[float], bool], otherwise: str
) -> Cure:
    """The cure of bolts whose friction does not hold: pretension, a larger bolt, or both.

    Args:
        setting: The design under judgement.
        key: The bolt's key of the job file.
        now_mm: The bolt that there is.
        holds: Whether a pretensioned bolt of a diameter does.
        otherwise: What else would do: ``"or a ladder of holes"``.
    """
    if setting.rules.pretensioned:
        larger = bolts_that_hold(setting, key, now_mm, holds)
        return Cure(message("{}, {}", larger.advice, otherwise), larger.changes)
    words = message("pretension the bolts (pretensioned = true under [rules])")
    tighten: tuple[Change, ...] = (Change("rules.pretensioned", True),)
    grade = setting.tight_grade(now_mm).name
    if grade != setting.bolt_grade(now_mm).name:
        words, tighten = message("{}, of {}", words, grade), (*tighten, Change("rules.bolt_grade", grade))
    if _does(holds, now_mm):
        return Cure(message("{}, {}", words, otherwise), tighten)
    larger = bolts_that_hold(setting, key, now_mm, holds)
    changes = (*tighten, *larger.changes) if larger.changes else ()
    return Cure(message("{}, and {}, {}", words, larger.advice, otherwise), changes)


def thickness_key(setting: Setting, plate: str) -> str:
    """The key of the job file that a plate's thickness comes from."""
    match setting.plates[plate].role:
        case "closing":
            return "closing.thickness"
        case "doubler" | "gusset" | "crosshead" as role:
            return f"{role}.thickness"
        case "pad":
            return "seat.pad.thickness"
        case "clamp":
            return "seat.clamp.thickness"
        case "base" if setting.bracket.folded is None:
            return "bolted.base"
        case "backing":
            return "bolted.backing"
        case "tab" if setting.job.split is not None:
            return "split.tab_thickness"
        case _:
            return "bracket.thickness"


def leg_key(setting: Setting, run: WeldRun) -> str:
    """The key of the job file that a run's leg comes from."""
    role = setting.plates[run.plate].role
    return f"{role}.leg" if role in ("closing", "doubler", "gusset", "crosshead") else "weld.leg"


def _does(holds: Callable[[float], bool], size_mm: float) -> bool:
    try:
        return holds(size_mm)
    except Refusal:
        return False
