"""What a job's fit notes say of the rail that its traces read: where each plate was held up, and what it found."""

import math
from collections.abc import Mapping

from plategen.bracket.style import style_of
from plategen.design.places import PinPlace
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.revision import FiledNote
from plategen.rail.fit import fit_trace
from plategen.rail.note.correction import Correction, Fit, corrections
from plategen.rail.note.gap import Gap, HeldUp
from plategen.rail.trace import Trace


def corrections_at(
    job: Job, traces: tuple[Trace, ...], places: Mapping[str, HeldUp], fit: Fit = fit_trace
) -> tuple[Correction, ...]:
    """What the job's fit notes say of the traces, plate by plate, the plates held up at :func:`held_up` places.

    Raises:
        Refusal: A note names a plate that this bracket has not, or notes do not go together.
    """
    revision = job.revision
    if revision is None or not revision.fit_note:
        return ()
    gaps = [
        Gap(
            plate=note.plate_name, station_mm=note.station_mm, gap_mm=note.gap_mm, round=int(note.round),
            held=note.held or revision.held, pin_off_mm=note.pin_off_mm,
            **({"place": note.place} if isinstance(note, FiledNote) else {"key": f"revision.fit_note[{number}]"}),
        )
        for number, note in enumerate(revision.fit_note, start=1)  # those of the job file itself come first
    ]  # fmt: skip
    try:
        return corrections(traces, gaps, places, fit)
    except Refusal as refusal:
        raise (refusal if refusal.where else refusal.under("revision.fit_note")) from None


def _noted_between(traces: tuple[Trace, ...]) -> tuple[float, float]:
    """Stations between which fit notes may lie: those of the rail that was read.

    Not the foot's, which may have been longer when the plate was held up: what its notes say of the rail stays true.
    Without a trace there is no bound, and no note.
    """
    stations = [reading.point.real for trace in traces for reading in trace.readings]
    return min(stations, default=-math.inf), max(stations, default=math.inf)


def held_up(job: Job, pin: PinPlace, traces: tuple[Trace, ...]) -> dict[str, HeldUp]:
    """Where each plate that fit notes may name stands; empty when the job has none."""
    revision = job.revision
    if revision is None or not revision.fit_note:
        return {}
    home = any((note.held or revision.held) == "home" for note in revision.fit_note)
    # by the pin no plate turns: what the pin's place cannot change must not seem to depend on it
    at = complex(pin.station_mm, -pin.inline_offset_mm) if home else 0j
    between = _noted_between(traces)
    places = style_of(job.bracket.style).fitted(job, pin.plane_mm)
    return {place.name: HeldUp(place.middle_mm, at, between) for place in places}
