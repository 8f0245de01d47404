"""A form to measure a linkage by: every point numbered in a picture with the axes, blanks for its place in the vehicle
frame, and for the tapes that prove the places.
"""

import cmath
from collections.abc import Callable, Iterable, Iterator, Sequence

from plategen.job.steering import Steering
from plategen.steering.closing import tapes_to_take
from plategen.steering.vector import Point
from plategen.tell.picture.place import Box, box_about
from plategen.tell.steering import svg
from plategen.tell.steering.svg import WIDTH
from plategen.tell.table import Block, Row

TOGETHER_PX = 26.0
"""Points that lie nearer to each other in a view share their label."""

LEGEND = "dotted: a cylinder; dashed: a rod; full: a lever, its pivot to its balls"
"""What is drawn between the points."""

_BESIDE = ((1.0, -0.8), (-1.0, -0.8), (1.0, 0.8), (-1.0, 0.8), (1.0, 0.0), (-1.0, 0.0), (0.0, -1.2), (0.0, 1.2))
"""Where a point's number is tried, in halves of its words and in lines."""

HOW = (
    "Machine level on hard ground, wheels straight ahead, tyres at working pressure. Snap the centre line on the floor "
    "and square to it the front axle's line; drop every point to the floor with a plumb bob.",
    "x: along the centre line from the axle's line, forward +, behind it -. y: from the centre line, left +, right -. "
    "z: up from the floor. Every place is the middle of a ball or pin, read twice.",
    "Then the tapes, straight from middle to middle. Written into the job as [[steering.tape]] they are held against "
    "the points, and the point that is off is named: of three tapes to each it is told from its neighbours. A pin that "
    "is not there yet has none. Tapes between points at one height prove no height: read those from the floor twice.",
)
"""How it is measured (common practice, no source)."""


def spoken_point(name: str) -> str:
    """A point's name as one says it, without the job file's dots.

    >>> spoken_point("box arm.drag"), spoken_point("left spindle.pivot"), spoken_point("cylinder.fixed_pin")
    ('box arm, ball drag', 'left spindle, pivot', 'cylinder, fixed pin')
    """
    part, _, point = name.rpartition(".")
    plain = point in ("pivot", "fixed_pin", "moving_pin")
    return f"{part}, {point.replace('_', ' ') if plain else f'ball {point}'}"


def form_blocks(steering: Steering, units: str) -> tuple[Block, ...]:
    """The blanks: one row a point, one row a tape."""
    names = list(steering.points_mm)
    blank = "________"
    points: tuple[Row, ...] = tuple(
        (f"{i}  {spoken_point(name)}", blank, blank, blank) for i, name in enumerate(names, 1)
    )
    number = {name: i for i, name in enumerate(names, 1)}
    pairs = (sorted(pair, key=lambda name: number[name]) for pair in tapes_to_take(steering))
    tapes: tuple[Row, ...] = tuple(
        (f"{number[a]} to {number[b]}", f"{spoken_point(a)} to {spoken_point(b)}", blank) for a, b in pairs
    )
    return (
        Block(
            "Points", (f"point ({units})", "x, from the axle", "y, from the centre line", "z, from the floor"), points
        ),
        Block("Tapes", ("numbers", "between", units), tapes),
    )


def _members(steering: Steering) -> Iterator[tuple[str, str, str]]:
    """What joins two points, by their names: the kind of its line, one end, the other."""
    for lever in steering.lever:
        yield from (("", f"{lever.name}.pivot", f"{lever.name}.{ball}") for ball in lever.balls)
    yield from (("b", rod.start, rod.end) for rod in steering.rod)
    cylinders = ("cylinder", *(each.name for each in steering.cylinder))
    yield from (("c", f"{name}.fixed_pin", f"{name}.moving_pin") for name in cylinders)


def form_pictures(steering: Steering) -> tuple[str, ...]:
    """The numbered points from above and from the side, with the axes and what joins them; empty without a linkage."""
    named = steering.points_mm
    if not named:
        return ()
    numbers = {name: i for i, name in enumerate(named)}
    points = list(named.values())
    members = [(kind, numbers[a], numbers[b]) for kind, a, b in _members(steering) if {a, b} <= numbers.keys()]
    views: tuple[tuple[str, str, str, str, Callable[[Point], complex]], ...] = (
        ("form-above", "Points from above", "y, to the left", "x, forward", lambda p: complex(-p[1], p[0])),
        ("form-side", "Points from the right", "x, forward", "z, up", lambda p: complex(p[0], p[2])),
    )
    return tuple(_view(*view, points, members) for view in views)


