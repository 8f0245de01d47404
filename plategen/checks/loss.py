"""What happens when it fails: which single part's loss takes the steering away, and which only its assist.

A linkage is a tree with the steering box's arm at its root, so the loss of any rod cuts off every wheel beyond it.
What the cylinder needs, bracket and oil, is assist as long as a box still turns the wheels by itself.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from plategen.bracket.model import Bracket
from plategen.design.design import Design
from plategen.ground.message import Message, message
from plategen.job.bracket import STYLES

if TYPE_CHECKING:
    from plategen.steering.linkage import Linkage
    from plategen.steering.study import SteeringStudy


@dataclass(frozen=True, slots=True)
class Loss:
    """A part, what goes when it alone is lost, and how."""

    part: str
    takes: Literal["the steering", "the assist", "the assist or the steering"]
    how: Message | str


def losses(design: Design, bracket: Bracket) -> tuple[Loss, ...]:
    """Every part of which there is one, those that take the steering first."""
    found = (*_linkage(design.study), *_stood_on(design), *_assist(design, bracket))
    return tuple(sorted(found, key=lambda loss: loss.takes != "the steering"))


def cut_off(linkage: "Linkage", driver: str, rod: str) -> tuple[str, ...]:
    """The road wheels, ``"left"`` and ``"right"``, that the driving lever turns no more without a rod."""
    beyond = linkage.beyond(driver, rod)
    return tuple(side for side, lever in linkage.wheels().items() if lever in beyond)


def _linkage(study: "SteeringStudy | None") -> Iterator[Loss]:
    if study is None or study.sweep is None:
        return
    linkage, driver = study.sweep.linkage, study.sweep.motion.driver
    for rod in linkage.rods:
        sides = cut_off(linkage, driver, rod.name)
        if sides:
            wheels = f"the {sides[0]} wheel is" if len(sides) == 1 else "both wheels are"
            how = message("with it, a ball stud or a lever at its ends, {} free of '{}'", wheels, driver)
            yield Loss(rod.name, "the steering", how)


def _stood_on(design: Design) -> Iterator[Loss]:
    if STYLES[design.job.bracket.style].stands_on == "tube":
        yield Loss(
            "the tube that the bracket stands on",
            "the steering",
            "it is a part of the steering itself: a crack that begins at the bracket goes through it",
        )


def _assist(design: Design, bracket: Bracket) -> Iterator[Loss]:
    study = design.study
    boxed = study is not None and study.sweep is not None and study.sweep.column_ratio is not None
    takes: Literal["the assist", "the assist or the steering"] = "the assist" if boxed else "the assist or the steering"
    rest = "" if boxed else "; the steering with it where no box turns the wheels by itself"
    yield Loss(
        "the cylinder's pin, or what keeps it in",
        takes,
        f"the cylinder comes loose and may wedge what it lies against{rest}",
    )
    held = [plate for plate in bracket.plates if any(hole.purpose == "pin" for hole in plate.holes)]
    if len(held) == 1:
        yield Loss("the one plate that holds the pin", takes, f"nothing else holds it{rest}")
    elif held:
        how = f"the pin then hangs in the other alone, which no check here lets stand{rest}"
        yield Loss("one of the two plates that hold the pin, or its weld", takes, how)
    yield Loss("the cylinder's rod or moving end", takes, f"the wheels no longer follow the oil{rest}")
    yield Loss("a hose, the pump, its drive or the relief valve", takes, f"the cylinder pushes no more{rest}")
    yield Loss(
        "nothing lost, but jammed: a bent rod, a seized pin, a bolt in the way",
        "the steering",
        "a cylinder that cannot move holds the wheels where they are, against the driver",
    )
