"""Whether plates meet the true rail as they are said to: gap and bind by the pin, gap and pin once pushed home.

Two thousand plates, each fitted to readings of a rail that is known exactly. All invented: rails as in
``tests/rail/fit_rails.py``, read in one plane or in two across which they slant and wander, or a bent corner that the
plate goes round; a reading in a hundred is misread, as the fit allows for. What is said of 95 of 100 plates must hold
for 93 to 98 of them, in every class.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import linprog

from plategen.bracket.meeting import held, pushed_home
from plategen.bracket.notch import Notch, fit_notch
from plategen.design.foot import Foot
from plategen.flat.chain import Chain
from plategen.ground.refusal import Refusal
from plategen.rail.fit import fit_together, fit_trace
from plategen.rail.fit.model import Complexes, Floats, Shape, feet, frames, walk_of
from plategen.rail.spread import WAVE_MM
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace, Reading, Trace
from tests.rail.fit_rails import ERROR_MM, MARK_MM, a_rail, walked

PLATES_A_CLASS = 240
CLASSES = ("one trace", "two traces", "corner")
READINGS = (5, 9, 25)
FIGURES = ("gap, pin held", "bind, pin held", "gap, pushed home", "pin off, pushed home")
LEAST, MOST = 0.93, 0.98
KINDS = ("line", "corner", "bend")
FACES_MM = (-4.75, 4.75)
PLANES_MM = (-25.0, 25.0)
PIN_BELOW_MM = 60.0
FIRST_MM = -20.0  # station where the rails along which a foot stands begin
STEP_MM = 1.5
ROUNDS = 3
MISREAD_SHARE, MISREAD_MM = 0.01, 25.0
"""Readings that are misread, and by up to how much either way: a hand's usual slips (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Wave:
    """How a rail waves along itself: as much as no rolled flat is straighter than."""

    length_mm: float
    phase_rad: float

    @classmethod
    def drawn(cls, rng: np.random.Generator) -> "Wave":
        """Any of a few decimetres."""
        return cls(rng.uniform(120.0, 400.0), rng.uniform(0.0, 2.0 * math.pi))

    def at(self, along_mm: Floats) -> Floats:
        """Towards the metal."""
        return np.asarray(WAVE_MM * math.sqrt(2.0) * np.sin(2.0 * np.pi * along_mm / self.length_mm + self.phase_rad))


@dataclass(frozen=True, slots=True)
class Truth:
    """A true rail: a section, how far it shifts along u and v for each mm along the pin, and how it waves."""

    shape: Shape
    length_mm: float
    shift: complex
    wave: Wave

    def at(self, w_mm: float) -> Shape:
        """Its section at a place along the pin."""
        return replace(self.shape, anchor=self.shape.anchor + self.shift * w_mm)


@dataclass(frozen=True, slots=True)
class Case:
    """A plate fitted to readings of a true rail, and where its pin is."""

    truth: Truth
    notch: Notch
    pin: complex


def along_rail(rng: np.random.Generator, readings: int, planes_mm: Sequence[float], kinds: Sequence[str]) -> Case:
    """A foot along a rail."""
    rail = a_rail(str(rng.choice(kinds)), rng)
    slant = complex(rng.uniform(-0.1, 0.1), rng.uniform(-0.08, 0.08)) if len(planes_mm) > 1 else 0j
    truth = Truth(rail.shape, 1.6 * rail.span_mm, slant, Wave.drawn(rng))
    stations = np.linspace(0.0, rail.span_mm, readings)
    traces = []
    for w in planes_mm:
        offsets = replace(rail, shape=truth.at(w)).offsets(stations) + truth.wave.at(stations - FIRST_MM)
        offsets += slips(rng, readings)
        traces.append(fitted(stations + 1j * rounded(offsets), w))
    foot_mm = rng.uniform(6.0, 9.0) * 25.4
    begin = rng.uniform(0.1, 0.9) * (rail.span_mm - foot_mm)
    notch = fit_notch(Rail(traces=fit_together(traces), inline_offset_mm=0.0), FACES_MM, (begin, begin + foot_mm), 0.0)
    return Case(truth, notch, complex(begin + foot_mm / 2.0, 40.0 - PIN_BELOW_MM))


def round_corner(rng: np.random.Generator, readings: int) -> Case:
    """A foot round a bent corner, read along both its faces."""
    turn, radius = math.radians(rng.uniform(80.0, 100.0)), rng.uniform(4.0, 12.0)
    under, side = rng.uniform(120.0, 180.0), rng.uniform(80.0, 120.0)
    off = radius * math.tan(turn / 2.0)
    heading = complex(np.exp(1j * rng.uniform(-0.1, 0.1)))
    shape = Shape("LAL", 40j, heading, np.array([0.0, 0.0, under - off, turn, radius * turn]))
    whole = under + side - 2.0 * off + radius * turn
    slant = complex(rng.uniform(-0.05, 0.05), rng.uniform(-0.05, 0.05))
    truth = Truth(shape, whole + 40.0, slant, Wave.drawn(rng))
    traces = []
    for w in PLANES_MM:
        path = walked(truth.at(w), whole, 0.05)
        at = np.linspace(0, len(path) - 2, readings).astype(int)
        away = 1j * (path[at + 1] - path[at]) / 0.05
        points = path[at] + away * (truth.wave.at(0.05 * at) + slips(rng, readings))
        traces.append(fitted(rounded(points.real) + 1j * rounded(points.imag), w, corner=True))
    rail = Rail(traces=fit_together(traces), inline_offset_mm=0.0)
    notch = fit_notch(rail, FACES_MM, Foot(25.0, None, side - 20.0), 0.0, 12.7)
    return Case(truth, notch, complex(under / 2.0, 40.0 - PIN_BELOW_MM))


