"""What is photographed to prove the reading of photographs: scenes by kind, each drawn by its kind's name and a number.

Everything that is told may be out as it is in a shop: the printer's scale, the board's long side read by rule, and the
thickness. The rule's error is shared by all of a scene's readings and outweighs the rest, so a kind's scenes share it
out evenly over its distribution: a few dozen drawn at random would tell of the draw.

``PLATEGEN_PHOTOS`` names a folder where photographs are kept, so that one is taken once and read after each change:
``python -m tests.bench.photo_scenes warped 0 36`` takes those of all kinds, numbers 0 to 35.
"""

import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import NormalDist

import numpy as np

from plategen.photo.camera import Floats
from plategen.photo.measure import BAR_ERROR_MM, SCALE, THICKNESS_MM, THICKNESS_SHARE, Bar
from plategen.photo.target import TALL_MM
from tests.bench.traced_scene import traced
from tests.profiles.photographed import scene as example
from tests.support.photo_scene import Scene, laid, looking, moved, photographed, rail_pattern

LARGE, USUAL = (4000, 3000), (3264, 2448)
LONG_MM = 400.0

SHADOW = (7.0, -5.0)
WARPED: dict[str, dict] = {
    "brown card": {},
    "brown, shadow": {"shadow_mm": SHADOW},
    "dark": {"colour": (0.05, 0.05, 0.055), "shadow_mm": (6.0, 5.0)},
    "light": {"colour": (0.68, 0.68, 0.66), "shadow_mm": (7.0, -6.0)},
    "painted": {"colour": (0.1, 0.25, 0.1), "face_texture": 0.03},
    "oily floor": {"floor_texture": 0.18, "shadow_mm": (5.0, -5.0), "colour": (0.5, 0.38, 0.24)},
    "two photographs": {"shadow_mm": SHADOW},
}
"""Kinds of two planes and a wall."""

TRACED = {"traced": USUAL, "traced, 12 megapixels": LARGE}
"""Kinds that a renderer makes, of the cards and floors of all of those in turn: 18 of 8 megapixels, as telephones took
for years, and 6 of 12."""

OF_TRACED = ("brown card", "dark", "light", "painted", "oily floor", "brown card")


@dataclass(frozen=True, slots=True)
class Case:
    """One lay-out, its photographs and what the program is told of it."""

    kind: str
    number: int
    scenes: tuple[Scene, ...]
    thickness_mm: float  # As it is told; the scene's may be another.
    print_scale: float
    curve: Floats | None = None  # (n, 2): the rail's edge in the straightedge's frame.

    def printed(self, cases: int) -> Bar:
        """The board's long side as a rule reads it, in one of so many scenes of a kind."""
        return Bar(TALL_MM, TALL_MM * self.print_scale + BAR_ERROR_MM * evenly(self.kind, self.number, cases))

    def photographs(self) -> list[bytes]:
        """The JPEG files."""
        return [_kept(f"{self.kind}-{self.number}-{k}", scene) for k, scene in enumerate(self.scenes)]


def _kept(name: str, scene: Scene) -> bytes:
    take = traced if name.startswith("traced") else photographed
    if (folder := os.environ.get("PLATEGEN_PHOTOS")) is None:
        return take(scene)
    path = Path(folder) / f"{name.replace(',', '').replace(' ', '_')}.jpg"
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        part = path.with_suffix(".part")
        part.write_bytes(take(scene))
        part.rename(path)
    return path.read_bytes()


def evenly(name: str, number: int, cases: int) -> float:
    """A standard normal deviate: each of a kind's scenes has another part of equal chance."""
    place = np.random.default_rng(sum(map(ord, name))).permutation(cases)[number]
    return NormalDist().inv_cdf((float(place) + 0.5) / cases)


