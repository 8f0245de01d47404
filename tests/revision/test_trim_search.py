"""The best placement of an existing plate against every placement of a fine grid, on rails that are known."""

import math
import random
import time

import numpy as np
import pytest
import shapely

from plategen.bracket.standing import EarShape, ear_outline
from plategen.flat.chain import Chain
from plategen.flat.clip import between, extended
from plategen.flat.loop import Circle, Loop, polygon
from plategen.revision.plate_on_rail import Line2, PlateOnRail, Seat, flattened
from plategen.revision.seat import best_seat
from plategen.revision.trim import fit_verdict
from tests.support.rails import flat_bend_flat

FOOT = (50.0, 280.0)
DECIDES = (61.5, 268.5)
PIN = 165 + 0j
HOLE = Circle(PIN, 12.7)
MOST_TURN = math.radians(10)


def rail_line(kick_deg: float, at_mm: float, radius_mm: float, height_mm: float, lean_deg: float = 0.0) -> Chain:
    chain = flat_bend_flat(at_mm, math.radians(kick_deg), radius_mm, 500 - at_mm, start=-100 + 0j)
    turn = complex(math.cos(math.radians(lean_deg)), math.sin(math.radians(lean_deg)))
    moved = chain.moved(turn)
    return moved.moved(shift=complex(0.0, height_mm))


def ear(rail: Chain) -> Loop:
    shape = EarShape(pin=PIN, hole_radius_mm=12.7, nose_radius_mm=32, toe_mm=19, corner_radius_mm=6.35)
    return ear_outline(between(extended(rail, 100, 100), *FOOT), shape)


def case(rng: random.Random) -> tuple[Loop, Chain, Chain, str]:
    """A plate made for one rail, and another rail: higher, lower, kicked otherwise, leaning, or bent elsewhere."""
    kick, at = rng.uniform(1, 8) * rng.choice([-1, 1]), rng.uniform(200, 320)
    radius, height = rng.uniform(20, 60), rng.uniform(75, 110)
    made_for = rail_line(kick, at, radius, height)
    kind = rng.choice(["higher", "lower", "kicked", "leaning", "bent elsewhere"])
    match kind:
        case "higher":
            height += rng.uniform(0.2, 8)
        case "lower":
            height -= rng.uniform(0.2, 12)
        case "kicked":
            kick += rng.uniform(1, 8) * rng.choice([-1, 1])
        case "bent elsewhere":
            at += rng.uniform(10, 60) * rng.choice([-1, 1])
    lean = rng.uniform(1, 6) * rng.choice([-1, 1]) if kind == "leaning" else 0.0
    return ear(made_for), made_for, rail_line(kick, at, radius, height, lean), kind


class Brute:
    """Every placement of a fine grid, by the notch as drawn and nothing of the search's own."""

    def __init__(self, made_for: Chain, rail: Chain) -> None:
        notch = between(extended(made_for, 100, 100), *FOOT)
        self.edge = np.array([s.point(t) for s in notch for t in np.linspace(0.0, 1.0, 100)]) - PIN
        points = np.array([s.point(t) for s in extended(rail, 100, 100) for t in np.linspace(0.0, 1.0, 400)])
        self.stations = np.arange(DECIDES[0], DECIDES[1], 0.2)
        self.height = np.interp(self.stations, points.real, points.imag)
        ahead, behind = (np.interp(self.stations + d, points.real, points.imag) for d in (0.05, -0.05))
        self.cosine = 0.1 / np.hypot(0.1, ahead - behind)

    def gap(self, turn: float, slide: float = 0.0) -> float:
        placed = self.edge * complex(math.cos(turn), math.sin(turn)) + PIN + slide
        top = np.interp(self.stations, placed.real, placed.imag, left=-1e4, right=-1e4)
        return float(np.max(np.maximum(0.0, self.height - top) * self.cosine))

    def best(self, most: float = MOST_TURN, slides: tuple[float, ...] = (0.0,)) -> float:
        best = math.inf
        for slide in slides:
            coarse = np.arange(-most, most + 1e-9, math.radians(0.2))
            gaps = [self.gap(t, slide) for t in coarse]
            for start in np.argsort(gaps)[:3]:
                fine = coarse[start] + np.arange(-0.2, 0.2001, 0.004) * math.pi / 180
                best = min(best, *(self.gap(t, slide) for t in fine if abs(t) <= most + 1e-9))
        return best


def searched(plate: Loop, rail: Chain, play: float = 0.0) -> tuple[Seat, PlateOnRail]:
    on_rail = PlateOnRail(plate, (HOLE,), PIN, Line2.of(extended(rail, 100, 100)), PIN, DECIDES)
    return best_seat(on_rail, MOST_TURN, play, (False,)), on_rail


