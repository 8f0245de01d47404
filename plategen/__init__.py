"""plategen: bracket plates that fit a rail that is not square, from cardboard and a rule to cut files.

From Python, :func:`read` a job, ``make`` it and go on from there; see :mod:`plategen.api`. Nothing else here is public.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from plategen.api import Bracket, Job, Plate, read
    from plategen.ground.refusal import Refusal

__version__ = "0.2.0"
__all__ = ["Bracket", "Job", "Plate", "Refusal", "__version__", "read"]


def __getattr__(name: str) -> object:
    """A public name, loaded once it is asked for, so that no command pays for what it does not use."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module("plategen.ground.refusal" if name == "Refusal" else "plategen.api"), name)
