"""Every figure, one after the other; name a part to print that part alone: ``python -m tests.bench fit``.

What takes minutes is printed only when it is named: ``python -m tests.bench fit_up``.
"""

import sys
from importlib import import_module

PARTS = ("processes", "memory", "fit", "rails", "variants", "steering")
"""In this order: a process starts with the peak memory of the one that began it, so the small parts come first."""

LONG = ("page", "redraw", "fit_up", "questions", "oracle", "ordinary", "photo", "ears", "walls")

for name in [name for name in sys.argv[1:] if not name.isdigit()] or PARTS:
    if name not in PARTS + LONG:
        sys.exit(f"{name}: no such part; {', '.join(PARTS + LONG)} is right")
    import_module(f"tests.bench.{name}").main()
