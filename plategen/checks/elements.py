"""An ear under finite elements, refined until its stress settles, beside what the hand formulas say.

In the plate's plane only: the pin presses on half its hole with a pressure that falls as the cosine from the direction
of the force, the notch is held. Stress within a thickness of the held edge is left out: there the ideal corner has no
finite stress, and the weld is judged by its own rules.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from plategen.checks.finding import Check, Finding, part
from plategen.checks.load_path import Assembly, Carrier
from plategen.checks.setting import Setting
from plategen.checks.swept import CUTS, edges_of, span_of, stresses
from plategen.design.motion import LoadCase
from plategen.ground.message import NOTHING, Message, message, mpa, number
from plategen.ground.refusal import Refusal
from plategen.ground.space import dot, mixed
from plategen.rules.elements import Field, Flags, Floats, solve_plate
from plategen.rules.plate_mesh import mesh_plate
from plategen.rules.plate_section import cut_sections, sweep_places
from plategen.rules.safety import LOAD_FACTOR, YIELDING

_row = partial(Check, subject="finite elements", unit="MPa", needs="--elements", opinion=True)
_LINEAR = "plane-stress finite elements, linear, against"
BODY = _row(
    "finite elements, body of the plate",
    source=f"{_LINEAR} first yield",
    not_covered="The finite elements lie in the plate's plane: what bends it out of that plane is not in them.",
)
RIM = _row("finite elements, rim of the pin hole", source=f"{_LINEAR} yield", most="caution")
CHECKS = (BODY, RIM)
"""The checks of this file."""

SIZES = (0.30, 0.20, 0.14, 0.10, 0.07)
"""Size of the triangles at the pin hole over its radius, mesh by mesh."""

SETTLED = 0.02
"""The stresses have settled when a finer mesh moves both peaks by less than this share."""


@dataclass(frozen=True, slots=True)
class EarField:
    """One ear, solved."""

    plate: str  # Its name.
    case: Message | str  # The load case.
    field: Field  # Mesh, displacements and stresses on the finest mesh, load factor not in.
    rim_mpa: float  # Largest equivalent stress on the rim of the pin hole.
    body_mpa: float  # Largest equivalent stress a radius off the hole's rim and a thickness off the held edge.
    section_mpa: float  # What plane sections give for the worst cut in the plate's plane.
    section_field_mpa: float  # What the elements give where that cut meets its worst edge.
    error: float  # Share by which the last refinement moved the peaks.


def solve_ears(setting: Setting) -> tuple[EarField, ...]:
    """Solve every pin plate that has a notch, each under its worst load case in its plane.

    Raises:
        Refusal: No plate holds both the pin and the rail, scikit-fem is not installed, or a plate cannot be meshed.
    """
    known: dict[object, EarField] = {}
    fields = []
    for group in setting.assemblies:
        for carrier in group.carriers:
            plate = carrier.plate
            if plate.notch is None:
                continue
            place = plate.placement
            alike = (plate.outline, plate.holes, plate.openings, plate.thickness_mm, place.u, place.v)
            if alike not in known:
                known[alike] = _solve(setting, carrier, group)
            fields.append(replace(known[alike], plate=plate.name))
    if not fields:
        raise Refusal(
            "this bracket has no plate to solve: one that holds the pin and is notched for the rail; without the "
            "option is right",
            "--elements",
        )
    return tuple(fields)


def check_elements(setting: Setting, fields: tuple[EarField, ...]) -> Iterator[Finding]:
    """The findings of solved ears, as second opinions."""
    rules = setting.rules.set
    factor = LOAD_FACTOR[rules]
    for ear in fields:
        fy = setting.steels[ear.plate].fy_mpa
        mesh = message(
            f"checked in small pieces ({len(ear.field.mesh.triangles)}), good to about {{}} %"
            f"{'' if ear.error < SETTLED else ', not settled'}",
            number(100.0 * ear.error),
        )
        deep = abs(ear.section_field_mpa - ear.section_mpa) > 0.25 * ear.section_mpa
        yield BODY.strength(
            part(ear.plate),
            ear.body_mpa * factor,
            fy if rules == "en-1993" else YIELDING.available(fy, rules),
            assumed=message(
                "{}; in the plate's plane only; at the worst cut the beam formula gives {} and the small pieces {} "
                "before load factors" + ("; so short and deep a plate is no slender beam" if deep else ""),
                mesh,
                mpa(ear.section_mpa),
                mpa(ear.section_field_mpa),
            ),
            case=ear.case,
            cure="a wider or thicker plate",
        )
        yield RIM.strength(
            part(ear.plate),
            ear.rim_mpa * factor,
            fy,
            assumed=message(
                "{}; a rim may yield locally, the pin-plate rules allow for it; the pin presses most in the middle",
                mesh,
            ),
            case=ear.case,
        )


def _solve(setting: Setting, carrier: Carrier, group: Assembly) -> EarField:
    plate = carrier.plate
    place = plate.placement
    flats: dict[complex, Message | str] = {}
    for case in setting.cases:
        f, u, v = case.force_n, place.u, place.v
        flat = complex(dot(f, u), dot(f, v))
        flats.setdefault(complex(round(flat.real, 3), round(flat.imag, 3)) * carrier.share, case.name)
    coarse = max(flats, key=lambda flat: max(_peaks(carrier, _field(carrier, flat, SIZES[0]))))
    known = _field(carrier, coarse, SIZES[0])
    rim, body = _peaks(carrier, known)
    error = math.inf
    for size in SIZES[1:]:
        known = _field(carrier, coarse, size)
        finer = _peaks(carrier, known)
        error = max(abs(finer[0] - rim) / finer[0], abs(finer[1] - body) / finer[1])
        rim, body = finer
        if error < SETTLED:
            break
    hand, edge = _hand(carrier, group, coarse)
    near = int(np.argmin(np.abs(known.mesh.points @ np.array([1.0, 1j]) - edge)))
    return EarField(
        plate=plate.name,
        case=flats[coarse],
        field=known,
        rim_mpa=rim,
        body_mpa=body,
        section_mpa=hand,
        section_field_mpa=float(known.von_mises_mpa[near]),
        error=error,
    )


def solve_force(carrier: Carrier, force: complex) -> Field:
    """A pin plate with a notch under any force, N, in its plane, on a middling mesh."""
    return _field(carrier, force, SIZES[1])


def _field(carrier: Carrier, force: complex, hole_share: float) -> Field:
    plate, circle = carrier.plate, carrier.hole.circle
    notch = plate.notch
    assert notch is not None
    holes = [circle, *(hole.circle for hole in plate.holes if hole is not carrier.hole)]
    size = max(plate.outline.bounds[2] - plate.outline.bounds[0], 4.0 * circle.radius) / 14.0
    mesh = mesh_plate(plate.outline, plate.openings, holes, size * hole_share / SIZES[0], hole_share)
    way, radius = force / abs(force), circle.radius
    top = 2.0 * abs(force) / (math.pi * radius * plate.thickness_mm)

    def on_hole(x: Floats) -> Flags:
        met = np.abs(x[0] + 1j * x[1] - circle.centre) < radius * 1.001
        loaded: Flags = met & (((x[0] + 1j * x[1] - circle.centre) * np.conj(way)).real > 0.0)
        return loaded

    def pressure(x: Floats) -> Floats:
        out = x[0] + 1j * x[1] - circle.centre
        out = out / np.abs(out)
        push = top * np.maximum(0.0, (out * np.conj(way)).real) * out
        return np.stack([push.real, push.imag])

    def on_notch(x: Floats) -> Flags:
        return np.array([notch.distance(complex(a, b)) < 0.02 for a, b in x.T])

    return solve_plate(mesh, on_notch, [(on_hole, pressure)])


def _peaks(carrier: Carrier, field: Field) -> tuple[float, float]:
    """Largest equivalent stress on the pin hole's rim, and in the body."""
    notch, circle = carrier.plate.notch, carrier.hole.circle
    assert notch is not None
    at = field.mesh.points @ np.array([1.0, 1j])
    mises = field.von_mises_mpa
    away = np.abs(at - circle.centre)
    rim = away < circle.radius * 1.001
    body = away > 2.0 * circle.radius
    body &= np.array([notch.distance(complex(p)) > carrier.plate.thickness_mm for p in at])
    return float(mises[rim].max()), float(mises[body].max(initial=0.0))


