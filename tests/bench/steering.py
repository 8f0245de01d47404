"""Ten thousand positions of a five-lever steering, in closed form against a root finder called at every position; and
what is read off ten thousand positions of a steering with its cylinder.
"""

import time

import numpy as np
from scipy import optimize

from plategen.job.parse import parse_job, parse_steering
from plategen.steering.alignment import alignment
from plategen.steering.motion import move
from plategen.steering.mount import leverage_mm, pin_to_pin, swing
from plategen.steering.parts import swept_of
from plategen.steering.roll import roll
from plategen.steering.study import study
from plategen.steering.vector import array
from tests.steering.examples import five_levers
from tests.support.every_example import PROFILES
from tests.support.orchard import FREE

POSITIONS = 10_000
SHARE = 0.2


def times() -> tuple[float, float]:
    """Time of the closed form and of the root finder, s; their answers are compared on the way."""
    linkage = five_levers()
    turn = np.radians(np.linspace(0.0, 18.0, POSITIONS))

    def timed() -> float:
        begin = time.perf_counter()
        move(linkage, "box arm", turn)
        return time.perf_counter() - begin

    closed = min(timed() for _ in range(3))
    motion = move(linkage, "box arm", turn)

    # the same four loops as plain scalar functions, solved one lever after the other from the position before:
    # the quickest way to use a root finder here
    chain = [
        (step, *_radii(linkage, *step.driver), *_radii(linkage, *step.driven)) for step in linkage.steps("box arm")
    ]
    begin = time.perf_counter()
    angles = {"box arm": turn} | {step.driven[0]: np.zeros(POSITIONS) for step, *_ in chain}
    for step, c1, e1, f1, c2, e2, f2 in chain:
        driving, driven, guess = angles[step.driver[0]], angles[step.driven[0]], 0.0
        for i in range(POSITIONS):
            cos, sin = np.cos(driving[i]), np.sin(driving[i])
            sx, sy, sz = (c1[k] + e1[k] * cos + f1[k] * sin - c2[k] for k in range(3))

            def miss(t: float) -> float:
                c, s = np.cos(t), np.sin(t)
                x, y, z = e2[0] * c + f2[0] * s - sx, e2[1] * c + f2[1] * s - sy, e2[2] * c + f2[2] * s - sz  # noqa: B023
                return float(x * x + y * y + z * z - step.length_mm**2)  # noqa: B023

            guess = optimize.newton(miss, guess, tol=1e-12)
            driven[i] = guess
    stepwise = time.perf_counter() - begin

    for name, found in motion.angles_rad.items():
        np.testing.assert_allclose(found, angles[name], atol=1e-8)
    return closed, stepwise


def readings_ms() -> float:
    """Processor time of a sweep of 10,001 positions, its ratio and toe, and all that is read of its cylinder, ms."""
    text = FREE.replace("[steering.sweep]", f"[steering.sweep]\npositions = {POSITIONS + 1}")
    steering = parse_steering(text).steering
    assert steering is not None
    few = study(parse_steering(FREE))
    assert few.in_line is not None
    assert few.thrust is not None
    mount, forces = few.in_line.mount, few.thrust

    def timed() -> float:
        begin = time.process_time()
        swept = swept_of(steering)
        assert swept is not None
        pins = pin_to_pin(swept, mount)
        swing(pins, mount), alignment(swept, mount, pins), leverage_mm(swept, mount, pins)
        roll(swept.motion, mount, forces)
        assert swept.ratio is not None
        assert swept.toe_error_rad is not None
        return time.process_time() - begin

    return 1e3 * min(timed() for _ in range(9))


READINGS_MS = 30.0
STUDY_MS = 30.0
AXLE_MS = 100.0


def study_ms(profile: str, positions: int) -> float:
    """Processor time of the whole study of an example with so many positions, ms."""
    text = (PROFILES / profile / "job.toml").read_text(encoding="utf-8")
    job = parse_job(text.replace("[steering.sweep]", f"[steering.sweep]\npositions = {positions}"))

    def timed() -> float:
        begin = time.process_time()
        study(job)
        return time.process_time() - begin

    return 1e3 * min(timed() for _ in range(9))


def main() -> None:
    """Print the share, and the time of the readings."""
    closed, stepwise = times()
    share = closed / stepwise
    print(f"\n{POSITIONS} positions of five levers")
    print(f"closed form {closed * 1e3:.1f} ms, root finder {stepwise * 1e3:.0f} ms")
    print(f"share {share:.4f}, at most {SHARE}  {'ok' if share <= SHARE else 'TOO SLOW'}")
    took = readings_ms()
    verdict = "ok" if took <= READINGS_MS else "TOO SLOW"
    print(f"swept with all readings of wheels and cylinder: {took:.1f} ms, at most {READINGS_MS:.0f} ms  {verdict}")
    for profile, positions, most in (
        ("orchard-sprayer-steering", POSITIONS + 1, STUDY_MS),
        ("bowser-leaf-axle", 201, AXLE_MS),
    ):
        took = study_ms(profile, positions)
        verdict = "ok" if took <= most else "TOO SLOW"
        print(f"whole study, {profile}, {positions} positions: {took:.1f} ms, at most {most:.0f} ms  {verdict}")


def _radii(linkage, lever, ball):  # type: ignore[no-untyped-def]
    """Centre and the two radius vectors of a ball's circle, as plain floats."""
    found = linkage.lever(lever)
    axis, radius = array(found.axis), array(found.balls[ball]) - array(found.pivot_mm)
    along = axis * float(axis @ radius)
    return (array(found.pivot_mm) + along).tolist(), (radius - along).tolist(), np.cross(axis, radius).tolist()
