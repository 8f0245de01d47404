"""How far the pin moves when the cylinder pushes: what the plates give is lost motion of the steering.

In its plane a plate is a deep beam from the pin to what holds it: bending, shear and pull of the same cuts as its
strength, and what the hole gives of its own. Steel that stands further out than the force spreads does not count.
Sideways it is a cantilever to its weld or tie. The rail, the welds, the pin and its play give besides.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache, partial

import numpy as np

from plategen.bracket.style import build_bracket
from plategen.checks.finding import Check, Finding, first_worst, part
from plategen.checks.load_path import Carrier
from plategen.checks.setting import REMEMBERED, Setting
from plategen.checks.swept import Swept, handed_on, swept_of
from plategen.design.motion import LoadCase
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Quantity, message, size
from plategen.ground.refusal import Refusal
from plategen.ground.space import dot
from plategen.job.gusset import Gusset
from plategen.rail.surface import Rail
from plategen.rules.material import POISSON, YOUNG_MPA
from plategen.rules.plate_section import Complexes, Floats, added_up

MOST_MM = 0.8
"""As much as the pin's play in a reamed hole: a thirty-second of an inch (common practice, no source)."""

SHEAR_MPA = YOUNG_MPA / (2.0 * (1.0 + POISSON))
"""Shear modulus of steel."""

SHEAR_FACTOR = 1.2
"""Shear stores so much more in a rectangle than an even stress would (textbooks of strength of materials)."""

SPREAD = 1.5
HOLE_GIVES = 0.5
"""By how much of the way from the pin the force spreads to each side, and what the hole gives over F/(E t): read off
finite elements, beside which the sum lies within a tenth (``python -m tests.bench ears``)."""

PUSH = Check(
    "movement at the pin, push",
    "stiffness",
    "mm",
    "at most",
    most="caution",
    not_covered="The pin's movement is that of the plates alone: rail, welds, bolts, pin and play give besides.",
)
ASIDE = Check("movement at the pin, sideways", "stiffness", "mm", "at most", most="caution")
CHECKS = (PUSH, ASIDE)
"""The checks of this file."""


def check_stiffness(setting: Setting) -> Iterator[Finding]:
    """How far each pin plate lets the pin move under full push at relief pressure, and its spring rate."""
    pushes = [case for case in setting.cases if case.push]
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            swept = swept_of(setting, carrier, assembly)
            if swept is not None:
                yield from _moves(setting, carrier, swept, pushes)


def _moves(setting: Setting, carrier: Carrier, swept: Swept, pushes: list[LoadCase]) -> Iterator[Finding]:
    place, shock = carrier.plate.placement, setting.rules.shock_factor
    forces = [complex(dot(case.force_n, place.u), dot(case.force_n, place.v)) for case in pushes]
    gives = _gives(swept, tuple(force * (carrier.share / shock) for force in forces))
    case, moved = first_worst(list(zip(pushes, gives, strict=True)), lambda pair: pair[1])
    rate = case.size_n / shock * carrier.share / moved if moved > 0.0 else 0.0
    yield PUSH.at_most(
        part(carrier.plate.name),
        MOST_MM,
        moved,
        assumed=message(
            "along the push at relief pressure, no shock; spring rate {} of this plate, {} of all that hold the pin",
            Quantity(rate, "N/mm"),
            Quantity(rate * len(setting.carriers), "N/mm"),
        ),
        case=case.name,
        cure="a thicker or wider plate, or the pin nearer to the rail",
    )
    side = max(pushes, key=lambda case: abs(dot(case.force_n, place.normal)))
    force = abs(dot(side.force_n, place.normal)) / shock
    moved = aside_mm(swept, force)
    if moved > 0.0:
        yield ASIDE.at_most(
            part(carrier.plate.name),
            MOST_MM,
            moved,
            assumed=message(
                "the whole side force of a push at relief pressure on this plate; spring rate {}",
                Quantity(force / moved, "N/mm"),
            ),
            case=side.name,
            cure=partial(_stiffened, setting),
        )


def _stiffened(setting: Setting) -> Cure:
    """Gussets as thick as the ears, where they can stand and keep the pin still enough; else what would do."""
    job, otherwise = setting.job, "a thicker plate, a gusset behind each ear ([gusset]), or a plate that ties the ears"
    if not job.takes_gussets or not isinstance(setting.surface, Rail):
        return advise(otherwise)
    thick_mm = job.bracket.thickness_mm
    try:
        ribbed = replace(setting.design, job=job.replaced(gusset=Gusset(thickness_mm=thick_mm)))
        tried = Setting(ribbed, build_bracket(ribbed, setting.surface), setting.surface, opinions=False, tried=False)
    except Refusal:
        return advise(otherwise)
    if any(f.of == ASIDE and f.verdict != "ok" for f in check_stiffness(tried)):
        return advise(otherwise)
    words = "a gusset of {} behind each ear, or a plate that ties the ears, or a thicker plate"
    return set_to("gusset.thickness", size(thick_mm), words)


@lru_cache(maxsize=REMEMBERED)
def _gives(swept: Swept, forces: tuple[complex, ...]) -> tuple[float, ...]:
    return tuple(along_mm(swept, np.array(forces, dtype=np.complex128)).tolist())


def along_mm(swept: Swept, forces: Complexes) -> Floats:
    """Movement of the pin along each of its forces in the plate's plane, mm: twice the strain energy over the force.

    Args:
        swept: The plate.
        forces: Its forces (n,), N, in the plate's plane.
    """
    cuts, size = swept.cuts, np.abs(forces)
    turned = (forces * swept.span.direction.conjugate())[:, None]
    counted = np.minimum(1.0, (cuts.width_mm[0] + 2.0 * SPREAD * cuts.at_mm) / cuts.width_mm)
    area, inertia = cuts.area_mm2 * counted, cuts.inertia_mm4 * counted**3
    moment = cuts.centroid_mm * turned.real - cuts.at_mm * turned.imag
    energy = moment**2 / (YOUNG_MPA * inertia) + turned.real**2 / (YOUNG_MPA * area)
    energy += SHEAR_FACTOR * turned.imag**2 / (SHEAR_MPA * area)
    hole = HOLE_GIVES * size / (YOUNG_MPA * swept.thickness_mm)
    return np.asarray(added_up(energy, cuts.at_mm) / np.where(size > 0.0, size, 1.0) + hole)


def aside_mm(swept: Swept, force_n: float) -> float:
    """Movement of the pin out of the plate's plane, mm, a cantilever from the pin to its weld or tie.

    A crosshead takes its part of the force to the other ear.
    """
    cuts = swept.cuts
    at, span = np.minimum(cuts.at_mm, swept.span.tie_mm), swept.span
    handed = handed_on(span, cuts) * np.maximum(0.0, at - min(span.cross_mm, span.tie_mm))
    counted = np.minimum(cuts.width_mm, cuts.width_mm[0] + 2.0 * SPREAD * cuts.at_mm)
    inertia = counted * swept.thickness_mm**3 / 12.0
    return float(added_up(force_n * (at - handed) * at / (YOUNG_MPA * inertia), at))
