"""The steering's oil circuit: the pump flooded, air that rises by itself, velocities, the cooler."""

from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.cure import advise, set_to
from plategen.ground.message import size
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.unit import Units
from plategen.steering.circuit import Circuit
from plategen.steering.study import SteeringStudy

FLOODED_MM = 25.4
"""Oil over the pump's inlet, and over the highest part: an inch, what sloshing takes away (common practice)."""

FLOODED = Check("pump flooded", "steering", "mm", "at least", needs="an oil circuit")
HIGHEST = Check(
    "reservoir highest, so that air rises to it", "steering", "mm", "at least", needs="an oil circuit", most="caution"
)
AIR_DOWN = Check("places where air has to go down", "steering", "1", "at most", needs="an oil circuit", most="caution")
VELOCITY = Check("velocity in the * line", "steering", "m/s", "at most", needs="the circuit's lines")
COOLER = Check(
    "cooler carries the heat",
    "steering",
    "kW",
    source="Q p at relief times its share of the time",
    needs="a cooler's power",
    most="caution",
)
CHECKS = (FLOODED, HIGHEST, AIR_DOWN, VELOCITY, COOLER)
"""The checks of this file."""


def check_circuit(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about the oil circuit; none without one."""
    circuit, entry = study.circuit, study.steering.circuit
    if circuit is None or entry is None:
        return
    yield FLOODED.at_least(
        part("pump"),
        FLOODED_MM,
        max(circuit.head_mm, 0.0),
        assumed="oil level over the pump's inlet; a pump that draws air is ruined first",
        cure="raise the reservoir or lower the pump",
    )
    yield HIGHEST.at_least(
        part("reservoir"),
        FLOODED_MM,
        max(circuit.reservoir_over_mm, 0.0),
        assumed=f"the highest other part is the {circuit.highest}",
        cure="raise the reservoir, or bleed at the highest part each time",
    )
    yield AIR_DOWN.at_most(
        part("return"),
        0.0,
        float(len(circuit.air_traps)),
        assumed="cylinder, box, cooler, reservoir: air is to rise from each to the next",
        cure=lambda: advise("raise what follows the {}, or bleed there", " and the ".join(circuit.air_traps)),
    )
    yield from _velocities(circuit, study.units)
    if entry.cooler_kw is not None:
        yield COOLER.strength(
            part("cooler"),
            circuit.cooler_w / 1000.0,
            entry.cooler_kw,
            cure="a larger cooler, or do not hold the steering on its stops",
        )


def _velocities(circuit: Circuit, units: Units) -> Iterator[Finding]:
    """Only a suction line that is too narrow stops: it starves the pump."""
    for index, line in enumerate(circuit.lines):
        check = VELOCITY.variant(
            name=f"velocity in the {line.kind} line", most="stop" if line.kind == "suction" else "caution"
        )
        key = f"steering.circuit.line[{index}].inside"
        yield check.at_most(
            part(line.name),
            line.limit_m_s,
            line.velocity_m_s,
            cure=partial(
                set_to, key, size(PART_SIZES.up(line.least_inside_mm, units)), "an inside diameter of {} at least"
            ),
        )
