"""The oil circuit in words: its lines and hoses, the circuit, what each part does if it fails, how it is bled."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.tell.report.circuit import CircuitReport, HoseReport, OilVolumeReport
from plategen.tell.report.equipment import PortReport
from plategen.tell.table import Block, Row, cells

DROP_MM3, LEAST_SOFT_MM = 50.0, 0.1
"""Less air than a drop or two is none, and no travel is lost that no one feels."""


def circuit_tables(circuit: CircuitReport, show: Show) -> Iterator[Block]:
    """Velocities, what hoses to buy, the circuit, and its parts' failures."""
    yield _lines(circuit, show)
    yield _hoses(circuit.hoses, show)
    yield _circuit(circuit, show)
    yield _fails(circuit, show)


def _hoses(hoses: tuple[HoseReport, ...], show: Show) -> Block:
    rows = tuple(
        (
            hose.name,
            hose.hose or ("as rated" if hose.rated_mpa is not None else _unrated(hose)),
            *cells(show, hose, "inside_mm", "length_mm"),
            " to ".join(hose.ends),
            *cells(show, hose, "clock_deg", "rated_mpa", "seen_mpa", "burst_mpa", "least_bend_mm", "bend_mm"),
            *cells(show, hose, "span_mm", "slack_mm"),
        )
        for hose in hoses
    )
    heading = (
        "hose or pipe", "kind", "inside", "length", "ends", "ends turned by", "rated", "carries", "bursts",
        "least bend", "bends at", "spans", "in hand",
    )  # fmt: skip
    return Block("Hoses and pipes to buy", heading, rows)


def _unrated(hose: HoseReport) -> str:
    return "rating NOT told" if hose.kind == "pressure" else hose.kind


def _lines(circuit: CircuitReport, show: Show) -> Block:
    rows = tuple(
        (
            *(line.name, line.kind, show.speed(line.velocity_m_s), show.speed(line.limit_m_s)),
            *cells(show, line, "least_inside_mm", "loss_mpa"),
        )
        for line in circuit.lines
    )
    return Block("Oil lines", ("line", "kind", "velocity", "at most", "least inside", "loss"), rows)


def _circuit(circuit: CircuitReport, show: Show) -> Block:
    rows: tuple[Row, ...] = (
        ("relief valve set to", show.pressure(circuit.relief_mpa)),
        ("return's back-pressure at the box, lines and cooler", show.pressure(circuit.return_loss_mpa)),
        ("heat while all oil goes over relief", show.power(circuit.heat_w / 1000)),
        (f"cooler has to carry, {circuit.relief_share:.0%} of the time at relief", show.power(circuit.cooler_w / 1000)),
        ("heat at that use, lines and box included", show.power(circuit.heat_in_w / 1000)),
        ("oil then, in the hottest air", _warm(circuit, show)),
        ("oil level above the pump", show.length(circuit.head_mm)),
        (f"oil level above the {circuit.highest}, the highest other part", show.length(circuit.reservoir_over_mm)),
        ("air has to go down after", ", ".join(circuit.air_traps) or "nothing: it rises all the way"),
    )
    return Block("Oil circuit", (), (*rows, *_oil_there_is(circuit.volume, show)))


def _warm(circuit: CircuitReport, show: Show) -> str:
    return "NOT told: give `air_temperature`" if circuit.oil_celsius is None else show.temperature(circuit.oil_celsius)


def _oil_there_is(volume: OilVolumeReport, show: Show) -> tuple[Row, ...]:
    parts = (
        ("lines", volume.lines_mm3),
        ("cylinder, rod out", volume.cylinder_mm3),
        ("box", volume.box_mm3),
        ("cooler", volume.cooler_mm3),
        ("reservoir", volume.reservoir_mm3),
    )
    told = ", ".join(f"{name} {show.volume(mm3)}" for name, mm3 in parts if mm3 is not None)
    without = f", without {' and '.join(volume.not_told)}, not told" if volume.not_told else ""
    rows: list[Row] = [("oil to fill it", f"{show.volume(volume.told_mm3)}{without}"), ("  of it", told)]
    if volume.exchanged_mm3 is not None:
        rows.append(("the reservoir gives and takes, lock to lock", show.volume(abs(volume.exchanged_mm3))))
    return tuple(rows)


