"""The linkage seen from above, from the right and from ahead: at both locks, and with the axle moved; as SVG text."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from plategen.ground.show import Show
from plategen.steering.axle import heights_mm, held_at
from plategen.steering.moving import moving_lines
from plategen.steering.skeleton import Kind, skeleton
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import Point, as_point
from plategen.tell.steering import svg
from plategen.tell.steering.svg import WIDTH, Curve, line_plot

Projection: TypeAlias = Callable[[Point], complex]
"""Where a point of the vehicle frame comes to lie in a view, right and up."""

VIEWS: dict[str, tuple[str, Projection]] = {
    "above": ("From above, forward up", lambda p: complex(-p[1], p[0])),
    "side": ("From the right, forward right", lambda p: complex(p[0], p[2])),
    "ahead": ("From ahead", lambda p: complex(p[1], p[2])),
}
"""The views by name."""

STYLES = {"": "", "a": "9 3 2 3", "b": "6 3"}
"""Dashes: as drawn, then one way and the other, told apart on a grey print too."""

CURVE_PLACES = 20
"""Places of the axle either side of ride height at which its curve is computed."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A line of a view: what it stands for, how it is dashed, and whether its name stands beside it."""

    part: str
    kind: Kind
    style: str
    points_mm: tuple[Point, ...]
    named: bool = False


def three_views(study: SteeringStudy) -> tuple[str, ...]:
    """Plan (forward upwards), side (forward to the right) and front view (seen from ahead), at both locks, and the key.

    Empty when no linkage is drawn.
    """
    styles = {"straight ahead": "", "left lock": "a", "right lock": "b", "all": ""}
    lines = [
        Drawn(line.part, line.kind, styles[line.where], line.points_mm, line.where == "straight ahead")
        for line in skeleton(study)
    ]
    if not lines:
        return ()
    where = "straight ahead and at both locks, with the paths of its ball joints"
    drawn = [_view(name, "steer-view", lines, where) for name in VIEWS]
    return (*drawn, _key("steer-key", ("straight ahead", "left lock", "right lock")))


def _key(name: str, places: tuple[str, str, str]) -> str:
    body = []
    for i, (place, style) in enumerate(zip(places, STYLES, strict=True)):
        body.append(svg.line([(10, 16 + 22 * i), (64, 16 + 22 * i)], style, 2.0, STYLES[style]))
        body.append(svg.words(74, 20 + 22 * i, place, kind=style))
    body.append(svg.line([(10, 82), (64, 82)], "", 4.0, ""))
    body.append(svg.words(74, 86, "cylinder, thick; rings are ball joints and pins"))
    words = "{} full, {} dash-dotted, {} dashed; the cylinder thick.".format(*places)
    return svg.frame(WIDTH, 98.0, "Key to the views", words[0].upper() + words[1:], body, name)


def _view(name: str, ids: str, lines: Iterable[Drawn], where: str) -> str:
    """One view, as large as its frame lets it be."""
    title, project = VIEWS[name]
    lines = tuple(lines)
    flat = [project(p) for line in lines for p in line.points_mm]
    low = complex(min(p.real for p in flat), min(p.imag for p in flat))
    high = complex(max(p.real for p in flat), max(p.imag for p in flat))
    span = high - low
    scale = min((WIDTH - 40.0) / max(span.real, 1.0), 300.0 / max(span.imag, 1.0))
    top, height = 26.0, span.imag * scale + 24.0
    left = (WIDTH - span.real * scale) / 2.0

    def place(p: Point) -> tuple[float, float]:
        q = (project(p) - low) * scale
        return left + q.real, top + height - 12.0 - q.imag

    body = [svg.words(10, 15, title)]
    labels: list[str] = []
    bottom = top + height
    for line in lines:
        points = [place(p) for p in line.points_mm]
        kind = line.style
        match line.kind:
            case "axis":
                body.append(svg.line(points, "faint", 1.0, "10 3 2 3"))
            case "path":
                body.append(svg.line(points, "faint", 1.0, ""))
            case "cylinder":
                body.append(svg.line(points, kind, 4.0, STYLES[kind]))
                body.append(svg.dot(*points[0], kind=kind))
            case _:
                body.append(svg.line(points, kind, 2.4 if line.kind == "lever" else 1.6, STYLES[kind]))
                body.append(svg.dot(*points[-1], kind=kind))
        if name == "above" and line.named and line.kind in ("rod", "cylinder"):
            x, y, anchor = _label_place(points, line.part)
            labels.append(svg.words(x, y, line.part, anchor=anchor))
            bottom = max(bottom, y + 6.0)
    described = f"{title}: the linkage {where}."
    return svg.frame(WIDTH, bottom, title, described, [*body, *labels], f"{ids}-{name}")


