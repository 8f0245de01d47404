"""The steering in motion, as plain numbers that its script draws: lock to lock, and the axle up and down or rolled
where that is asked; every place and every word is computed here, the script only draws one after the other.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Any, TypeAlias

import numpy as np

from plategen.ground.show import Show
from plategen.steering.axle import heights_mm, held_at
from plategen.steering.gap_track import GapTrack, fitting_gaps, tyre_gaps
from plategen.steering.mount import PinToPin, pin_to_pin
from plategen.steering.moving import moving_lines
from plategen.steering.ports import port_path
from plategen.steering.study import SteeringStudy
from plategen.steering.sweep import Sweep
from plategen.steering.tyre_room import tyres_of, tyres_past
from plategen.steering.vector import Floats, Point, array, length

MOST_FRAMES = 41
AXLE_FRAMES = 8
"""Positions from lock to lock, and places of the axle either side of ride height; between them the script draws on
straight ways."""

MARGIN = 0.06
"""Room about the drawing over its size."""

VIEWS: tuple[tuple[str, list[int]], ...] = (
    ("From above, forward up", [-2, -1]),
    ("From the right, forward right", [1, -3]),
    ("From ahead", [2, -3]),
)
"""Each view: its name, and what lies right and down in it, axes numbered from 1, turned by their sign."""

Track: TypeAlias = Floats
"""A point at every frame, (n, 3)."""

Line: TypeAlias = tuple[str, str, list[Track]]
"""A line's kind, its name and its points. Those of a tyre are its outline from above, straight ahead, and the tops of
its left and right side."""

Scene: TypeAlias = dict[str, Any]
"""As JSON."""


@cache
def script() -> str:
    """The script that moves the linkage."""
    return resources.files("plategen.tell.picture").joinpath("linkage.js").read_text(encoding="utf-8")


@dataclass(frozen=True, slots=True)
class Stage:
    """One way of moving: its frames, what is read off them, and what its two ends are called."""

    label: str
    ends: tuple[str, str]
    sweep: Sweep  # Its positions are the frames.
    pins: PinToPin | None
    readings: tuple[tuple[str, list[str]], ...]
    marks: "Marks"


@dataclass(frozen=True, slots=True)
class Marks:
    """The gaps of one way of moving by their names, and which is the least of its kind at each frame."""

    gaps: dict[str, GapTrack]
    least: tuple[tuple[str, list[str]], ...]  # "nearest to a tyre", and the name of a gap for every frame.

    def readings(self, show: Show) -> list[tuple[str, list[str]]]:
        """How wide the least gap of each kind is at every frame."""
        return [
            (kind, _lengths(show, np.array([self.gaps[name].gap_mm[frame] for frame, name in enumerate(names)])))
            for kind, names in self.least
        ]


def linkage_scene(study: SteeringStudy | None) -> Scene | None:
    """Points, lines, frames and words of a study, and the view boxes; None when it draws no linkage.

    Points that stand still are written once; lengths are whole millimetres.
    """
    if study is None or study.sweep is None:
        return None
    stages = [_turning(study, study.sweep), *_axle_stages(study, study.sweep)]
    tracks: list[Track] = []
    shapes = list(_lines(study, stages))
    lines = [*shapes, *_gap_lines(stages)]
    found: dict[bytes, int] = {}

    def number(track: Track) -> int:
        key = np.round(track, 3).tobytes()
        if key not in found:
            found[key] = len(tracks)
            tracks.append(track)
        return found[key]

    drawn = [[kind, name, *map(number, points)] for kind, name, points in lines]
    return {
        "points": [_written(track) for track in tracks],
        "lines": drawn,
        "views": [_view(*view, shapes) for view in VIEWS],
        "stages": [
            {
                "label": stage.label,
                "ends": stage.ends,
                "count": len(stage.sweep),
                "straight": stage.sweep.straight,
                "names": [name for name, _ in stage.readings],
                "words": [list(row) for row in zip(*(words for _, words in stage.readings), strict=True)],
                "marks": _marked(stage, lines),
            }
            for stage in stages
        ],
    }


def _turning(study: SteeringStudy, swept: Sweep) -> Stage:
    """From the right lock to the left one."""
    half = swept.straight
    places = {half, *np.linspace(0, half, MOST_FRAMES // 2 + 1).round().astype(int).tolist()}
    places |= set(np.linspace(half, len(swept) - 1, MOST_FRAMES // 2 + 1).round().astype(int).tolist())
    picked = sorted(places)
    motion = replace(swept.motion, angles_rad={name: turn[picked] for name, turn in swept.motion.angles_rad.items()})
    steer = {side: turn[picked] for side, turn in swept.steer_rad.items()}
    shown = replace(swept, motion=motion, straight=picked.index(half), steer_rad=steer)
    pins = None if study.in_line is None else pin_to_pin(shown, study.in_line.mount)
    show = Show(study.units)
    readings = [("box arm", _angles(show, shown.driver_rad)), *_wheels(show, shown), *_stroke(study, show, pins)]
    if study.in_line is not None:
        aligned = study.in_line.aligned
        readings.append(("out of line", _angles(show, aligned.angle_rad[picked])))
        readings.append(("push lost", [f"{100 * float(x):.1f} %" for x in aligned.push_lost[picked]]))
    drawn = tuple(each for each in study.clearances if not each.axle_moved)
    marks = _marks(study, pins, tyre_gaps(drawn, np.array(picked)))
    return Stage("Turn", ("right lock", "left lock"), shown, pins, (*readings, *marks.readings(show)), marks)


def _axle_stages(study: SteeringStudy, swept: Sweep) -> Iterator[Stage]:
    """The axle up and down, level, and rolled at ride height, each with the steering wheel held straight ahead."""
    entry, show = study.steering.axle, Show(study.units)
    if entry is None:
        return
    if entry.up_mm or entry.down_mm:
        rise = heights_mm(entry, AXLE_FRAMES)
        over = [_signed(show, float(mm)) for mm in rise]
        yield _held(study, "Axle", ("down", "up"), held_at(swept, entry, rise, np.zeros(len(rise))), over)
    if entry.roll_rad:
        roll = np.linspace(-entry.roll_rad, entry.roll_rad, 2 * AXLE_FRAMES + 1)
        ends = ("right side up", "left side up")
        sides = [show.angle(abs(float(a))) + ("" if a == 0.0 else f" {ends[int(a > 0.0)]}") for a in roll]
        yield _held(study, "Axle rolled", ends, held_at(swept, entry, np.zeros(len(roll)), roll), sides)


def _held(study: SteeringStudy, label: str, ends: tuple[str, str], held: Sweep, places: list[str]) -> Stage:
    show = Show(study.units)
    pins = None if study.in_line is None else pin_to_pin(held, study.in_line.mount)
    passed = tyres_past(study.steering, held.motion, study.barrels, axle_moved=True)
    marks = _marks(study, pins, tyre_gaps(passed, np.arange(len(held))))
    readings = (("axle", places), *_wheels(show, held), *_stroke(study, show, pins), *marks.readings(show))
    return Stage(label, ends, held, pins, readings, marks)


def _marks(study: SteeringStudy, pins: PinToPin | None, tyres: Iterable[GapTrack]) -> Marks:
    gaps: dict[str, GapTrack] = {}
    least = []
    fittings = () if pins is None else fitting_gaps(study, pins)
    for kind, tracks in (("nearest to a tyre", tyres), ("nearest to a fitting", fittings)):
        if found := tuple(tracks):
            gaps |= {each.name: each for each in found}
            which = np.argmin([each.gap_mm for each in found], axis=0)
            least.append((kind, [found[i].name for i in which]))
    return Marks(gaps, tuple(least))


def _marked(stage: Stage, lines: list[Line]) -> list[tuple[int, list[int]]]:
    """The readings that tell a gap, by their number, each with the number of its line at every frame."""
    number = {name: i for i, (kind, name, _) in enumerate(lines) if kind == "gap"}
    first = len(stage.readings) - len(stage.marks.least)
    return [(first + i, [number[name] for name in names]) for i, (_, names) in enumerate(stage.marks.least)]


def _gap_lines(stages: list[Stage]) -> Iterator[Line]:
    """A line for each gap that is marked somewhere; it lies at the origin where it is not followed."""
    seen = {name for stage in stages for _, names in stage.marks.least for name in names}
    for name in sorted(seen):
        found = [_ends_mm(stage, name) for stage in stages]
        yield "gap", name, [_all(one for one, _ in found), _all(other for _, other in found)]


def _ends_mm(stage: Stage, name: str) -> tuple[Track, Track]:
    gap, nowhere = stage.marks.gaps.get(name), np.zeros((len(stage.sweep), 3))
    return (nowhere, nowhere) if gap is None else gap.ends_mm()


def _wheels(show: Show, swept: Sweep) -> list[tuple[str, list[str]]]:
    return [(f"{side} wheel", _angles(show, turn)) for side, turn in swept.steer_rad.items()]


def _stroke(study: SteeringStudy, show: Show, pins: PinToPin | None) -> list[tuple[str, list[str]]]:
    """Pin to pin, and what is left of the stroke at either end where a cylinder is chosen."""
    if pins is None:
        return []
    readings = [("pin to pin", _lengths(show, pins.length_mm))]
    if study.size is not None and study.stroke is not None:
        closed_mm, open_mm = study.stroke.ends_mm
        readings.append(("stroke left, closing", _lengths(show, pins.length_mm - closed_mm)))
        readings.append(("stroke left, opening", _lengths(show, open_mm - pins.length_mm)))
    return readings


def _angles(show: Show, rad: Floats) -> list[str]:
    return [show.angle(float(a)) for a in rad]


def _lengths(show: Show, mm: Floats) -> list[str]:
    return [_signed(show, float(x)) for x in mm]


def _signed(show: Show, mm: float) -> str:
    return f"{'-' if mm < 0.0 else ''}{show.length(abs(mm))}"


def _lines(study: SteeringStudy, stages: list[Stage]) -> Iterator[Line]:
    """Every line: its kind, its name and its points at all frames, stage after stage."""
    for bar in study.steering.bar:
        yield "bar", bar.name, [_still(bar.start_mm, stages), _still(bar.end_mm, stages)]
    for wheel, corners in _tyres(study, stages[0].sweep):
        yield "tyre", wheel, [_all(stage.sweep.motion.carried_mm(wheel, c) for stage in stages) for c in corners]
    every = zip(*(moving_lines(stage.sweep.motion, study.mounts) for stage in stages), strict=True)
    for line in every:
        name = line[0].part
        start, end = _all(each.start_mm for each in line), _all(each.end_mm for each in line)
        size = next((each.size for each in study.team.cylinders if each.name == name), None)
        if line[0].kind == "cylinder" and size is not None:
            way = (end - start) / length(end - start)[:, None]
            yield "barrel", name, [start, start + way * min(size.closed_mm, float(length(end - start).min()))]
        yield line[0].kind, name, [start, end]
    yield from _ports(study, stages)


def _ports(study: SteeringStudy, stages: list[Stage]) -> Iterator[Line]:
    """Fittings on the barrel, from face to tip, and the straight way to where the hose is made fast."""
    if study.in_line is None or not study.ports:
        return
    mount = study.in_line.mount
    for port, found in zip(study.steering.port, study.ports, strict=True):
        paths = [port_path(port, stage.pins, mount, found.radius_mm) for stage in stages if stage.pins is not None]
        tip = _all(path.tip_mm for path in paths)
        yield "port", port.name, [_all(path.face_mm for path in paths), tip]
        if port.hose_to_mm is not None:
            yield "hose", port.name, [tip, _still(port.hose_to_mm, stages)]


def _tyres(study: SteeringStudy, swept: Sweep) -> Iterator[tuple[str, list[Point]]]:
    """Each tyre by the lever that carries it: its outline as seen from above, straight ahead, and the top of its left
    and of its right side.
    """
    for tyre in tyres_of(study.steering, swept.linkage):
        (x, y, z), r, half = tyre.centre_mm, tyre.radius_mm, tyre.width_mm / 2.0
        outline = [(x + i * r, y + j * half, z) for i, j in ((1, 1), (1, -1), (-1, -1), (-1, 1))]
        yield tyre.lever, [*outline, (x, y + half, z + r), (x, y - half, z + r)]


def _still(point: Point, stages: list[Stage]) -> Track:
    return np.broadcast_to(array(point), (sum(len(stage.sweep) for stage in stages), 3))


def _all(parts: Iterable[Floats]) -> Track:
    return np.concatenate(list(parts))


def _written(track: Track) -> list[int]:
    """Three numbers for a point that stands still, else three for every frame."""
    whole = np.rint(track).astype(int)
    return whole[0].tolist() if (whole == whole[0]).all() else whole.ravel().tolist()


def _view(name: str, axes: list[int], shapes: list[Line]) -> Scene:
    """A view with the box, left, top, width and height, that holds all of it at every frame."""
    seen = [track for _, _, points in shapes for track in points]
    for kind, _, points in shapes:
        if kind == "tyre":  # the foot of each side lies as far below its middle as its top above it
            front_left, front_right, back_right, back_left, left, right = points
            seen += [front_left + back_left - left, front_right + back_right - right]
    every = np.concatenate(seen)
    flat = np.stack([np.sign(axis) * every[:, abs(axis) - 1] for axis in axes], axis=1)
    low, high = flat.min(axis=0), flat.max(axis=0)
    room = MARGIN * float((high - low).max())
    box = [round(v) for v in (*(low - room), *(high - low + 2.0 * room))]
    return {"name": name, "axes": axes, "box": box}