def circuit_words(circuit: CircuitReport, show: Show) -> str:
    """What stands under the circuit's picture."""
    over = "above" if circuit.head_mm >= 0.0 else "BELOW"
    return (
        f"Oil {show.length(abs(circuit.head_mm))} {over} the pump's inlet. Heat at relief "
        f"{show.power(circuit.heat_w / 1000)}. Heights are to scale, distances are not."
    )


def _fails(circuit: CircuitReport, show: Show) -> Block:
    """Every part: how its failure shows, and what is left."""
    loss, hands = circuit.loss, "hands alone where a box turns the wheels, else NONE"
    empty = "soon" if loss.empty_s is None else f"in {loss.empty_s:.1f} s"
    shut = "far over relief" if loss.shut_in_mpa is None else f"to {show.pressure(loss.shut_in_mpa)}"
    weak = "the weakest part bursts; no rating is told"
    if loss.weakest_mpa is not None:
        weak = f"bursts where it is weakest: {loss.weakest}, rated {show.pressure(loss.weakest_mpa)}"
    soft = (
        ""
        if loss.soft_mm is None or loss.soft_mm < LEAST_SOFT_MM
        else f", up to {show.bound(loss.soft_mm, up=True)} of travel lost in it"
    )
    rows: tuple[Row, ...] = (
        ("engine or pump stands", "heavy at once", f"{hands}; they push the cylinder's oil round too"),
        ("pump to box bursts", "heavy, oil out", f"{hands}; reservoir empty {empty}, then the pump is ruined"),
        ("a cylinder's hose bursts", "heavy, oil out while the pump runs", f"{hands}; engine off"),
        ("a cylinder's hose shut or kinked", "will not turn one way", f"NOTHING that way; pressure rises {shut}"),
        ("relief valve stuck shut", "nothing, until a lock is reached", weak),
        ("relief valve stuck open", "heavy, oil hot", hands),
        ("return or cooler blocked", "heavy both ways, oil at the box's seals", f"{hands}; seals blown out"),
        ("suction leaks air", "pump whines, oil foams, steering jerks", "little assist; the pump wears out in hours"),
        ("air in the cylinder", f"spongy, wanders{soft}", "assist, late"),
        ("cylinder's piston seal", "drifts, heavy near the locks", "some assist; the wheels push the rod"),
        ("box's valve sticks", "STEERS BY ITSELF to one side", f"engine off at once; then {hands}"),
        ("blow on a wheel, oil shut in", "a jerk in the wheel", "pressure beyond relief, not computed"),
    )
    title = "What each part of the circuit does if it fails (common practice, no source)"
    return Block(title, ("", "how it shows", "what is left"), rows)


def bleed_steps(circuit: CircuitReport | None, ports: tuple[PortReport, ...], show: Show) -> tuple[str, ...]:
    """How the air is let out of this circuit; empty without one (common practice, no source)."""
    if circuit is None:
        return ()
    volume = circuit.volume
    more = f", and what goes into {' and '.join(volume.not_told)}" if volume.not_told else ""
    steps = [
        "Axle on stands, wheels free, engine off. Every line connected, ends tight; hands out of the linkage.",
        f"Clean oil through a filter into the reservoir until its level stands; {show.volume(volume.told_mm3)} in "
        f"all{more}.",
        "Wheels turned by hand from lock to lock ten times, slowly, the reservoir kept full.",
        "Starter only, in short turns, until the level has stopped sinking; then idle, level kept up.",
        "Lock to lock at idle ten times, slowly. Never lean on a stop: at relief, air is beaten into the oil.",
    ]
    steps += [
        f"At the {port.name} port up to {show.volume(port.trapped_mm3)} of air can stay: pin out, that port turned up, "
        "its fitting opened half a turn until oil comes without bubbles, engine off, and shut."
        for port in ports
        if port.trapped_mm3 > DROP_MM3
    ]
    steps += [
        f"Air stays after the {name}, where it would have to go down: let it out at the fitting there, engine off."
        for name in circuit.air_traps
    ]
    return (
        *steps,
        "Engine off for an hour, level read. Foam gone, level steady: done. Level lower: air went out, so once more. "
        "Foam again after three times: a leak on the suction side.",
        "Wheels loaded, idle: no sponge, no jerk, no whine. Every end wiped dry and looked at under pressure with "
        "a piece of card, never with the hand.",
    )
