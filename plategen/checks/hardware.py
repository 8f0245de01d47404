"""What is bought beside the plates: bolts with nuts and washers, how tight, and the pin that holds the cylinder.

What knows bolted brackets is loaded for one alone: every bracket has a pin, few have bolts.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from plategen.bracket.model import Plate
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.ground.message import Message, message, mm, number, size
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.space import dot
from plategen.rules.fastener import (
    NUT_FACTORS,
    OF_PROOF,
    WORN_OVER_PIN,
    bolt_length,
    pin_end,
    tightened_n,
    torques_nmm,
    turn_of_nut,
    washer_mm,
)


@dataclass(frozen=True, slots=True)
class Bolts:
    """Bolts alike."""

    holds: str  # ``"ear_near to tab_near, ear_far to tab_far"``.
    count: int
    diameter_mm: float
    grade: str
    grip_mm: float  # Plates between head and nut, washers not.
    washers: int  # Of a bolt, under head and nut; more than two where the nut would else meet the shank.
    washer_mm: float  # One of them.
    washers_mm: float  # All of them, with the plate washer over a slot.
    length_mm: float  # Under the head.
    thread_mm: float  # Of that, from the end.
    # From the end of the shank to the plane between the plates, negative where thread lies in it; None for a clamp.
    shank_past_mm: float | None
    tension_n: float  # What to tighten to; 0 where the grade has no proof load.
    torque_oiled_nmm: float
    torque_dry_nmm: float
    turn: str  # Turn of the nut from snug, where the rules pretension structural bolts by it; else "".
    source: str


@dataclass(frozen=True, slots=True)
class BoughtSleeves:
    """The sleeves about bolts that go right through a closed section: tube, cut to length."""

    count: int
    outside_mm: float
    bore_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class BoughtPin:
    """The pin that holds the cylinder."""

    diameter_mm: float
    steel: str
    grip_mm: float  # What lies between its head and the washer of its split pin.
    length_mm: float | None  # Under the head; None where no end is tabled for it, and with it the two below.
    head_mm: float | None
    split_pin_mm: float | None
    worn_to_mm: float  # The diameter to which it may wear; its own where nothing is left.
    source: str


@dataclass(frozen=True, slots=True)
class Hardware:
    """Everything bought beside the plates, and what to heed of it."""

    bolts: tuple[Bolts, ...]
    sleeves: BoughtSleeves | None
    pin: BoughtPin | None
    notes: tuple[Message, ...]


def hardware(setting: Setting, findings: Iterable[Finding]) -> Hardware:
    """What is bought for a bracket; ``findings`` say how much of its strength the pin has in hand.

    Raises:
        Refusal: A bolt's size is not in the tables.
    """
    bolts, pin = tuple(_alike(_bolts(setting))), _pin(setting, findings)
    notes = (*(_bolt_notes(setting, bolts) if bolts else ()), *(_pin_notes(setting, pin) if pin else ()))
    return Hardware(bolts, _sleeves(setting), pin, notes)


def _sleeves(setting: Setting) -> BoughtSleeves | None:
    if setting.design.base is None:
        return None
    from plategen.bracket.sleeve import sleeves

    cut = sleeves(setting.design)
    return BoughtSleeves(len(cut), cut[0].outside_mm, cut[0].bore_mm, cut[0].length_mm) if cut else None


def _bolts(setting: Setting) -> Iterator[Bolts]:
    for _, joint in setting.bolted:
        upper, lower = joint.upper, joint.lower
        holds, sunk_mm = f"{upper.name} to {lower.name}", upper.thickness_mm
        grip_mm = _grip_mm(setting) if joint.on_wall else 0.0
        count = len(joint.upper_holes)
        yield _set(setting, holds, (upper, lower), joint.upper_holes[0].bolt_mm, count, sunk_mm, grip_mm)
    halves = [plate for plate in setting.bracket.plates if plate.role == "clamp"]
    if len(halves) == 2:
        holes = halves[0].holes
        yield _set(setting, f"{halves[0].name} to {halves[1].name}", halves, holes[0].bolt_mm, len(holes), None)


def _set(
    setting: Setting,
    holds: str,
    plates: Sequence[Plate],
    bolt_mm: float,
    count: int,
    plane_mm: float | None,
    grip_mm: float = 0.0,
) -> Bolts:
    """Bolts through plates, which they grip together, or with more that is told."""
    from plategen.bracket.split import SLOT_WASHER_MM

    grade, tight = setting.bolt_grade(bolt_mm), setting.rules.pretensioned
    structural = grade.may_be_pretensioned("aisc-asd")
    head_washer_mm = washer_mm(bolt_mm, structural=structural)
    slotted = any(plate.slots for plate in plates)
    washers_mm = 2.0 * head_washer_mm + (SLOT_WASHER_MM if slotted else 0.0)
    grip_mm = grip_mm or _span_mm(plates, plates[0].placement.normal)
    found = bolt_length(bolt_mm, grip_mm + washers_mm, structural=structural)
    more = math.ceil(max(0.0, found.shank_mm - grip_mm - washers_mm) / head_washer_mm - 1e-9)
    tension_n = tightened_n(grade, bolt_mm, pretensioned=tight)
    oiled, dry = torques_nmm(bolt_mm, tension_n)
    # the head lies on the upper plate, and over a slot on its plate washer
    sunk_mm = None if plane_mm is None else plane_mm + washers_mm - head_washer_mm
    return Bolts(
        holds=holds,
        count=count,
        diameter_mm=bolt_mm,
        grade=grade.name,
        grip_mm=grip_mm,
        washers=2 + more,
        washer_mm=head_washer_mm,
        washers_mm=washers_mm + more * head_washer_mm,
        length_mm=found.length_mm,
        thread_mm=found.thread_mm,
        shank_past_mm=None if sunk_mm is None else found.shank_mm - sunk_mm,
        tension_n=tension_n,
        torque_oiled_nmm=oiled,
        torque_dry_nmm=dry,
        turn=turn_of_nut(found.length_mm, bolt_mm) if tight and structural else "",
        source=found.source,
    )


def _grip_mm(setting: Setting) -> float:
    """What a bolt of a base goes through: base, packing, the rail's wall or all of its section, what lies behind."""
    wanted = setting.job.bolted
    if wanted is None:
        return 0.0
    from plategen.bracket.base import base_mm
    from plategen.checks.bolt import thickest_packing_mm

    through = wanted.depth_mm or setting.job.rail.wall_mm
    return base_mm(setting.job) + thickest_packing_mm(setting) + through + (wanted.backing_mm or 0.0)