def _rail(rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Stations and offsets of an invented rail's edge: a kick, a slope and a slight sweep."""
    x = np.linspace(0.0, LONG_MM, 801)
    kick, at, wide = rng.uniform(-35.0, 35.0), rng.uniform(120.0, 280.0), rng.uniform(25.0, 70.0)
    return x, 110.0 + rng.uniform(-0.08, 0.08) * x + kick * np.tanh((x - at) / wide)


def _view(rng: np.random.Generator, size: tuple[int, int] = LARGE):
    """A camera held above the middle."""
    return looking(
        size, height_mm=rng.uniform(850.0, 1100.0), tilt_deg=abs(rng.normal(0.0, 14.0)) % 35.0,
        towards_deg=rng.uniform(0.0, 360.0), roll_deg=rng.uniform(-20.0, 20.0),
        radial=(rng.normal(0.0, 0.04), rng.normal(0.0, 0.04)),
    )  # fmt: skip


def _pages(rng: np.random.Generator, scale: float) -> tuple:
    """Three pages about the piece, in any turn, printed at a scale."""
    places = ((-320.0, 0.0), (320.0, -20.0), (rng.uniform(-60.0, 60.0), 240.0))
    return tuple(laid(k, at, rng.uniform(0.0, 360.0), scale) for k, at in enumerate(places))


def pattern_case(kind: str, number: int) -> Case:
    """A pattern of 400 mm."""
    rng = np.random.default_rng((sum(map(ord, kind)), number))
    is_traced = kind in TRACED
    look = WARPED[OF_TRACED[number % len(OF_TRACED)] if is_traced else kind]
    size = TRACED.get(kind, LARGE)
    x, y = _rail(rng)
    told = 3.0
    scale = float(rng.normal(1.0, SCALE))
    scene = Scene(
        outline_mm=moved(rail_pattern(x, y), rng.uniform(-12.0, 12.0), (0.0, -20.0)),
        thickness_mm=told + float(rng.normal(0.0, THICKNESS_SHARE * told + THICKNESS_MM)),
        pages=_pages(rng, scale), view=_view(rng, size), size=size, seed=number,
        blur_px=float(rng.uniform(0.6, 1.3)), quality=int(rng.integers(70 if is_traced else 80, 96)), **look,
    )  # fmt: skip
    scenes = [scene]
    if kind.startswith("two"):
        other = replace(_view(rng), lens=scene.view.lens)  # by the same camera
        scenes.append(replace(scene, view=other, seed=number + 1000))
    return Case(kind, number, tuple(scenes), told, scale, np.column_stack([x, y]))


EAR = np.array([[0, 0], [180, 0], [180, 60], [130, 110], [30, 110], [0, 80]], float) - [90.0, 55.0]
HOLES = ((-50.0, 0.0, 12.7), (40.0, -20.0, 8.0), (20.0, 30.0, 6.5))


def plate_case(number: int) -> Case:
    """A plate on a dark bench."""
    rng = np.random.default_rng(number)
    scale = float(rng.normal(1.0, SCALE))
    scene = Scene(
        outline_mm=EAR, thickness_mm=9.5, colour=(0.45, 0.46, 0.48), floor=(0.12, 0.11, 0.1), holes=HOLES,
        pages=_pages(rng, scale), view=_view(rng), size=LARGE, seed=number, shadow_mm=(4.0, -3.0),
    )  # fmt: skip
    return Case("plate", number, (scene,), 9.5, scale)


def cut_case(number: int) -> Case:
    """The example's rail, whose plate is cut to its photograph."""
    rng = np.random.default_rng((4, number))
    usual, scale = example(), float(rng.normal(1.0, SCALE))
    places = ((-275.0, 20.0), (275.0, 0.0), (0.0, 230.0))
    thick = usual.thickness_mm + float(rng.normal(0.0, THICKNESS_SHARE * usual.thickness_mm + THICKNESS_MM))
    scene = replace(
        usual, thickness_mm=thick, view=_view(rng), seed=number, blur_px=float(rng.uniform(0.6, 1.3)),
        pages=tuple(laid(k, at, rng.uniform(0.0, 360.0), scale) for k, at in enumerate(places)),
    )  # fmt: skip
    return Case("cut", number, (scene,), usual.thickness_mm, scale)


def _all(of: str, first: int, last: int) -> Iterator[Case]:
    for number in range(first, last):
        if of == "traced":
            yield from (pattern_case(kind, number) for kind in TRACED if number < 6 or kind == "traced")
        else:
            yield from (pattern_case(kind, number) for kind in WARPED)
            yield plate_case(number)
            yield cut_case(number)


if __name__ == "__main__":
    for case in _all(sys.argv[1], int(sys.argv[2]), int(sys.argv[3])):
        print(case.kind, case.number, *(f"{len(data) / 1e6:.2f} MB" for data in case.photographs()), flush=True)
