"""The hand formula of an ear's give against finite elements, on ears of the bench drawn at random."""

import cmath
import math
import random

import numpy as np

from plategen.checks.elements import solve_force
from plategen.checks.setting import Setting
from plategen.checks.stiffness import along_mm
from plategen.checks.swept import swept_of
from tests.checks.bench import Bench

EARS, SEED, ALLOWED = 20, 4, 0.10


def ears() -> list[Bench]:
    """Ears of every proportion between stocky and slender."""
    rnd, found = random.Random(SEED), []
    for _ in range(EARS):
        height, nose = rnd.uniform(55.0, 260.0), rnd.uniform(28.0, 48.0)
        foot = rnd.uniform(max(nose + 8.0, 0.45 * height), min(230.0, max(2.0 * height, nose + 20.0)))
        thickness = rnd.choice([8.0, 12.0, 15.0])
        found.append(Bench(height=height, nose=nose, foot=foot, toe=min(25.0, height / 4.0), thickness=thickness))
    return found


def ratio(ear: Bench, angle_rad: float) -> float:
    """What the formula gives over what the elements give, for a force at an angle from the rail's line."""
    setting = Setting(ear.design(), ear.bracket(), None)
    (assembly, carrier) = next((a, c) for a in setting.assemblies for c in a.carriers)
    force = cmath.rect(10_000.0, angle_rad)
    swept = swept_of(setting, carrier, assembly)
    assert swept is not None
    field, circle = solve_force(carrier, force), carrier.hole.circle
    at = field.mesh.points @ np.array([1.0, 1j]) - circle.centre
    rim = np.abs(np.abs(at) - circle.radius) < 1e-3 * circle.radius
    out, moved = at[rim] / circle.radius, field.displacement_mm[rim] @ np.array([1.0, 1j])
    # the pin moves as the steel does that it presses on, by its cosine pressure
    pressed = np.maximum(0.0, (out * np.conj(force / abs(force))).real)
    pin = (pressed * (moved * out.conj()).real).sum() / (pressed**2).sum()
    return float(along_mm(swept, np.array([force]))[0]) / float(pin)


def main() -> None:
    """Print the spread of the ratios."""
    for degrees in (0.0, 5.0, -5.0):
        ratios = [ratio(ear, math.radians(degrees)) for ear in ears()]
        verdict = "ok" if max(abs(r - 1.0) for r in ratios) <= ALLOWED else "TOO FAR"
        print(
            f"{EARS} ears, {degrees:+.0f} deg: formula over elements {min(ratios):.3f} to {max(ratios):.3f}  {verdict}"
        )
