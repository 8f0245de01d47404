"""The rail as a surface: fitted chains in planes across the pin, ruled from one to the next."""

from dataclasses import dataclass

from plategen.rail.trace import FittedTrace


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """The fitted traces by growing plane, and the in-line offset that carries them into the plate frame.

    Args:
        traces: Fitted, in the straightedge's frame, by growing ``plane_mm``.
        inline_offset_mm: Distance from the straightedge to the cylinder's centre line.
    """

    traces: tuple[FittedTrace, ...]
    inline_offset_mm: float