def slips(rng: np.random.Generator, readings: int) -> Floats:
    """How far readings are off: a little each of them, and once in a hundred times by a mark that was misread."""
    off = rng.normal(0.0, ERROR_MM, readings)
    return off + rng.uniform(-MISREAD_MM, MISREAD_MM, readings) * (rng.random(readings) < MISREAD_SHARE)


def rounded(values: Floats) -> Floats:
    """Read off a rule."""
    return np.asarray(np.round(values / MARK_MM) * MARK_MM)


def fitted(points: Complexes, w_mm: float, *, corner: bool = False) -> FittedTrace:
    """Readings fitted."""
    readings = tuple(Reading(complex(p), line) for line, p in enumerate(points, 2))
    return fit_trace(Trace(file="rail.csv", plane_mm=w_mm, readings=readings, round_corner=corner))


def apart(truth: Truth, legs: Sequence[Chain]) -> tuple[Floats, Complexes, Complexes]:
    """True gaps on both faces, looked at from the plate and from the rail: each with its place and direction."""
    gaps, places, away = [], [], []
    for w in FACES_MM:
        shape = truth.at(w)
        walk, path = frames(shape), walked(shape, truth.length_mm, STEP_MM)
        for leg in legs:
            own = np.array([leg.point(s) for s in np.linspace(0.0, leg.length, round(leg.length / STEP_MM))])
            met = feet(walk, own)
            edge = walk_of(list(leg.segments))
            back = feet(edge, path)
            last = len(leg) - 1
            inside = ((back.row > 0) | (back.along > 0.0)) & ((back.row < last) | (back.along < edge.high[last]))
            inside &= np.abs(back.distance) < 15.0
            joints = np.concatenate(([0.0], np.cumsum(walk.high[:-1])))
            wave = truth.wave.at(joints[met.row] + met.along), truth.wave.at(STEP_MM * np.flatnonzero(inside))
            gaps += [wave[0] - met.distance, wave[1] + back.distance[inside]]
            places += [own, back.point[inside]]
            away += [met.normal, back.normal[inside]]
    return np.concatenate(gaps), np.concatenate(places), np.concatenate(away)


def truly(case: Case) -> tuple[float, float, float, float]:
    """What truly comes of it, in the order of the figures; pushed home by a linear programme on the true gaps."""
    legs, pin = [leg.path for leg in case.notch.legs], case.pin
    gap, places, away = apart(case.truth, legs)
    ways = [1.0, 1j] if len(case.notch.fit.meeting.press) == 3 else [1j]
    first = float(gap.max()), float(-gap.min())
    for _ in range(ROUNDS):
        rows = np.column_stack([(away.conj() * way).real for way in ways] + [(away.conj() * 1j * places).real])
        even = np.array([p for leg in legs for p in (leg.point(s) for s in np.arange(0.5, leg.length))])
        left = np.array([1j * leg.place(s / leg.length)[1] for leg in legs for s in np.arange(0.5, leg.length)])
        press = [*(float((left.conj() * way).real.sum()) for way in ways), float((left.conj() * 1j * even).real.sum())]
        found = linprog(-np.array(press), rows, gap, bounds=(None, None))
        shift, turn = sum(m * way for m, way in zip(found.x, ways, strict=False)), complex(np.exp(1j * found.x[-1]))
        legs, pin = [leg.moved(turn, shift) for leg in legs], pin * turn + shift
        gap, places, away = apart(case.truth, legs)
    return *first, float(gap.max()), abs(pin - case.pin)


def said(case: Case) -> tuple[float, float, float, float]:
    """What is said of it."""
    meeting = case.notch.fit.meeting
    home = pushed_home(meeting, case.pin)
    return *held(meeting), home.gap_mm, home.pin_off_mm


def cases(kind: str, readings: int, plates: int) -> tuple[Floats, Floats, int]:
    """What was said and what is true of plates of a class, and how many were refused on the way."""
    rng = np.random.default_rng(2611 + readings)
    pairs: list[tuple[Sequence[float], Sequence[float]]] = []
    refused = 0
    while len(pairs) < plates:
        try:
            if kind == "corner":
                case = round_corner(rng, readings)
            else:
                case = along_rail(rng, readings, (0.0,) if kind == "one trace" else PLANES_MM, KINDS)
        except Refusal:
            refused += 1
            continue
        pairs.append((said(case), truly(case)))
    told, true = np.array(pairs).transpose(1, 0, 2)
    return told, true, refused


def main() -> None:
    """Print the share of plates of which each figure holds, and how large the figures are."""
    plates = PLATES_A_CLASS
    print(f"\n{plates} plates a class; {' | '.join(FIGURES)}: share of which it holds, what is said in the middle, mm")
    for kind in CLASSES:
        for readings in READINGS:
            told, true, refused = cases(kind, readings, plates)
            share, middle = (true <= told + 1e-6).mean(axis=0), np.median(told, axis=0)
            figures = " | ".join(
                f"{s:6.1%} {m:5.2f}{' ' if LEAST <= s <= MOST else '!'}" for s, m in zip(share, middle, strict=True)
            )
            print(f"{kind:10} {readings:2} readings  {figures}  {refused} refused")