def _hand(carrier: Carrier, group: Assembly, force: complex) -> tuple[float, complex]:
    """Largest stress of plane sections in the plate's plane beyond the hole's influence, and the edge it stands at."""
    span = span_of(carrier, group)
    if span is None:
        return 0.0, carrier.hole.circle.centre
    plate = carrier.plate
    circles = [hole.circle for hole in plate.holes]
    first = min(1.5 * carrier.hole.circle.radius, 0.5 * span.end_mm)
    last = max(first, span.end_mm - plate.thickness_mm)
    places = [p for p in sweep_places(plate.outline, circles, span.origin, span.direction, last, CUTS) if p >= first]
    cuts = cut_sections(edges_of(plate), plate.thickness_mm, span.origin, span.direction, places or [last])
    flat = force / carrier.share
    place = plate.placement
    case = LoadCase(NOTHING, mixed(place.u, flat.real, place.v, flat.imag), True)
    hand = stresses((case,), carrier, span, cuts)
    stress = hand.together[0]
    worst = int(np.argmax(stress))
    left, right = (abs(float((hand.axial + bending)[0, worst])) for bending in (hand.left, hand.right))
    across = cuts.last_mm[worst] if left > right else cuts.first_mm[worst]
    edge = span.origin + complex(float(cuts.at_mm[worst]), float(across)) * span.direction
    return float(stress[worst]), edge
