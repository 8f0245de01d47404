"""The same targets, guided by which lines an input reaches: ``python -m tests.fuzz.guided TARGET [-runs=N] [...]``.

Needs the library atheris (``python -m pip install atheris``), which is not installed everywhere; the options after the
target are libFuzzer's. What it finds lies in the folder it is run from, as ``crash-*`` or ``timeout-*``: put the file
into ``tests/fuzz/finds`` under a name that begins with the target's and a dash, and the tests replay it.
"""

import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["plategen", "ezdxf", "tomllib"]):
    from tests.fuzz.targets import TARGETS, seeds

from tests.fuzz.watch import begin, watched


def main() -> None:
    """Fuzz one target until told to stop."""
    name, *options = sys.argv[1:] or [""]
    if name not in TARGETS:
        sys.exit(f"{name or 'nothing'}: no such target; {', '.join(TARGETS)} is right")
    target = TARGETS[name]

    def one(data: bytes) -> None:
        with watched():
            target(data)

    begin()
    with tempfile.TemporaryDirectory() as folder:
        for number, data in enumerate(seeds(name)):
            (Path(folder) / f"seed-{number}").write_bytes(data)
        atheris.Setup([sys.argv[0], folder, *options], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
