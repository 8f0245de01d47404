"""Spoil right inputs by the million: ``python -m tests.fuzz [TARGET ...] [--runs N] [--seed N]``.

No library is needed. Finds are written to ``tests/fuzz/finds`` and replayed by the tests from then on. Exit status 1 if
there is any.
"""

import argparse
import hashlib
import random
import sys
import time
import traceback
from pathlib import Path

from tests.fuzz.mutate import mutated, renumbered
from tests.fuzz.targets import TARGETS, seeds
from tests.fuzz.watch import begin, watched

FINDS = Path(__file__).parent / "finds"
SHARES = {
    "quantity": 0.30, "trace": 0.30, "job": 0.168, "notes": 0.15, "state": 0.05, "dxf": 0.03,
    "whole": 0.0018, "photo": 0.0002,
}  # fmt: skip
"""Of the runs: by what a target costs, so that each gets about as long."""


def spoil(name: str, runs: int, seed: int) -> int:
    """Run one target; the number of finds."""
    rng, right, target = random.Random(f"{name} {seed}"), seeds(name), TARGETS[name]
    pool, known, began, slowest = list(right), set[str](), time.process_time(), 0.0
    for done in range(1, runs + 1):
        spoils = name != "whole" or rng.random() < 0.1  # a whole job is to get past its reading
        chosen = rng.choice(pool)
        data = mutated(chosen, right, rng) if spoils else renumbered(chosen, rng)
        if rng.random() < 0.02:  # some are spoiled further
            pool[rng.randrange(len(pool))] = data if len(pool) > 4 * len(right) else rng.choice(right)
            pool.append(data) if len(pool) < 4 * len(right) else None
        start = time.process_time()
        try:
            with watched():
                target(data)
        except KeyboardInterrupt:
            raise
        except BaseException as error:
            place = traceback.extract_tb(error.__traceback__)[-1]
            where = f"{type(error).__name__} at {Path(place.filename).name}:{place.lineno}"
            if where not in known:
                known.add(where)
                file = FINDS / f"{name}-{hashlib.sha256(data).hexdigest()[:12]}"
                file.write_bytes(data)
                print(f"{name}: {where}: {str(error)[:200]}\n  kept as {file.name}", flush=True)
        slowest = max(slowest, time.process_time() - start)
        if sys.stderr.isatty() and done % 1000 == 0:
            print(f"\r{name} {done} of {runs}", end="", file=sys.stderr)
    rate = runs / (time.process_time() - began)
    pace = f"{rate:.0f} a second of processor time, slowest {1e3 * slowest:.0f} ms"
    print(f"{name}: {runs} inputs, {len(known)} finds, {pace}", flush=True)
    return len(known)


def main() -> int:
    """Run what is asked for; the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("target", nargs="*", help=f"some of {', '.join(TARGETS)}; all if left out")
    parser.add_argument("--runs", type=int, default=1_000_000, help="inputs, over all targets")
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    names = asked.target or list(TARGETS)
    if unknown := set(names) - set(TARGETS):
        parser.error(f"no such target: {', '.join(sorted(unknown))}")
    begin()
    whole = sum(SHARES[name] for name in names)
    return 1 if sum(spoil(name, round(asked.runs * SHARES[name] / whole), asked.seed) for name in names) else 0


if __name__ == "__main__":
    sys.exit(main())
