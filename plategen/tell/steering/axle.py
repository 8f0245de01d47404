"""The table of the moving axle."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.tell.report.steering import SteeringReport
from plategen.tell.table import Block, Row, angle, signed


def axle_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """What each place of the axle does to the steering, from the lowest up; nothing where it is not asked."""
    axle = report.axle
    if axle is None:
        return
    rows: list[Row] = []
    more: list[Row] = []
    for place in sorted(axle.places, key=lambda place: (place.roll_deg, place.rise_mm)):
        level = "level" if place.roll_deg == 0.0 else f"{'left' if place.roll_deg > 0.0 else 'right'} side up"
        roll = level if place.roll_deg == 0.0 else f"{angle(show, abs(place.roll_deg))} {level}"
        steer = f"{signed(place.bump_steer_deg, 2)}°"
        toe = "" if place.toe_in_deg is None else f"{signed(place.toe_in_deg, 2)}°"
        left = [
            "" if mm is None else f"{'-' if mm < 0.0 else ''}{show.length(abs(mm))}"
            for mm in (place.left_closing_mm, place.left_opening_mm)
        ]
        height = "ride height" if place.rise_mm == 0.0 else f"{show.length(abs(place.rise_mm))} "
        height += "" if place.rise_mm == 0.0 else "up" if place.rise_mm > 0.0 else "down"
        rows.append((height, roll, steer, toe, *left))
        turns = [
            "" if each is None else " to ".join(f"{signed(deg, 1)}°" for deg in each)
            for each in (place.swing_deg, place.out_of_plane_deg)
        ]
        locks = ", ".join(angle(show, deg) for deg in reversed(place.box_deg))
        clear = "" if place.clears_mm is None else show.length(place.clears_mm)
        more.append((height, roll, *turns, locks, clear))
    heading = ("axle", "roll", "bump steer, left positive", "toe-in", "stroke left closing", "stroke left opening")
    yield Block("With the axle moved, steering wheel held; stroke from lock to lock", heading, tuple(rows))
    clears = "tyre clears" if axle.clears is None else f"{axle.clears} clears"
    more_heading = ("axle", "roll", "cylinder swings", "out of the plates", "box at left, right lock", clears)
    yield Block("With the axle moved, wheels from lock to lock", more_heading, tuple(more))
    tilts = tuple((each.rod, angle(show, each.tilt_deg)) for each in axle.joint_tilts)
    yield Block("With the axle moved, joints", ("rod", "joint tilts"), tilts)
