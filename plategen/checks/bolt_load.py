"""What each load case does to the bolts of a joint: shear in the plates' plane, tension, and where the plates bear.

Shear by the elastic method. Square to the plates by statics of stiff plates that tilt about the edge of the face on
which they lie on each other. So bolts and contact together are the load, to the last bit.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plategen.checks.load_path import Assembly, BoltJoint
from plategen.design.motion import LoadCase
from plategen.flat.loop import Loop
from plategen.flat.overlap import shared_face
from plategen.flat.placement import Placement
from plategen.flat.segment import cross
from plategen.ground.message import Message
from plategen.ground.space import Vector, dot, minus
from plategen.rules.bolt import group_forces_n
from plategen.rules.contact import bolts_and_contact, bolts_and_pads


@dataclass(frozen=True, slots=True)
class Pulled:
    """What one case does to a pattern, N."""

    case: Message  # The load case.
    shear: tuple[complex, ...]  # Force on each bolt in the upper plate's plane.
    tensions: tuple[float, ...]  # Tension of each bolt.
    contact: tuple[float, ...]  # What the plates press on each other at each corner of their face.
    lift: float  # What of the tension no contact elsewhere balances: the pull on the joint itself, shared by all.

    @property
    def most_shear(self) -> float:
        """Shear on the bolt that has most of it."""
        return max(map(abs, self.shear))

    @property
    def tension(self) -> float:
        """Tension of the bolt that has most of it."""
        return max(self.tensions)


@dataclass(frozen=True, slots=True)
class Face:
    """Where the upper plate of a joint lies on the lower one, and where it is loaded."""

    place: Placement  # The plane of the face, its u and v those of the upper plate.
    side: float  # 1 where the lower plate lies along the plane's normal, -1 where it lies against it.
    bolts: tuple[complex, ...]  # Bolt centres.
    # Corners of the least convex outline about the face, anticlockwise; on a thin wall the bolts, which are packed.
    corners: tuple[complex, ...]
    loaded_at: Vector  # Where the force acts on the upper plate.
    ways: tuple[complex, ...] = ()  # Where some bolts sit in slots and others stop them, each bolt's slot, or 0.
    stiff: bool = True  # Whether both plates bear at the edge of the face; a rail's thin wall does not.

    @property
    def foot(self) -> complex:
        """Where in the plane the force acts, square below the point at which it loads the plate."""
        return self.place.flat(self.loaded_at)

    def flat_forces(self, cases: Sequence[LoadCase], share: float) -> list[complex]:
        """What every load case does in the plane, N."""
        u, v = self.place.u, self.place.v
        return [share * complex(dot(case.force_n, u), dot(case.force_n, v)) for case in cases]


def face_of(assembly: Assembly, joint: BoltJoint, pin: Vector | None = None) -> Face:
    """The face of a joint, and where the pin loads its upper plate: of one that holds both ears, its middle."""
    upper, lower = joint.upper, joint.lower
    n, at = upper.placement.normal, tuple(hole.circle.centre for hole in joint.upper_holes)
    middle = lower.placement.point(0j, lower.thickness_mm / 2.0)
    side = 1.0 if dot(n, minus(middle, upper.placement.origin)) > upper.thickness_mm / 2.0 else -1.0
    depth = upper.thickness_mm if side > 0.0 else 0.0
    place = upper.placement.shifted((n[0] * depth, n[1] * depth, n[2] * depth))
    if joint.on_wall:
        loaded = place.point(at[0]) if pin is None else assembly.loaded_at(pin)
        ways = joint.ways if joint.stopped else ()
        return Face(place=place, side=side, bolts=at, corners=at, loaded_at=loaded, ways=ways, stiff=False)
    carried = [carrier.at for carrier in assembly.carriers if carrier.plate is upper]
    carried += [carrier.at for carrier in assembly.carriers]
    return Face(
        place=place,
        side=side,
        bolts=at,
        corners=tuple(shared_face(upper.outline, _seen_from(place, lower.outline, lower.placement), sum(at) / len(at))),
        loaded_at=carried[0] if carried else place.point(at[0]),
    )


def pulled(face: Face, cases: Sequence[LoadCase], share: float) -> list[Pulled]:
    """What every load case does to the bolts; the plate has ``share`` of the force in its plane, all of it across."""
    n, foot = face.place.normal, face.foot
    height = dot(n, minus(face.loaded_at, face.place.origin))
    flats = face.flat_forces(cases, share)
    away = [-face.side * dot(case.force_n, n) for case in cases]
    first = [foot * pull + face.side * height * flat for pull, flat in zip(away, flats, strict=True)]
    if face.stiff:
        tensions, contacts = bolts_and_contact(face.bolts, face.corners, away, first)
    else:
        tensions, contacts = bolts_and_pads(face.bolts, away, first)
    arm = foot - face.bolts[0]

    def held(flat: complex) -> bool:
        """False where nothing keeps the plate from turning about a single bolt."""
        return len(face.bolts) > 1 or abs(cross(arm, flat)) <= 1e-9 * abs(arm) * abs(flat)

    rows = zip(cases, flats, away, tensions.tolist(), contacts.tolist(), strict=True)
    return [
        Pulled(
            case=case.name,
            shear=_past_slots(face, group_forces_n(face.bolts, flat, foot)),
            tensions=tuple(tension) if held(flat) else (math.inf,) * len(tension),
            contact=tuple(contact),
            lift=max(0.0, pull) / len(face.bolts),
        )
        for case, flat, pull, tension, contact in rows
    ]


def _past_slots(face: Face, shear: tuple[complex, ...]) -> tuple[complex, ...]:
    """What comes on each bolt where two of them stop the others along their slots, which are parallel.

    Along the slots the two take all of it and its couple, as two supports of a beam do; across them each bolt its own.
    """
    if not face.ways:
        return shear
    way = next(way for way in face.ways if way)
    one, other = (k for k, slot in enumerate(face.ways) if not slot)
    along = [(force * way.conjugate()).real if slot else 0.0 for force, slot in zip(shear, face.ways, strict=True)]
    off = [(at * way.conjugate()).imag for at in face.bolts]
    couple = sum(force * (arm - off[one]) for force, arm in zip(along, off, strict=True))
    second = couple / (off[other] - off[one])
    taken = {one: sum(along) - second, other: second}
    return tuple(
        force - push * way + taken.get(k, 0.0) * way for k, (force, push) in enumerate(zip(shear, along, strict=True))
    )


def _seen_from(place: Placement, outline: Loop, own: Placement) -> Loop:
    """An outline of a plane that lies along another one, or faces it, in that one's u and v."""
    if dot(own.normal, place.normal) < 0.0:
        outline = outline.mirrored()
    return outline.moved(complex(dot(own.u, place.u), dot(own.u, place.v)), place.flat(own.origin))
