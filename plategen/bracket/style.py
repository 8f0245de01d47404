"""What a style of bracket is: how its sizes are chosen, how it is built, what it is made of, which examples show it.

Each style is the file of its name in this folder, which holds it as ``STYLE``, and is imported when a job asks for it.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any, Generic, TypeAlias, TypeVar

from plategen.bracket.feature import features_on
from plategen.bracket.interrupt import interrupted
from plategen.bracket.model import Bracket
from plategen.bracket.sawn import sawn
from plategen.bracket.stands_on import with_feet
from plategen.design.design import Design, Sizes
from plategen.design.motion import motion_of
from plategen.design.places import PinPlace, PlatePlace, pin_place
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.bracket import StyleName
from plategen.rail.surface import Rail
from plategen.rail.tube import Surface, Tube

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy

On = TypeVar("On", Rail, Tube)
"""What it stands on."""


Settled: TypeAlias = tuple[Design, Bracket | None]
"""A design, and its bracket where that was built to settle it, lest it be built again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Style(Generic[On]):
    """A style. What it stands on and holds and which table is its own stand in :mod:`plategen.job.bracket`."""

    name: StyleName  # As the job file has it.
    sizes: Callable[[Job, PinPlace, On], Sizes]  # Chooses what the job leaves to a rule, on what the bracket stands on.
    build: Callable[[Design, On], Bracket]  # Makes plates and welds of a design.
    # The same without a look for a cure where it cannot be built, for who looks for one; None where that is all one.
    build_once: Callable[[Design, On], Bracket] | None = None
    # Where a rule can tell only by building whether a size does: the design with that size, and what it built.
    settle: Callable[[Design, On], Settled] = lambda design, _: (design, None)
    # Where its plates that are fitted to a traced rail lie along the pin, by the plane of the first one's inner face;
    # fit notes speak of these.
    fitted: Callable[[Job, float], Sequence[PlatePlace]]
    examples: tuple[str, ...]  # Folders of ``profiles/`` that show it.


def first_built(designs: Iterable[Design], build: Callable[[Design], Bracket]) -> Settled | None:
    """The first of designs that can be built, for a rule that tells only by trying; None where none can."""
    for design in designs:
        try:
            return design, build(design)
        except Refusal:
            continue
    return None


@cache
def style_of(name: StyleName) -> Style[Any]:
    """The style of a name."""
    style: Style[Any] = import_module(f"plategen.bracket.{name}").STYLE
    return style


def design_on(job: Job, surface: Surface, study: "SteeringStudy | None" = None) -> Design:
    """The design of a job's bracket on a rail that is fitted, or on its tube.

    Raises:
        Refusal: A size cannot be chosen, or the study places no pin.
    """
    return _settled_on(job, surface, study)[0]


def built_on(
    job: Job, surface: Surface, study: "SteeringStudy | None" = None, *, once: bool = False
) -> tuple[Design, Bracket]:
    """The design of a job's bracket and, by :func:`build_bracket`, the bracket.

    Raises:
        Refusal: A size cannot be chosen, the study places no pin, or it cannot be built.
    """
    design, built = _settled_on(job, surface, study)
    return design, build_bracket(design, surface, once=once) if built is None else _finished(design, surface, built)


def _settled_on(job: Job, surface: Surface, study: "SteeringStudy | None") -> Settled:
    pin = pin_place(job, study)
    style = style_of(job.bracket.style)
    sizes = style.sizes(job, pin, surface)
    design = Design(
        job=job,
        study=study,
        pin=pin,
        motion=motion_of(job, study),
        nose=sizes.nose,
        toe=sizes.toe,
        relief=sizes.relief,
        foot=sizes.foot,
        bolts=sizes.bolts,
        doubler=sizes.doubler,
        base=sizes.base,
    )
    return style.settle(design, surface)


def build_bracket(design: Design, on: Rail | Tube, *, once: bool = False) -> Bracket:
    """The bracket of a design, on the rail as it was traced or on its tube, its weld runs numbered.

    Runs on the rail stop short of what the job says is on it; plates bear the feet of the parts that stand on them.
    ``once`` looks for no cure where it cannot be built.

    Raises:
        Refusal: It cannot be built; see the style's own builder.
    """
    style = style_of(design.job.bracket.style)
    return _finished(design, on, ((once and style.build_once) or style.build)(design, on))


def _finished(design: Design, on: Surface, bracket: Bracket) -> Bracket:
    if design.job.cutting.straight:
        bracket = replace(bracket, plates=tuple(map(sawn, bracket.plates)))
    bracket = interrupted(bracket, features_on(design.job, on))
    welds = tuple(replace(run, name=f"W{k}") for k, run in enumerate(bracket.welds, start=1))
    return with_feet(replace(bracket, welds=welds))