@pytest.mark.parametrize("count", [12, pytest.param(300, marks=pytest.mark.slow)])
@pytest.mark.quiet
def test_verdict_and_gap_are_those_of_brute_force(count: int) -> None:
    rng = random.Random(11)
    verdicts = set()
    for number in range(count):
        plate, made_for, rail, kind = case(rng)
        begun = time.process_time()
        seat, _ = searched(plate, rail)
        assert time.process_time() - begun < 2.0
        brute = Brute(made_for, rail).best()
        assert seat.gap_mm == pytest.approx(brute, abs=0.05), (number, kind)
        assert fit_verdict(seat.gap_mm, 1.0) == fit_verdict(brute, 1.0), (number, kind)
        verdicts.add(fit_verdict(seat.gap_mm, 1.0))
    assert verdicts == {"trim", "trim and larger leg", "cut new"}


@pytest.mark.parametrize("count", [2, pytest.param(12, marks=pytest.mark.slow)])
def test_with_play_along_the_cylinder(count: int) -> None:
    rng = random.Random(4)
    for number in range(count):
        plate, made_for, rail, kind = case(rng)
        seat, _ = searched(plate, rail, play=3.0)
        brute = Brute(made_for, rail).best(slides=tuple(np.arange(-3.0, 3.01, 0.25)))
        assert seat.gap_mm <= brute + 0.05, (number, kind)
        assert abs(seat.slide_mm) <= 3.0


def test_the_gap_claimed_is_the_gap_there() -> None:
    """The placement drawn with an independent library's polygons: the metal trimmed, the deepest gap measured."""
    rng = random.Random(2)
    for _ in range(15):
        plate, _, rail, _ = case(rng)
        seat, _ = searched(plate, rail)
        turned = plate.moved(shift=-PIN).moved(complex(math.cos(seat.turn_rad), math.sin(seat.turn_rad)), PIN)
        polygon = shapely.Polygon([(p.real, p.imag) for p in flattened(turned.segments)[:-1]])
        line = Line2.of(extended(rail, 100, 100))
        stations = np.arange(DECIDES[0], DECIDES[1], 0.1)
        heights = line.at(stations)
        rays = shapely.linestrings([[(u, v), (u, v - 400)] for u, v in zip(stations, heights, strict=True)])
        tops = shapely.bounds(shapely.intersection(rays, polygon))[:, 3]
        gaps = (heights - tops) * line.cosine(stations)
        assert float(np.max(gaps)) == pytest.approx(seat.gap_mm, abs=0.02)


def test_a_plate_drawn_at_any_angle_and_from_its_other_face_is_found() -> None:
    rail = rail_line(5, 240, 40, 90)
    plate = ear(rail)
    for turn_deg, over in ((137.0, False), (-80.0, True), (179.5, True)):
        drawn = plate.moved(shift=-PIN)
        drawn = drawn.mirrored() if over else drawn
        turn = complex(math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg)))
        drawn = drawn.moved(turn, 400 + 900j)
        on_rail = PlateOnRail(drawn, (), 400 + 900j, Line2.of(extended(rail, 100, 100)), PIN, DECIDES)
        seat = best_seat(on_rail)
        assert seat.gap_mm < 0.02
        assert seat.over is over


def test_nothing_below_the_rail_is_no_metal() -> None:
    rail = rail_line(5, 240, 40, 90)
    on_rail = PlateOnRail(ear(rail), (), PIN, Line2.of(rail.moved(shift=-400j)), PIN, DECIDES)
    assert best_seat(on_rail, math.radians(2), 0.0, (False,)).gap_mm > 1000.0


@pytest.mark.parametrize(("count", "play"), [(600, 3.175), (2900, 0.0)])
@pytest.mark.quiet
def test_an_outline_of_thousands_of_points_is_tried_in_no_time(count: int, play: float) -> None:
    """A scan of a plate: its own placement again, within the scatter, where every corner used to meet every edge."""
    rng = random.Random(3)
    plate, _, rail, _ = case(rng)
    seat, _ = searched(plate, rail, play)
    corners = flattened(plate.segments)[:-1]
    per_mm = count / plate.length
    points = []
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        steps = max(1, round(per_mm * abs(b - a)))
        points += [a + (b - a) * i / steps + complex(rng.gauss(0, 0.02), rng.gauss(0, 0.02)) for i in range(steps)]
    begun = time.process_time()
    scanned, _ = searched(polygon(points), rail, play)
    assert time.process_time() - begun < 4.0
    assert scanned.gap_mm == pytest.approx(seat.gap_mm, abs=0.15)
