"""That two rounds of fit notes bring a wrong trace to the rail, whichever way the plate is held up.

The rail is known exactly; its trace is wrong by up to 10 mm in place, tilt, kick, bend or sag, and read with 0.5 mm.
The plate is held up as a person would, really moved and turned, and its gaps are read at six stations with 0.5 mm.
What counts is the largest gap to the true rail, anywhere on the foot, after one round or two.
"""

import cmath
import math
import os
import random
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from plategen.flat.chain import Chain
from plategen.flat.clip import extended
from plategen.rail.fit import fit_trace
from plategen.rail.note.correction import corrected, corrections
from plategen.rail.note.gap import Gap, HeldUp
from plategen.rail.trace import Trace
from tests.support.rails import KnownRail, flat_bend_flat

IN = 25.4
FIT_UP_MM = IN / 16
"""AWS D1.1, fit-up of fillets: up to 1/16 in the leg stays as it is."""
FOOT = (2 * IN, 11 * IN)
STATIONS = np.linspace(*FOOT, 6)
LOOKED_AT = np.linspace(*FOOT, 116)
PIN = complex(6.5 * IN, -57.15)
READ_MM = 0.5

Floats = NDArray[np.float64]
Points = NDArray[np.complex128]
Seat = tuple[float, float]
"""How far the plate is shifted towards the rail and turned about its pin."""


class Edge:
    """A rail or a plate's edge as heights over stations."""

    def __init__(self, chain: Chain) -> None:
        points = np.array([s.point(t) for s in extended(chain, 60, 60) for t in np.linspace(0.0, 1.0, 60)])
        self.u, self.v = points.real, points.imag

    def at(self, u: Floats) -> Floats:
        return np.interp(u, self.u, self.v)

    def placed(self, stations: Floats, seat: Seat) -> tuple[Points, Points]:
        """Points of the edge and the way to the rail, square to it, of a plate seated so."""
        slope = self.at(stations + 0.5) - self.at(stations - 0.5)
        away = (-slope + 1j) / np.hypot(slope, 1.0)
        turn = cmath.rect(1.0, seat[1])
        return (stations + 1j * self.at(stations) - PIN) * turn + PIN + 1j * seat[0], away * turn


def gaps(rail: Edge, points: Points, away: Points) -> Floats:
    """Along ``away`` from each point to the rail."""
    far = np.zeros(len(points))
    for _ in range(30):
        at = points + away * far
        far += 0.9 * (rail.at(at.real) - at.imag)
    return far


def by_the_pin(rail: Edge, plate: Edge) -> Seat:
    return 0.0, 0.0


def square(rail: Edge, plate: Edge) -> Seat:
    """Pushed home square to the cylinder's line, until it first touches."""
    points, _ = plate.placed(LOOKED_AT, (0.0, 0.0))
    return float(np.min(rail.at(points.real) - points.imag)), 0.0


def on_two_points(rail: Edge, plate: Edge) -> Seat:
    """Pushed home at the pin until it sits on a point on either side of it."""
    shift = turn = 0.0
    for _ in range(6):
        points, _ = plate.placed(LOOKED_AT, (shift, turn))
        room, x = rail.at(points.real) - points.imag, points.real - PIN.real
        left, right = x < 0, x >= 0
        run = x[right][None, :] - x[left][:, None]
        at_pin = (room[left][:, None] * x[right][None, :] - room[right][None, :] * x[left][:, None]) / run
        i, j = np.unravel_index(int(at_pin.argmin()), at_pin.shape)
        shift += float(at_pin[i, j])
        turn += math.atan((room[right][j] - room[left][i]) / run[i, j])
    return shift, turn


def as_held(rail: Edge, plate: Edge, hold: Callable[[Edge, Edge], Seat]) -> float:
    """The largest gap, held up again in the same way; with the pin in its place an overlap counts as one."""
    return float(np.abs(gaps(rail, *plate.placed(LOOKED_AT, hold(rail, plate)))).max())