def _label_place(points: list[tuple[float, float]], name: str) -> tuple[float, float, str]:
    """Where a part's name stands, and which end of it that is: under its middle where it lies level, else beside it; a
    cylinder's beside its fixed pin.
    """
    (x1, y1), (x2, y2) = points[0], points[-1]
    if abs(y2 - y1) <= abs(x2 - x1):
        return (x1 + x2) / 2.0, max(y1, y2) + 17.0, "middle"
    x, y = (x1, y1 + 4.0) if name == "cylinder" else (max(x1, x2), (y1 + y2) / 2.0)
    if x > WIDTH - 100.0:
        return min(x1, x2) - 10.0, y, "end"
    return x + 10.0, y, "start"


def axle_pictures(study: SteeringStudy, show: Show) -> tuple[str, ...]:
    """The linkage with the axle down, at ride height and up (else rolled both ways), the key, and the bump-steer curve.

    The steering wheel is held straight ahead. Empty where the axle's travel is not asked.
    """
    swept, entry = study.sweep, study.steering.axle
    if swept is None or entry is None:
        return ()
    if entry.up_mm or entry.down_mm:
        rise, roll = np.array([0.0, entry.up_mm, -entry.down_mm]), np.zeros(3)
        up, down = (show.length(mm) for mm in (entry.up_mm, entry.down_mm))
        places = ("ride height", f"axle {up} up", f"axle {down} down")
    else:
        rise, roll = np.zeros(3), np.array([0.0, entry.roll_rad, -entry.roll_rad])
        by = show.angle(entry.roll_rad)
        places = ("level", f"rolled {by}, left side up", f"rolled {by}, right side up")
    held = held_at(swept, entry, rise, roll)
    lines = [
        Drawn(line.part, line.kind, style, (as_point(line.start_mm[i]), as_point(line.end_mm[i])), i == 0)
        for line in moving_lines(held.motion, study.mounts)
        for i, style in enumerate(STYLES)
    ]
    where = "with the steering wheel held: {}, {} and {}".format(*places)
    views = tuple(_view(name, "steer-axle", lines, where) for name in VIEWS)
    return (*views, _key("steer-axle-key", places), *_bump_plot(study, show))


def _bump_plot(study: SteeringStudy, show: Show) -> tuple[str, ...]:
    """Heading and toe-in over the axle's travel, level and rolled; nothing where it only rolls."""
    swept, entry = study.sweep, study.steering.axle
    if swept is None or entry is None or not (entry.up_mm or entry.down_mm):
        return ()
    rise = heights_mm(entry, CURVE_PLACES)
    per, unit = (25.4, "in") if show.units == "in" else (1.0, "mm")
    straight = {side: float(steer[swept.straight]) for side, steer in swept.steer_rad.items()}
    curves = []
    for roll_rad, rolled in ((0.0, ""), (entry.roll_rad, ", left side up"), (-entry.roll_rad, ", right side up")):
        if roll_rad == 0.0 and rolled:
            continue
        held = held_at(swept, entry, rise, np.full(len(rise), roll_rad)).steer_rad
        steer = {side: np.degrees(values - straight[side]) for side, values in held.items()}
        curves.append(Curve(f"heading{rolled}", np.asarray(np.mean(list(steer.values()), axis=0))))
        if len(steer) == 2 and not rolled:
            curves.append(Curve("toe-in", steer["right"] - steer["left"]))
    return (
        line_plot(
            "steer-axle-bump",
            "Bump steer, steering wheel held",
            rise / per,
            tuple(curves),
            x_label=f"axle's middle over ride height, {unit}",
            y_label="degrees, left positive",
            zero=True,
        ),
    )
