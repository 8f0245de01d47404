"""What can be tried with a job: its numbers with a range to begin from, and the jobs that it can be laid beside."""

import contextlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM, Units
from plategen.page.draft import Draft
from plategen.page.form import Input, all_inputs
from plategen.page.handles import on_mark
from plategen.page.trace_rows import units_of
from plategen.page.view import form_of

STEPS = 5
"""Steps to each side of the job's own number that a range begins with."""

_UNIT_MM: dict[Units, tuple[float, ...]] = {
    "in": tuple(float(INCH_MM) / n for n in (32, 16, 8, 4, 2, 1)),
    "mm": (0.5, 1.0, 2.0, 5.0, 10.0, 25.0),
}
"""Steps that a shop measures by."""

_WITH_UNIT = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*([^0-9\s].*)?")


@dataclass(frozen=True, slots=True)
class Number:
    """A number of the job, and the range that is offered for it."""

    key: str
    begin: str
    end: str
    step: str


def numbers_of(draft: Draft) -> Iterator[Number]:
    """The numbers that the job says and that can be run."""
    for each in all_inputs(form_of(draft)):
        if each.kind == "quantity" and each.text and "[" not in each.path:
            yield _ranged(each, units_of(draft))


def _ranged(each: Input, units: Units) -> Number:
    if each.unit in ("in", "mm"):
        with contextlib.suppress(Refusal):
            return _length(each, units)
    found = _WITH_UNIT.fullmatch(each.text.strip())
    if found is None or not float(found[1]):
        return Number(each.path, "", "", "")
    now, unit = float(found[1]), f" {found[2]}" if found[2] else ""
    begin, end, step = (f"{now * share:.4g}{unit}" for share in (0.75, 1.25, 0.05))
    return Number(each.path, begin, end, step)


def _length(each: Input, units: Units) -> Number:
    now_mm = LENGTH.read(each.text, units)
    steps = _UNIT_MM[units]
    step_mm = next((step for step in steps if step >= abs(now_mm) / 24), steps[-1])
    begin_mm = (ceil if now_mm > 0.0 else floor)(now_mm / step_mm - STEPS) * step_mm
    if now_mm >= 0.0:  # what is none now may be some, but hardly less
        begin_mm = max(begin_mm, step_mm if now_mm > 0.0 else 0.0)
    end_mm = begin_mm + 2 * STEPS * step_mm
    begin = on_mark(begin_mm, units) if begin_mm < now_mm else each.text
    return Number(each.path, begin, on_mark(end_mm, units), on_mark(step_mm, units))
