"""Whether a photographed pattern gives its trace back, and a plate its holes: scenes of 12 megapixels by kind.

Everything that is told may be out as it is in a shop: the printer's scale, the board's long side read by rule, and the
thickness. The rule's error is shared by all of a scene's readings and outweighs the rest, so a kind's scenes share it
out evenly over its distribution: a few dozen drawn at random would tell of the draw.
Wanted over 400 mm of pattern: largest error 0.30 mm in the median and 0.60 mm in 95 of 100 (0.45 with two photographs),
root mean square 0.12 mm in the median; twice the said error holds for 93 to 98 % of the readings. Of a plate: holes'
centres to 0.25 mm, diameters to 0.3 mm, in 95 of 100. Under 4 s of one core and a gigabyte.
From photograph to plate: the widest gap between the plate that ``make`` cuts, pushed home, and the true rail, in 95 of
100 at most half of what 25 readings by rule give. ``PLATEGEN_CASES`` sets how many scenes a kind has.
"""

import os
import resource
import time
from dataclasses import dataclass, field, replace
from pathlib import Path
from statistics import NormalDist

import numpy as np
from scipy.optimize import linprog

from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.page.draft import Draft, redraw
from plategen.photo.camera import Floats
from plategen.photo.measure import BAR_ERROR_MM, SCALE, THICKNESS_MM, THICKNESS_SHARE, Bar
from plategen.photo.read import photographed, plate_of, sighted, trace_of
from plategen.photo.target import TALL_MM
from plategen.tell.pattern import trace_text
from tests.profiles.photographed import scene as example
from tests.profiles.truth import INCH, PHOTOGRAPHED, READ_ERROR_MM, offset_at
from tests.support.photo_scene import Scene, laid, looking, moved, rail_pattern
from tests.support.photo_scene import photographed as shot

CASES = int(os.environ.get("PLATEGEN_CASES", "20"))
SIZE = (4000, 3000)
LONG_MM = 400.0

KINDS: dict[str, dict] = {
    "brown card": {},
    "brown, shadow": {"shadow_mm": (7.0, -5.0)},
    "dark": {"colour": (0.05, 0.05, 0.055), "shadow_mm": (6.0, 5.0)},
    "light": {"colour": (0.68, 0.68, 0.66), "shadow_mm": (7.0, -6.0)},
    "painted": {"colour": (0.1, 0.25, 0.1), "face_texture": 0.03},
    "oily floor": {"floor_texture": 0.18, "shadow_mm": (5.0, -5.0), "colour": (0.5, 0.38, 0.24)},
    "two photographs": {"shadow_mm": (7.0, -5.0)},
}


@dataclass
class Tally:
    """What came of the scenes of a kind."""

    most: list[float] = field(default_factory=list)
    rms: list[float] = field(default_factory=list)
    held: list[float] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    doubted: int = 0  # Scenes whose thickness was called wrong; it is out by no more than a shop's.


