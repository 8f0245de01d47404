"""A form to measure a linkage by: every point numbered in a picture with the axes, blanks for its place in the vehicle
frame, and for the tapes that prove the places.
"""

from collections.abc import Callable
from itertools import pairwise

from plategen.job.steering import Steering
from plategen.steering.closing import points_of
from plategen.steering.vector import Point
from plategen.tell.steering import svg
from plategen.tell.steering.svg import WIDTH
from plategen.tell.table import Block, Row

TOGETHER_PX = 26.0
"""Points that lie nearer to each other in a view share their label."""

HOW = (
    "Machine level on hard ground, wheels straight ahead, tyres at working pressure. Snap the centre line on the floor "
    "and square to it the front axle's line; drop every point to the floor with a plumb bob.",
    "x: along the centre line from the axle's line, forward +, behind it -. y: from the centre line, left +, right -. "
    "z: up from the floor. Every place is the middle of a ball or pin, read twice.",
    "Then the tapes, straight from middle to middle. Written into the job as [[steering.tape]] they are held against "
    "the points, and the point that is off is named. A point with three tapes can be told from its neighbours.",
)
"""How it is measured (common practice, no source)."""


def form_points(steering: Steering) -> dict[str, Point]:
    """Every point of the form by name, in the order of its numbers; empty where no linkage is drawn."""
    found: dict[str, Point] = dict(points_of(steering.lever))
    if (mount := steering.cylinder_mount) is not None:
        found |= {"cylinder, fixed pin": mount.fixed_pin_mm, "cylinder, moving pin": mount.moving_pin_mm}
    for each in steering.cylinder:
        found |= {f"{each.name}, fixed pin": each.fixed_pin_mm, f"{each.name}, moving pin": each.moving_pin_mm}
    return found


def spoken_point(name: str) -> str:
    """A point's name as one says it, without the job file's dots.

    >>> spoken_point("box arm.drag"), spoken_point("left spindle.pivot"), spoken_point("cylinder, fixed pin")
    ('box arm, ball drag', 'left spindle, pivot', 'cylinder, fixed pin')
    """
    part, dot, point = name.rpartition(".")
    return f"{part}, {point if point == 'pivot' else f'ball {point}'}" if dot else name


def form_blocks(steering: Steering, units: str) -> tuple[Block, ...]:
    """The blanks: one row a point, one row a tape."""
    names = list(form_points(steering))
    blank = "________"
    points: tuple[Row, ...] = tuple(
        (f"{i}  {spoken_point(name)}", blank, blank, blank) for i, name in enumerate(names, 1)
    )
    number = {name: i for i, name in enumerate(names, 1)}
    pairs = [(rod.start, rod.end) for rod in steering.rod]
    pairs += list(pairwise(name for name in points_of(steering.lever) if not name.endswith(".pivot")))
    pairs += _arms(steering)
    alike = dict.fromkeys(tuple(sorted(pair, key=lambda name: number[name])) for pair in pairs)
    tapes: tuple[Row, ...] = tuple(
        (f"{number[a]} to {number[b]}", f"{spoken_point(a)} to {spoken_point(b)}", blank) for a, b in alike
    )
    return (
        Block(
            "Points", (f"point ({units})", "x, from the axle", "y, from the centre line", "z, from the floor"), points
        ),
        Block("Tapes", ("numbers", "between", units), tapes),
    )


def form_pictures(steering: Steering) -> tuple[str, ...]:
    """The numbered points from above and from the side, with the axes; empty where no linkage is drawn."""
    points = form_points(steering)
    if not points:
        return ()
    lines = [(points[a], points[b]) for a, b in _parts(steering)]
    views: tuple[tuple[str, str, str, str, Callable[[Point], complex]], ...] = (
        ("form-above", "Points from above", "y, left", "x, forward", lambda p: complex(-p[1], p[0])),
        ("form-side", "Points from the right", "x, forward", "z, up", lambda p: complex(p[0], p[2])),
    )
    return tuple(_view(*view, list(points.values()), lines) for view in views)


def _arms(steering: Steering) -> list[tuple[str, str]]:
    return [(f"{lever.name}.pivot", f"{lever.name}.{ball}") for lever in steering.lever for ball in lever.balls]


def _parts(steering: Steering) -> list[tuple[str, str]]:
    """The points between which a lever's arm, a rod or a cylinder runs."""
    cylinders = [] if steering.cylinder_mount is None else ["cylinder"]
    cylinders += [each.name for each in steering.cylinder]
    rods = [(rod.start, rod.end) for rod in steering.rod]
    return [*_arms(steering), *rods, *((f"{name}, fixed pin", f"{name}, moving pin") for name in cylinders)]


def _view(
    name: str,
    title: str,
    across: str,
    up: str,
    project: Callable[[Point], complex],
    points: list[Point],
    lines: list[tuple[Point, Point]],
) -> str:
    flat = [project(p) for p in points] + [0j]
    low = complex(min(p.real for p in flat), min(p.imag for p in flat))
    span = complex(max(p.real for p in flat), max(p.imag for p in flat)) - low
    scale = min((WIDTH - 150.0) / max(span.real, 1.0), 300.0 / max(span.imag, 1.0))
    left, foot = (WIDTH - span.real * scale) / 2.0, 60.0 + span.imag * scale

    def place(q: complex) -> complex:
        q = (q - low) * scale
        return complex(left + q.real, foot - q.imag)

    groups: list[tuple[complex, list[int]]] = []
    for i, at in enumerate(map(place, flat[:-1]), 1):
        near = next((numbers for first, numbers in groups if abs(first - at) < TOGETHER_PX), None)
        if near is None:
            groups.append((at, [i]))
        else:
            near.append(i)
    named = [(at + 8.0 - 6.0j, " ".join(map(str, numbers))) for at, numbers in groups]
    # the longest row of numbers may stand at the right edge: all moves aside for it
    beyond = max((at.real + svg.LETTER_PX * len(words) - WIDTH for at, words in named), default=0.0)
    aside = min(max(beyond, 0.0), left)
    left -= aside
    zero, way = place(0j), -1.0 if across.startswith("y") else 1.0
    body = [svg.words(10, 15, f"{title}; the ring is 0, 0"), svg.dot(zero.real, zero.imag, "a", 5.0)]
    for end in (zero + 36.0 * way, zero - 36.0j):
        body += [svg.line([(zero.real, zero.imag), (end.real, end.imag)], "a", 2.0, "")]
    body.append(svg.words(10, foot + 40.0, f"blue: {across}, and {up}; grey: arms, rods and cylinders", kind="a"))
    for ends in lines:
        start, end = (place(project(p)) for p in ends)
        body.append(svg.line([(start.real, start.imag), (end.real, end.imag)], "faint", 1.0, ""))
    body += [svg.dot(at.real, at.imag) for at in map(place, flat[:-1])]
    body += [svg.words(at.real - aside, at.imag, words) for at, words in named]
    return svg.frame(
        WIDTH, foot + 50.0, title, "Every point of the measuring form by its number.", body, f"steer-{name}"
    )