def _alike(sets: Iterable[Bolts]) -> Iterator[Bolts]:
    """Sets that differ in nothing but what they hold, as one."""
    same: dict[Bolts, list[Bolts]] = {}
    for each in sets:
        same.setdefault(replace(each, holds="", grip_mm=round(each.grip_mm, 6), shank_past_mm=None), []).append(each)
    for group in same.values():
        yield replace(group[0], holds=", ".join(s.holds for s in group), count=sum(s.count for s in group))


def _span_mm(plates: Iterable[Plate], normal: tuple[float, float, float]) -> float:
    """From the outermost face of plates to the other, along a direction."""
    ends = []
    for plate in plates:
        low = dot(normal, plate.placement.origin)
        ends += [low, low + plate.thickness_mm * dot(normal, plate.placement.normal)]
    return max(ends) - min(ends)


def _pin(setting: Setting, findings: Iterable[Finding]) -> BoughtPin | None:
    held, pin = setting.carriers, setting.bracket.pin
    if not held:
        return None
    grip_mm = max(_span_mm((carrier.plate for carrier in held), held[0].plate.placement.normal), pin.eye_width_mm)
    end = pin_end(pin.diameter_mm)
    over_mm = 0.0 if end is None else washer_mm(pin.diameter_mm) + end.over_mm
    return BoughtPin(
        diameter_mm=pin.diameter_mm,
        steel=setting.pin_steel.name,
        grip_mm=grip_mm,
        length_mm=None if end is None else PART_SIZES.up(grip_mm + over_mm, setting.job.units),
        head_mm=None if end is None else end.head_mm,
        split_pin_mm=None if end is None else end.split_pin_mm,
        worn_to_mm=pin.diameter_mm * (1.0 - _may_lose(findings)),
        source="" if end is None else end.source,
    )


def _may_lose(findings: Iterable[Finding]) -> float:
    """Share of its diameter that the pin may lose by wear: the trade's, or what its strength has in hand.

    Bending goes with the cube of the diameter, shear with less of it; a sum of squares with its sixth power.
    """
    asked = (f for f in findings if f.decides and f.of.subject == "pin" and f.of.limit == "strength")
    left = (1.0 - math.pow(min(1.0, f.ratio), 1.0 / (6.0 if f.unit == "1" else 3.0)) for f in asked)
    return min((WORN_OVER_PIN, *left))


def _bolt_notes(setting: Setting, bolts: Iterable[Bolts]) -> Iterator[Message]:
    yield message(
        "Every bolt is counted with thread in the shear plane, so one that is threaded to its head will do. A washer "
        "is counted {} thick at most; two threads or more stand past the nut.",
        mm(max(b.washer_mm for b in bolts), "up"),
    )
    to = (
        message("their pretension, 0.7 of their tensile strength")
        if setting.rules.pretensioned
        else message("{} of their proof load (common practice, no source)", number(OF_PROOF, "size"))
    )
    yield message(
        "The tension is {}; the torque is K d F, K {} oiled and {} dry. Torque is a poor measure of tension: it "
        "scatters by 30 % either way, and the dry torque on an oiled bolt overshoots by a third.",
        to,
        *(number(k, "size") for k in NUT_FACTORS),
    )
    if setting.rules.pretensioned:
        yield message(
            "Prove the pretension by the turn of the nut, by indicating washers or tension-control bolts, or with a "
            "wrench calibrated on the day on these bolts (EN 1090-2: the maker's tested class); never by a torque out "
            "of a table. New bolts and nuts, used once, with hardened washers."
        )


def _pin_notes(setting: Setting, pin: BoughtPin) -> Iterator[Message]:
    d = pin.diameter_mm
    if pin.length_mm is None:
        yield message("No head and split pin are tabled for a pin of {}: ask its maker for both.", size(d))
    yield message(
        "Keep the pin in at both ends: a head, and a washer with a split pin, or a plate bolted to the ear in a slot "
        "of the pin, which keeps it from turning as well. A split pin carries no load: where the joint turns much or "
        "is pushed sideways take a castle nut (common practice, no source)."
    )
    yield message(
        "Grease the eye through a fitting in it, or through the pin, at a right angle to the cylinder's line, where "
        "nothing presses; no hole or groove where the pin bends most (common practice, no source)."
    )
    if pin.worn_to_mm < d * (1.0 - 1e-9):
        yield message(
            "Replace the pin once a caliper across its wear shows {} or less, and eye or bush with it: a loss of {} % "
            "(common practice, no source), or less where its strength has less in hand.",
            mm(pin.worn_to_mm),
            number(100.0 * WORN_OVER_PIN, "size"),
        )
    else:
        yield message("The pin has no strength in hand for wear: replace it as soon as a caliper shows any.")