def a_rail(rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Stations and offsets of an invented rail's edge: a kick, a slope and a slight sweep."""
    x = np.linspace(0.0, LONG_MM, 801)
    kick, at, wide = rng.uniform(-35.0, 35.0), rng.uniform(120.0, 280.0), rng.uniform(25.0, 70.0)
    return x, 110.0 + rng.uniform(-0.08, 0.08) * x + kick * np.tanh((x - at) / wide)


def a_view(rng: np.random.Generator):
    """A camera held above the middle."""
    return looking(
        SIZE, height_mm=rng.uniform(850.0, 1100.0), tilt_deg=abs(rng.normal(0.0, 14.0)) % 35.0,
        towards_deg=rng.uniform(0.0, 360.0), roll_deg=rng.uniform(-20.0, 20.0),
        radial=(rng.normal(0.0, 0.04), rng.normal(0.0, 0.04)),
    )  # fmt: skip


def pages_about(rng: np.random.Generator, scale: float) -> tuple:
    """Three pages about the piece, in any turn, printed at a scale."""
    places = ((-320.0, 0.0), (320.0, -20.0), (rng.uniform(-60.0, 60.0), 240.0))
    return tuple(laid(k, at, rng.uniform(0.0, 360.0), scale) for k, at in enumerate(places))


def evenly(name: str, seed: int) -> float:
    """A standard normal deviate: each of a kind's scenes has another part of equal chance."""
    place = np.random.default_rng(sum(map(ord, name))).permutation(CASES)[seed]
    return NormalDist().inv_cdf((float(place) + 0.5) / CASES)


def a_trace(name: str, seed: int, tally: Tally) -> None:
    """Photograph one pattern, and read it."""
    rng = np.random.default_rng((sum(map(ord, name)), seed))
    x, y = a_rail(rng)
    told = 3.0
    scale = float(rng.normal(1.0, SCALE))
    scene = Scene(
        outline_mm=moved(rail_pattern(x, y), rng.uniform(-12.0, 12.0), (0.0, -20.0)),
        thickness_mm=told + float(rng.normal(0.0, THICKNESS_SHARE * told + THICKNESS_MM)),
        pages=pages_about(rng, scale), view=a_view(rng), size=SIZE, seed=seed,
        blur_px=float(rng.uniform(0.6, 1.3)), quality=int(rng.integers(80, 96)), **KINDS[name],
    )  # fmt: skip
    shots = [shot(scene)]
    if name.startswith("two"):
        other = a_view(rng)  # by the same camera
        other = replace(other, lens=scene.view.lens)
        shots.append(shot(replace(scene, view=other, seed=seed + 1000)))
    printed = Bar(TALL_MM, TALL_MM * scale + BAR_ERROR_MM * evenly(name, seed))
    begun = time.process_time()
    try:
        of = photographed([sighted(data, f"{k}.jpg") for k, data in enumerate(shots)], told, printed)
        read = trace_of(of, "mm")
    except Refusal as refusal:
        tally.refused.append(str(refusal))
        return
    tally.seconds.append(time.process_time() - begun)
    tally.doubted += bool(of.piece.doubts)
    curve = x + 1j * y
    nearest = np.array([np.abs(p - curve).argmin() for p in read.points]).clip(1, len(curve) - 2)
    way = curve[nearest + 1] - curve[nearest - 1]
    away = np.abs(((read.points - curve[nearest]) * np.conj(way / np.abs(way))).imag)
    tally.most.append(float(away.max()))
    tally.rms.append(float(np.sqrt((away**2).mean())))
    tally.held.append(float((away < 2.0 * read.error_mm).mean()))


EAR = np.array([[0, 0], [180, 0], [180, 60], [130, 110], [30, 110], [0, 80]], float) - [90.0, 55.0]
HOLES = ((-50.0, 0.0, 12.7), (40.0, -20.0, 8.0), (20.0, 30.0, 6.5))


def a_plate(seed: int, centres: list[float], diameters: list[float], refused: list[str]) -> None:
    """Photograph one plate, and read its holes: their distances from each other, and their diameters."""
    rng = np.random.default_rng(seed)
    scale = float(rng.normal(1.0, SCALE))
    scene = Scene(
        outline_mm=EAR, thickness_mm=9.5, colour=(0.45, 0.46, 0.48), floor=(0.12, 0.11, 0.1), holes=HOLES,
        pages=pages_about(rng, scale), view=a_view(rng), size=SIZE, seed=seed, shadow_mm=(4.0, -3.0),
    )  # fmt: skip
    printed = Bar(TALL_MM, TALL_MM * scale + float(rng.normal(0.0, BAR_ERROR_MM)))
    try:
        read = plate_of(photographed([sighted(shot(scene), "plate.jpg")], 9.5, printed, holes=True))
    except Refusal as refusal:
        refused.append(str(refusal))
        return
    found = sorted((hole for hole in read.inside if isinstance(hole, Circle)), key=lambda hole: -hole.radius)
    if len(found) != len(HOLES):
        refused.append(f"{len(found)} holes: {[str(d) for d in read.doubts]}")
        return
    true = np.array([complex(px, py) for px, py, _ in HOLES])
    at = np.array([hole.centre for hole in found])
    turn = np.vdot(true - true.mean(), at - at.mean())
    centres += list(np.abs(at - at.mean() - (true - true.mean()) * turn / abs(turn)))
    diameters += [2.0 * abs(hole.radius - radius) for hole, (_, _, radius) in zip(found, HOLES, strict=True)]


JOB = Path(__file__).parents[2] / "profiles" / "skidder-photographed-rail"
"""The job whose rail is photographed, or read by rule, and cut."""

READINGS = 25


def by_photograph(seed: int) -> str:
    """The trace of the example's rail off one photograph of its card."""
    rng = np.random.default_rng((4, seed))
    usual, scale = example(), float(rng.normal(1.0, SCALE))
    places = ((-275.0, 20.0), (275.0, 0.0), (0.0, 230.0))
    thick = usual.thickness_mm + float(rng.normal(0.0, THICKNESS_SHARE * usual.thickness_mm + THICKNESS_MM))
    scene = replace(
        usual, thickness_mm=thick, view=a_view(rng), seed=seed, blur_px=float(rng.uniform(0.6, 1.3)),
        pages=tuple(laid(k, at, rng.uniform(0.0, 360.0), scale) for k, at in enumerate(places)),
    )  # fmt: skip
    printed = Bar(TALL_MM, TALL_MM * scale + BAR_ERROR_MM * evenly("cut", seed))
    of = photographed([sighted(shot(scene), "front.jpg")], usual.thickness_mm, printed)
    return trace_text(trace_of(of, "in"), "in", of.files)


def by_rule(seed: int) -> str:
    """The same rail by rule: as many readings, each with a hand's error and on the rule's marks."""
    rng = np.random.default_rng((5, seed))
    stations = np.linspace(0.25, 12.0, READINGS)
    offsets = [offset_at(PHOTOGRAPHED, s * INCH) + rng.normal(0.0, READ_ERROR_MM) for s in stations]
    rows = [f"{s:.4f},{round(32.0 * offset / INCH) / 32.0}" for s, offset in zip(stations, offsets, strict=True)]
    return "\n".join(["station,offset", *rows]) + "\n"


def gap_cut(trace: str) -> float:
    """Widest gap, mm, between the true rail and the plate cut to a trace, when it is pushed home."""
    drawn = redraw(Draft((JOB / "job.toml").read_text(), {"front.csv": trace}))
    if drawn.refusal is not None or drawn.work is None:
        raise drawn.refusal or Refusal("nothing was drawn")
    cut = next(p for p in drawn.work.bracket.plates if p.notch is not None and abs(p.placement.normal[2]) > 0.5)
    assert cut.notch is not None
    along = np.arange(0.5, cut.notch.length, 1.0)
    edge = np.array([complex(*cut.placement.point(cut.notch.point(s))[:2]) for s in along])
    edge = edge - edge.mean().imag * 1j
    middle = edge.mean().real
    for _ in range(3):  # up and turned until it touches: a linear programme, as small turns move points
        rail = np.array([offset_at(PHOTOGRAPHED, p.real) for p in edge])
        slope = np.gradient(rail, edge.real)
        upright = 1.0 / np.hypot(1.0, slope)
        room = (rail - edge.imag) * upright
        moves = np.column_stack([upright, upright * (edge.real - middle + slope * edge.imag)])
        found = linprog(-moves.sum(0), moves, room, bounds=(None, None))
        edge = middle + (edge - middle) * np.exp(1j * found.x[1]) + 1j * found.x[0]
    rail = np.array([offset_at(PHOTOGRAPHED, p.real) for p in edge])
    return float(((rail - edge.imag) / np.hypot(1.0, np.gradient(rail, edge.real))).max())


def cut_plates() -> None:
    """Print how wide the gap is under plates cut to photographs and to readings by rule."""
    for words, trace_by in (("by rule", by_rule), ("by photograph", by_photograph)):
        gaps: list[float] = []
        refused: list[str] = []
        for seed in range(CASES):
            try:
                gaps.append(gap_cut(trace_by(seed)))
            except Refusal as refusal:
                refused.append(str(refusal))
        p50, p95 = np.percentile(gaps, (50, 95)) if gaps else (np.nan, np.nan)
        print(
            f"plate cut {words}: {len(gaps)} plates, gap p50 {p50:.2f} p95 {p95:.2f} mm",
            *sorted(set(refused)),
            flush=True,
        )


def main() -> None:
    """Print a line a kind."""
    print(f"{'kind':18}{'scenes':>7}{'refused':>9}{'max p50':>9}{'max p95':>9}{'rms p50':>9}{'held %':>8}{'s':>6}")
    for name in KINDS:
        tally = Tally()
        for seed in range(CASES):
            a_trace(name, seed, tally)
        if tally.most:
            p50, p95 = np.percentile(tally.most, (50, 95))
            print(
                f"{name:18}{CASES:7}{len(tally.refused):9}{p50:9.2f}{p95:9.2f}{np.median(tally.rms):9.3f}"
                f"{100 * np.mean(tally.held):8.1f}{np.median(tally.seconds):6.1f}",
                flush=True,
            )
        for line in sorted(set(tally.refused)):
            print("   refused:", line, flush=True)
        if tally.doubted:
            print("   thickness doubted:", tally.doubted, flush=True)
    centres: list[float] = []
    diameters: list[float] = []
    refused: list[str] = []
    for seed in range(CASES):
        a_plate(seed, centres, diameters, refused)
    if centres:
        print(
            f"plates: {CASES}, {len(refused)} not read; centres p95 {np.percentile(centres, 95):.2f} mm, "
            f"diameters p95 {np.percentile(diameters, 95):.2f} mm"
        )
    for line in sorted(set(refused)):
        print("   ", line)
    cut_plates()
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB, scenes and all")
