"""What takes its seconds and is the same for all workers of a run is made by one of them, for the others too."""

import pickle
from collections.abc import Callable
from fcntl import LOCK_EX, flock
from functools import cache
from pathlib import Path
from typing import TypeVar

Value = TypeVar("Value")

shared: list[Path] = []
"""The folder that the workers of this run share, if there are several."""


def once_a_run(make: Callable[[str], Value]) -> Callable[[str], Value]:
    """A function of a name, called once for each name in a run; what it gives is never changed by who gets it."""

    @cache
    def made(name: str) -> Value:
        if not shared:
            return make(name)
        with (shared[0] / f"{make.__name__} {name}").open("a+b") as file:
            flock(file, LOCK_EX)  # who comes second waits for the first
            file.seek(0)
            if written := file.read():
                return pickle.loads(written)
            value = make(name)
            file.write(pickle.dumps(value))
            return value

    return made