def _axis(zero: complex, tip: complex) -> Iterator[str]:
    """An arrow from 0, 0 the way that numbers grow."""
    back = (zero - tip) / abs(zero - tip) * 7.0
    yield svg.line([(zero.real, zero.imag), (tip.real, tip.imag)], "a", 2.0, "")
    head = (tip + back * cmath.rect(1.0, 0.4), tip, tip + back * cmath.rect(1.0, -0.4))
    yield svg.line([(p.real, p.imag) for p in head], "a", 2.0, "")


def _view(
    name: str,
    title: str,
    across: str,
    up: str,
    project: Callable[[Point], complex],
    points: Sequence[Point],
    members: Iterable[tuple[str, int, int]],
) -> str:
    flat = [project(p) for p in points] + [0j]
    low = complex(min(p.real for p in flat), min(p.imag for p in flat))
    span = complex(max(p.real for p in flat), max(p.imag for p in flat)) - low
    scale = min((WIDTH - 150.0) / max(span.real, 1.0), 300.0 / max(span.imag, 1.0))
    left, foot = (WIDTH - span.real * scale) / 2.0, 60.0 + span.imag * scale

    def place(q: complex) -> complex:
        q = (q - low) * scale
        return complex(left + q.real, foot - q.imag)

    picture = Box(complex(4.0, 4.0), complex(WIDTH - 4.0, foot + 24.0))
    groups: list[tuple[complex, list[int]]] = []
    for i, at in enumerate(map(place, flat[:-1]), 1):
        near = next((numbers for first, numbers in groups if abs(first - at) < TOGETHER_PX), None)
        if near is None:
            groups.append((at, [i]))
        else:
            near.append(i)
    zero, way = place(0j), -1.0 if across.startswith("y") else 1.0
    body = [svg.words(10, 15, title), svg.dot(zero.real, zero.imag, "a", 5.0)]
    taken = [box_about(12.0j, 2.0 * WIDTH, 16.0), box_about(zero, 14.0, 14.0)]
    for tip, words in ((zero + 36.0 * way, across[0]), (zero - 36.0j, up[0])):
        beyond = tip + 9.0 * (tip - zero) / abs(tip - zero)
        body += _axis(zero, tip)
        body.append(svg.words(beyond.real, beyond.imag + 4.0, words, anchor="middle", kind="a"))
        taken += [box_about(beyond, 12.0, 14.0), box_about((tip + zero) / 2.0, *(abs(tip - zero) / 2.0,) * 2)]
    told = (f"blue: 0, 0, and the ways that numbers grow: {across}; {up}", LEGEND)
    body += [svg.words(10, foot + 34.0 + 18.0 * i, words) for i, words in enumerate(told)]
    at_px = [place(q) for q in flat[:-1]]
    for kind, one, other in members:
        ends = [(at.real, at.imag) for at in (at_px[one], at_px[other])]
        body.append(svg.line(ends, kind, 2.0 if kind else 1.5))
    body += [svg.dot(at.real, at.imag) for at in at_px]
    taken += [box_about(at, 8.0, 8.0) for at in at_px]
    for at, numbers in groups:
        words = " ".join(map(str, numbers))
        wide = svg.LETTER_PX * len(words)
        tried = [at + far * complex((8.0 + wide / 2.0) * x, 12.0 * y) for far in (1.0, 1.7, 2.6) for x, y in _BESIDE]
        boxes = [box for spot in tried if (box := box_about(spot, wide + 2.0, 13.0)).within(picture)]
        box = next((box for box in boxes if not any(map(box.meets, taken))), boxes[0])
        taken.append(box)
        middle = (box.low + box.high) / 2.0
        body.append(svg.words(middle.real, middle.imag + 4.0, words, anchor="middle"))
    return svg.frame(
        WIDTH, foot + 60.0, title, "Every point of the measuring form by its number.", body, f"steer-{name}"
    )
