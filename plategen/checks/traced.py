"""Whether the traces tell the rail under the bracket: a caution for each question that their fits leave open there."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.bracket.model import Bracket
from plategen.checks.finding import Check, Finding, Part
from plategen.checks.setting import Setting
from plategen.flat.segment import Segment
from plategen.ground.cure import Cure
from plategen.rail.question import Cause
from plategen.rail.surface import Rail

TRACED = Check(
    "rail as traced, *",
    "rail",
    "mm",
    "at most",
    source="statistics of the fit; what a fillet bridges as it is (AWS D1.1; from memory)",
    needs="a trace",
    most="caution",
    not_covered="What lies between two readings of the rail and shows in neither is not seen.",
)
CHECKS = (TRACED,)
"""The checks of this file."""

_NAMES: dict[Cause, str] = {
    "step": "rail as traced, place of a step",
    "left out": "rail as traced, readings left out",
    "apart": "rail as traced, readings to one side",
    "stands out": "rail as traced, a place that stands out",
    "scatter": "rail as traced, scatter",
    "open": "rail as traced, between readings",
}
_ROWS = {cause: TRACED.variant(name=name) for cause, name in _NAMES.items()}


def check_traces(setting: Setting) -> Iterator[Finding]:
    """A finding for every question that touches the bracket's foot, and for all that is none."""
    if not isinstance(setting.surface, Rail):
        return
    first, last = _foot(setting.bracket)
    files = [fitted.trace.file for fitted in setting.surface.traces]
    for number, fitted in enumerate(setting.surface.traces, 1):
        file = fitted.trace.file
        name = file if files.count(file) == 1 else f"{file} ({number})"  # fit notes make two traces of one
        for question in fitted.questions:
            if question.heard and not question.touches(first, last):
                continue
            yield _ROWS[question.cause].at_most(
                Part((file,), f"{name}, {question.where}"),
                question.most_mm,
                question.off_mm,
                assumed=question.what,
                cure=partial(Cure, question.ask),
            )


def _furthest(edge: Segment) -> tuple[complex, ...]:
    """The places of an edge that may lie furthest along the rail."""
    return (edge.start, edge.point(0.5), edge.end) if edge.sweep_rad else (edge.start, edge.end)


def _foot(bracket: Bracket) -> tuple[float, float]:
    """First and last station of the edges that lie on the rail; every station where there are none."""
    notches = ((plate.placement, plate.notch) for plate in bracket.plates if plate.notch is not None)
    edges = ((placed, edge) for placed, notch in notches for edge in notch)
    ends = ((placed, p) for placed, edge in edges for p in _furthest(edge))
    stations = [placed.point(p)[0] for placed, p in ends]
    return (min(stations), max(stations)) if stations else (-math.inf, math.inf)
