"""The steering from lock to lock as frames that a slider runs through: the linkage from above, and what is read off.

Every frame is drawn here, from the study's own sweep; the page's script only shows one after the other.
"""

import json
from dataclasses import dataclass

import numpy as np

from plategen.draw.svg import number
from plategen.ground.show import Show
from plategen.steering.skeleton import skeleton
from plategen.steering.study import SteeringStudy
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Point, array, as_point, dot

MOST_FRAMES = 81
MARGIN = 0.06
"""Places of the slider, and the room about the drawing over its size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frames:
    """What the slider needs: view box, the balls' paths, the names of what is read off, and every frame as JSON."""

    box: str
    paths: str
    names: tuple[str, ...]
    data: str
    last: int
    straight: int


def frames(study: SteeringStudy | None) -> Frames | None:
    """The frames of a study; None when it draws no linkage."""
    if study is None or study.sweep is None:
        return None
    swept = study.sweep
    picked = sorted({swept.straight, *np.linspace(0, len(swept) - 1, MOST_FRAMES).round().astype(int).tolist()})
    lines = skeleton(study)
    every = [_flat(p) for line in lines for p in line.points_mm]
    read = _read_off(study, swept)
    every_frame = [
        {
            "lever": _data(_levers(swept, i)),
            "rod": _data(_rods(swept, i)),
            "cylinder": _data(_cylinder(study, i)),
            "readings": [words[i] for _, words in read],
        }
        for i in picked
    ]
    return Frames(
        box=_box(every),
        paths=_data([line.points_mm for line in lines if line.kind == "path"]),
        names=tuple(name for name, _ in read),
        data=json.dumps(every_frame, separators=(",", ":")),
        last=len(picked) - 1,
        straight=picked.index(swept.straight),
    )


def _levers(swept: Sweep, i: int) -> list[tuple[Point, ...]]:
    found: list[tuple[Point, ...]] = []
    for lever in swept.linkage.levers:
        axis, pivot = array(lever.axis), array(lever.pivot_mm)
        for ball in lever.balls:
            place = swept.motion.ball_mm((lever.name, ball))[i]
            found.append((as_point(pivot + axis * dot(axis, place - pivot)), as_point(place)))
    return found


def _rods(swept: Sweep, i: int) -> list[tuple[Point, ...]]:
    ends = (swept.motion.rod_ends_mm(rod.name) for rod in swept.linkage.rods)
    return [(as_point(start[i]), as_point(end[i])) for start, end in ends]


def _cylinder(study: SteeringStudy, i: int) -> list[tuple[Point, ...]]:
    if study.in_line is None:
        return []
    return [(study.in_line.mount.fixed_mm, as_point(study.in_line.pins.moving_mm[i]))]


def _read_off(study: SteeringStudy, swept: Sweep) -> list[tuple[str, list[str]]]:
    """What is read off the sweep: a name, and its words at every position."""
    show = Show(study.units)
    readings = [("box arm", [show.angle(float(a)) for a in swept.driver_rad])]
    readings += [(f"{side} wheel", [show.angle(float(a)) for a in angles]) for side, angles in swept.steer_rad.items()]
    if study.in_line is not None:
        pins, aligned = study.in_line.pins, study.in_line.aligned
        readings.append(("pin to pin", [show.length(float(x)) for x in pins.length_mm]))
        readings.append(("rod out from straight", [show.length(float(x)) for x in pins.length_mm - pins.straight_mm]))
        readings.append(("out of line", [show.angle(float(a)) for a in aligned.angle_rad]))
        readings.append(("push lost", [f"{100 * float(x):.1f} %" for x in aligned.push_lost]))
    readings += [(f"{c.tyre} to {c.bar}", [show.length(float(x)) for x in c.gap_mm]) for c in study.clearances[:3]]
    return readings


def _flat(p: Point) -> complex:
    """Seen from above, forward up the page: x forward, y left."""
    return complex(-p[1], p[0])


def _data(lines: list[tuple[Point, ...]]) -> str:
    points = ([_flat(p) for p in line] for line in lines)
    return "".join("M" + "L".join(f"{number(round(q.real, 1))} {number(round(-q.imag, 1))}" for q in p) for p in points)


def _box(points: list[complex]) -> str:
    (u0, v0), (u1, v1) = ((f(p.real for p in points), f(p.imag for p in points)) for f in (min, max))
    m = MARGIN * max(u1 - u0, v1 - v0)
    return " ".join(number(round(x, 1)) for x in (u0 - m, -v1 - m, u1 - u0 + 2 * m, v1 - v0 + 2 * m))
