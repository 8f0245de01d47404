"""The checks of the steering's oil circuit: pump and air, velocities, ratings, hoses, heat."""

from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.cure import advise, set_to
from plategen.ground.message import message, mpa, size
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.unit import Units
from plategen.job.steering_equipment import CircuitEntry
from plategen.steering.circuit import Circuit
from plategen.steering.hoses import BURST_OVER_RATED, Hose
from plategen.steering.study import SteeringStudy

FLOODED_MM = 25.4
"""Oil over the pump's inlet, and over the highest part: an inch, what sloshing takes away (common practice)."""

WARM_CELSIUS, HOSE_CELSIUS = 80.0, 100.0
"""Oil at work stays under the first (common practice, no source: 40 to 80), and hoses are made for up to the second
(EN 853, scope: -40 to +100)."""

_row = partial(Check, subject="steering")
_OIL, _LINES = "an oil circuit", "the circuit's lines"
FLOODED = _row("pump flooded", unit="mm", limit="at least", needs=_OIL)
HIGHEST = _row("reservoir highest, so that air rises to it", unit="mm", limit="at least", needs=_OIL, most="caution")
AIR_DOWN = _row("places where air has to go down", unit="1", limit="at most", needs=_OIL, most="caution")
VELOCITY = _row("velocity in the * line", unit="m/s", limit="at most", needs=_LINES)
_HEAT = "Q p at relief times its share of the time"
COOLER = _row("cooler carries the heat", unit="kW", source=_HEAT, needs="a cooler's power", most="caution")
_RATED = "ISO 4413, no part under what the relief valve lets come (from memory); SAE J517 and EN 853 for hoses"
RATED = _row(
    "line carries its pressure",
    unit="MPa",
    source=_RATED,
    needs="the circuit's lines and their ratings",
    not_covered="Relief and ratings are taken as told. A blow on a wheel with the oil shut in goes beyond relief and "
    "is not computed; ask for relief across the cylinder's ports.",
)
RATING_TOLD = _row("lines without a rating", unit="1", limit="at most", needs=_LINES, most="caution")
WITHIN = _row(
    "relief within what the * is rated for", unit="MPa", source=_RATED, needs="ratings of the circuit's parts"
)
BURST = _row(
    "burst over working pressure",
    unit="1",
    limit="at least",
    source="SAE J517 and ISO 18752: 4 to 1",
    needs="a hose's burst pressure",
    near=False,
)
BACK = _row("return's back-pressure at the box", unit="MPa", limit="at most", needs="what the box's return may stand")
WARM = _row("oil stays as warm as it should", unit="°C", limit="at most", needs="the air's temperature", most="caution")
HOSE_WARM = _row(
    "oil no hotter than its hoses bear",
    unit="°C",
    limit="at most",
    source="EN 853, scope: -40 to +100 °C",
    needs="the air's temperature",
    near=False,
)
CHECKS = (
    *(FLOODED, HIGHEST, AIR_DOWN, VELOCITY, COOLER),
    *(RATED, RATING_TOLD, WITHIN, BURST, BACK, WARM, HOSE_WARM),
)
"""The checks of this file."""


def check_steering_circuit(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about the oil circuit; none without one."""
    circuit, entry = study.circuit, study.steering.circuit
    if circuit is None or entry is None:
        return
    yield FLOODED.at_least(
        part("pump"),
        FLOODED_MM,
        circuit.head_mm,
        assumed="oil level over the pump's inlet; a pump that draws air is ruined first",
        cure="raise the reservoir or lower the pump",
    )
    yield HIGHEST.at_least(
        part("reservoir"),
        FLOODED_MM,
        circuit.reservoir_over_mm,
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
    yield from _ratings(circuit, entry)
    for hose in circuit.hoses:
        yield from _hose(hose)
    yield from _heat(circuit, entry)


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


def _ratings(circuit: Circuit, entry: CircuitEntry) -> Iterator[Finding]:
    """Every rated part against relief, and the return against what the box stands."""
    for name, rated_mpa in entry.ratings_mpa.items():
        if rated_mpa is not None:
            yield WITHIN.variant(name=f"relief within what the {name} is rated for").strength(
                part(name),
                circuit.relief_mpa,
                rated_mpa,
                assumed="relief as it is told; a gauge in the line tells what it is",
                cure=f"set the relief valve lower, or a {name} that is rated for it",
            )
    if circuit.hoses:
        without = [hose.name for hose in circuit.hoses if hose.kind == "pressure" and hose.rated_mpa is None]
        yield RATING_TOLD.at_most(
            part("pressure lines"),
            0.0,
            float(len(without)),
            assumed="no rating is known, and none is judged" if without else "",
            cure=lambda: advise("give `hose` or `rated` of {}", " and ".join(without)),
        )
    if entry.return_most_mpa is not None:
        yield BACK.at_most(
            part("return"),
            entry.return_most_mpa,
            circuit.return_loss_mpa,
            assumed="lines and cooler at the pump's flow, oil as warm as told; cold it is several times as much",
            cure="a wider return, a cooler with less loss, or a way round the cooler",
        )


def _hose(hose: Hose) -> Iterator[Finding]:
    """One line's pressure and burst."""
    about = part(hose.name)
    if hose.rated_mpa is not None and hose.seen_mpa is not None:
        yield RATED.strength(
            about,
            hose.seen_mpa,
            hose.rated_mpa,
            source=f"{RATED.source}; rating: {hose.rated_by}" if hose.hose else "",
            assumed="the assembly is worth no more than the weaker of hose and end",
            cure="a hose of a higher rating, as 2SN for 1SN, or a lower relief setting",
        )
    if hose.burst_mpa is not None and hose.rated_mpa is not None:
        yield BURST.at_least(
            about,
            BURST_OVER_RATED,
            hose.burst_mpa / hose.rated_mpa,
            assumed=message("bursts at {}", mpa(hose.burst_mpa)),
            cure="take a quarter of its burst pressure as its rating, or another hose",
        )


def _heat(circuit: Circuit, entry: CircuitEntry) -> Iterator[Finding]:
    """How warm the oil gets at the use that is told."""
    if circuit.heat.oil_celsius is None:
        return
    for check, most in ((WARM, WARM_CELSIUS), (HOSE_WARM, HOSE_CELSIUS)):
        yield check.at_most(
            part("oil"),
            most,
            circuit.heat.oil_celsius,
            assumed=f"{entry.relief_share:.0%} of the time at relief, in the hottest air told, for as long as it takes",
            cure="a larger cooler or reservoir, less time at relief, or a smaller pump",
        )
