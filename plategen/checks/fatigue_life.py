"""What is asked of a bracket's life in full strokes, and a finding about a part whose range of stress is known.

A stroke goes from full push to full pull and back, the cylinder lying as it does: the range of every stress is what the
sum of both forces does. Shocks are no part of it, but a range that does no damage alone does some once shocks have come
between: a limit without damage counts only where the shock's range keeps to it as well.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from plategen.checks.finding import Check, Finding, Part
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.ground.cure import Cure
from plategen.ground.message import Message, count, message
from plategen.job.rules import Use
from plategen.rules import fatigue as rule
from plategen.rules.fatigue import Curve

UNTOLD = Use(hours_a_week=10.0, strokes_an_hour=20.0, years=10.0)
"""What is looked at where the job tells no use: about a hundred thousand full strokes (common practice, no source)."""

EASIER = 0.9
"""Share of the pressure that is tried to lengthen a life."""

MOST_THICKER = 3.0
"""A plate more than so many times as thick is no cure (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of the bracket's life, and its ranges: the cylinder's two forces lie in one line at any angle."""

    strokes: float  # Full strokes that it has to last.
    a_year: float  # Of them in a year.
    told: bool  # False where the job tells no use.
    shock: float  # The shock's range over the stroke's.
    times: float  # The stroke's range over what the push with its shock does.
    pushes: tuple[int, ...]  # Which of the load cases push.

    @classmethod
    def of(cls, setting: Setting) -> "Asked":
        """What the job asks."""
        job, cases = setting.job, setting.cases
        use = job.use or UNTOLD
        usual = (use.pressure_mpa or job.cylinder.pressure_mpa) / job.cylinder.pressure_mpa
        share = usual / setting.rules.shock_factor
        push, pull = (max(c.size_n for c in cases if c.push is way and c.every_stroke) for way in (True, False))
        return cls(
            strokes=use.strokes_a_year * use.years,
            a_year=use.strokes_a_year,
            told=job.use is not None,
            shock=1.0 / share,
            times=share * (push + pull) / push,
            pushes=tuple(index for index, case in enumerate(cases) if case.push),
        )


@dataclass(frozen=True, slots=True)
class Ranged:
    """A part whose range is known in one view."""

    check: Check
    about: Part
    range_mpa: float  # Range of stress, all as the curve has it.
    can_mpa: float  # What of it lasts the strokes that are asked.
    detail: str  # What the curve is for.
    strokes: Callable[[float], float]  # Strokes that it lasts when the range is so many times as large.
    easier: tuple[Message, float]  # A change of the part, and how many times as large the range is with it.
    case: Message | str  # How the cylinder lies.
    cure: Callable[[], Cure]


def finding(asked: Asked, view: View, on: Ranged) -> Finding:
    """The range of a part against what lasts; no more than a caution where the job tells no use."""
    check = on.check if asked.told else on.check.variant(most="caution", near=False)
    lasts = on.strokes(1.0)
    words = message("{}; {}", on.detail, _lasts(asked, lasts))
    if not view.opinion and math.isfinite(lasts):
        ways = (on.easier, (message("a tenth less pressure"), EASIER))
        what, longer = max(((words, on.strokes(times)) for words, times in ways), key=lambda pair: pair[1])
        words = message("{}; longest with {}: {}", words, what, count(longer))
    return check.strength(
        on.about,
        on.range_mpa,
        on.can_mpa,
        source=check.en_source if view.en else check.source,
        assumed=words,
        case=on.case,
        cure=on.cure,
        opinion=view.opinion,
    )


def _lasts(asked: Asked, strokes: float) -> Message:
    """``'lasts about 1.9 million full strokes; at this use 6.2 years'``."""
    if math.isinf(strokes):
        return message("no end to full strokes of this size")
    if not asked.told:
        return message(
            "lasts about {} full strokes; [use] tells none, {} looked at", count(strokes), count(asked.strokes)
        )
    return message("lasts about {} full strokes; at this use {} years", count(strokes), count(strokes / asked.a_year))


@cache
def en_curve(detail: str, category_mpa: float) -> Curve:
    """The curve of direct stress in a category of EN 1993-1-9, divided by its safety factor."""
    return rule.en_direct(detail, category_mpa).times(1.0 / rule.GAMMA_MF)


@cache
def en_shear_curve(detail: str, category_mpa: float) -> Curve:
    """The same of shear."""
    return rule.en_shear(detail, category_mpa).times(1.0 / rule.GAMMA_MF)