def on_the_pin(rail: Edge, plate: Edge, hold: Callable[[Edge, Edge], Seat]) -> float:
    """The largest gap or overlap with the pin in its place and the plate turned about it as it fits best."""
    turns = np.linspace(-0.06, 0.06, 121)
    return min(float(np.abs(gaps(rail, *plate.placed(LOOKED_AT, (0.0, float(t))))).max()) for t in turns)


def wrong(kind: str, rng: random.Random) -> list[float]:
    """What is wrong with a trace at its 13 stations, up to 10 mm."""
    amount, begins = rng.uniform(2.0, 10.0) * rng.choice([-1, 1]), rng.uniform(0.25, 0.6)
    shares = [i / 12 for i in range(13)]
    bend = [min(1.0, max(0.0, (x - begins) / 0.3)) for x in shares]
    match kind:
        case "out of place":
            return [amount for _ in shares]
        case "not parallel":
            return [amount * (2 * x - 1) for x in shares]
        case "kick misread":
            return [amount * max(0.0, (x - begins) / (1 - begins)) for x in shares]
        case "bend elsewhere":
            return [amount * b for b in bend]
        case "sags":
            return [amount * math.sin(math.pi * x) for x in shares]
    a, b, c = (rng.uniform(-4.0, 4.0) for _ in range(3))
    return [a + b * (2 * x - 1) + c * y for x, y in zip(shares, bend, strict=True)]


CASES = int(os.environ.get("PLATEGEN_CASES", "20"))
"""Wrong traces; 500 before a release."""

KINDS = ["out of place", "not parallel", "kick misread", "bend elsewhere", "sags", "all at once"]


def largest_gap(
    rng: random.Random, hold: Callable[[Edge, Edge], Seat], judge: Callable[..., float], pin: bool
) -> float:
    """The better of one round and two."""
    kick, at = math.radians(rng.uniform(-8, 8)), rng.uniform(90, 220)
    profile = flat_bend_flat(at, kick, rng.uniform(20, 60), 400 - at, start=-20 + 35j)
    read = KnownRail(profile).read(0.0, [i * IN for i in range(13)], sigma_mm=READ_MM, rng=rng)
    off = wrong(rng.choice(KINDS), rng)
    readings = tuple(replace(r, point=r.point + e * 1j) for r, e in zip(read.readings, off, strict=True))
    trace, rail = Trace(file="t.csv", plane_mm=0.0, readings=readings), Edge(profile)
    fit = cache(fit_trace)
    notes: list[Gap] = []
    found: list[float] = []
    for number in (1, 2, 3):
        said = corrections((trace,), notes, {"ear": HeldUp(0.0, PIN)}, fit) if notes else ()
        plate = Edge(fit(corrected((trace,), said, fit)[0]).chain)
        if number > 1:
            found.append(judge(rail, plate, hold))
        seat = hold(rail, plate)
        for station, gap in zip(STATIONS, gaps(rail, *plate.placed(STATIONS, seat)), strict=True):
            seen = float(gap) + rng.gauss(0.0, READ_MM)
            if hold is by_the_pin:
                notes.append(Gap(plate="ear", station_mm=station, gap_mm=seen, round=number))
            else:
                note = Gap(plate="ear", station_mm=station, gap_mm=max(0.0, seen), round=number, held="home")
                notes.append(note)
        if pin:
            pin_off = seat[0] + rng.gauss(0.0, READ_MM)
            notes = [replace(n, pin_off_mm=pin_off) if n.round == number else n for n in notes]
    return min(found)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("hold", "judge", "pin"),
    [
        pytest.param(by_the_pin, as_held, False, id="by its pin"),
        pytest.param(on_two_points, on_the_pin, True, id="pushed home, the pin hole measured"),
        pytest.param(square, as_held, False, id="pushed home square, the pin hole not measured"),
    ],
)
def test_two_rounds_bring_a_wrong_trace_to_the_rail(
    hold: Callable[[Edge, Edge], Seat], judge: Callable[..., float], pin: bool
) -> None:
    good = sum(largest_gap(random.Random(300_000 + i), hold, judge, pin) < FIT_UP_MM for i in range(CASES))
    assert good >= 0.95 * CASES
