"""The linkage's tables: lock to lock, rods, travel, what changes of it do, where the cylinder could push."""

from collections.abc import Callable, Iterable, Iterator

from plategen.ground.show import Show
from plategen.tell.report.linkage import AttachmentReport, RodReport, SweepReport, TravelReport, WhatIfReport
from plategen.tell.report.steering import SteeringReport
from plategen.tell.table import Block, Row, angle, signed


def linkage_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """How the linkage moves."""
    if report.sweep is not None:
        yield _locks(report.sweep, show)
    yield _rods(report.rods, show)
    yield _travel(report.travel, show)


def change_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """What changes would do to it."""
    yield _what_if(report.what_if, show)
    yield _attachments(report.attachments, show)


def _locks(sweep: SweepReport, show: Show) -> Block:
    """The linkage at the left lock, straight ahead and at the right lock."""

    def cells(values: Iterable[float | None], words: Callable[[float], str]) -> Row:
        return tuple("" if value is None else words(value) for value in values)

    def degrees(deg: float) -> str:
        return angle(show, deg)

    locks = sweep.locks
    rows: list[Row] = [(sweep.driver, *cells((at.driver_deg for at in locks), degrees))]
    rows += [(f"{side} wheel", *cells((at.wheels_deg[side] for at in locks), degrees)) for side in sweep.wheels_deg]
    if sweep.toe_error_deg is not None:
        rows.append(("toe-out beyond free rolling", *cells((at.toe_error_deg for at in locks), degrees)))
    if sweep.ackermann_percent_at_locks is not None:
        rows.append(("share of Ackermann", *cells((at.ackermann_percent for at in locks), "{:.0f} %".format)))
    if sweep.ratio is not None:
        rows.append(("ratio box to wheel", *cells((at.ratio for at in locks), "{:.2f}".format)))
    if sweep.straight_toe_deg is not None:
        rows.append(("toe-in as the rods are set", "", degrees(sweep.straight_toe_deg), ""))
    if sweep.wheel_turns is not None:
        left, _, right = cells((at.wheel_turns for at in locks), "{:.2f}".format)
        rows.append((f"turns of the steering wheel, {sweep.wheel_turns:.2f} in all", left, "", right))
    return Block("Lock to lock", ("", "left lock", "ahead", "right lock"), tuple(rows))


def _rods(rods: tuple[RodReport, ...], show: Show) -> Block:
    """How the rods lie."""
    rows = tuple(
        (
            rod.name,
            " to ".join(angle(show, deg) for deg in rod.plan_deg),
            " to ".join(angle(show, deg) for deg in rod.rise_deg),
            angle(show, rod.largest_tilt_deg),
            angle(show, rod.least_transmission_deg),
        )
        for rod in rods
    )
    return Block("Rods", ("rod", "from above", "rise", "joint tilts", "least transmission angle"), rows)


def _travel(travel: tuple[TravelReport, ...], show: Show) -> Block:
    """How far the points go."""
    rows = tuple((t.point, *map(show.length, (t.chord_mm, t.path_mm, t.to_left_mm, t.to_right_mm))) for t in travel)
    return Block("Travel", ("point", "lock to lock", "along its path", "to the left", "to the right"), rows)


def _what_if(changes: tuple[WhatIfReport, ...], show: Show) -> Block:
    """What an inch, or ten millimetres, of each change does; what matters most comes first."""
    per_mm, unit = (25.4, "1 in") if show.units == "in" else (10.0, "10 mm")
    rows = tuple(
        (
            change.part,
            change.change,
            f"{signed(change.wheel_deg_per_mm * per_mm, 2)}°",
            "quicker" if change.wheel_deg_per_mm > 0.0 else "slower",
            f"{signed(change.toe_deg_per_mm * per_mm, 2)}°",
            "" if change.travel_mm_per_mm is None else signed(change.travel_mm_per_mm, 3),
        )
        for change in sorted(changes, key=lambda change: -abs(change.wheel_deg_per_mm))
    )
    heading = ("part", f"by {unit}", "wheel, lock to lock", "steering", "toe-in ahead", "travel for each length")
    return Block("What if", heading, rows)


def _attachments(places: tuple[AttachmentReport, ...], show: Show) -> Block:
    """Where the cylinder could push: stroke against leverage."""
    rows = tuple(
        (
            str(number),
            place.place,
            show.length(place.travel_mm),
            show.length(place.arm_mm),
            show.length(place.least_arm_mm)
            if place.dead_deg is None
            else f"dead point, box at {angle(show, place.dead_deg)}",
            "" if place.moment_nmm is None or place.dead_deg is not None else show.moment(place.moment_nmm),
        )
        for number, place in enumerate(places, 1)
    )
    heading = ("", "cylinder on", "stroke it needs", "arm straight ahead", "least arm", "least moment, pulling")
    return Block("Travel against force", heading, rows)
