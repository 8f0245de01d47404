"""Every figure, one after the other; name a part to print that part alone: ``python -m tests.bench fit``."""

import sys
from importlib import import_module

PARTS = ("processes", "memory", "fit", "variants", "steering")
"""In this order: a process starts with the peak memory of the one that began it, so the small parts come first."""

for name in sys.argv[1:] or PARTS:
    if name not in PARTS:
        sys.exit(f"{name}: no such part; {', '.join(PARTS)} is right")
    import_module(f"tests.bench.{name}").main()
