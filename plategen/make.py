"""The whole way, from a job and its traces to a judged bracket; files are written elsewhere."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import TypeAlias

from plategen.bracket.build import build_bracket
from plategen.bracket.ears import standing_places
from plategen.bracket.loose import loose_plates
from plategen.bracket.model import Bracket
from plategen.bracket.seat import tube_of
from plategen.bracket.swing import swept_rooms, swing_range
from plategen.checks.access import check_access
from plategen.checks.caution import cautions
from plategen.checks.finding import without_idle_cures
from plategen.checks.judge import judge
from plategen.checks.pin_place import check_pin_place
from plategen.checks.rod_end import check_rod_end
from plategen.checks.steering import findings as steering_findings
from plategen.checks.swing import check_swing
from plategen.design.loads import LoadCase, load_cases, rules_of
from plategen.design.shared_pin import placed
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.swing import Swing
from plategen.rail.fit import fit_trace
from plategen.rail.note.correction import Correction, corrected, corrections
from plategen.rail.note.gap import Gap, HeldUp
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace, Trace
from plategen.rail.tube import Surface
from plategen.steering.study import SteeringStudy, study
from plategen.work import Work

Fit: TypeAlias = Callable[[Trace], FittedTrace]
"""Fits one trace."""


def fit_rail(traces: tuple[Trace, ...], inline_offset_mm: float, fit: Fit = fit_trace) -> Rail:
    """The rail from its traces, fitted and put in order along the pin.

    ``fit`` may be one that passes on what it has fitted before.

    Raises:
        Refusal: If two traces share a plane, or a trace cannot be fitted.
    """
    fitted = sorted((fit(trace) for trace in traces), key=lambda f: f.trace.plane_mm)
    for lower, upper in pairwise(fitted):
        if upper.trace.plane_mm - lower.trace.plane_mm < 1e-6:
            raise Refusal(
                message(
                    "{} and {} lie in the same plane, {}; give each trace the place along the pin where it was read",
                    lower.trace.file,
                    upper.trace.file,
                    mm(lower.trace.plane_mm),
                ),
                "rail.trace.plane",
            )
    return Rail(traces=tuple(fitted), inline_offset_mm=inline_offset_mm)


def motion(job: Job) -> SteeringStudy | None:
    """The steering study, when the job draws or measures its steering."""
    return study(job) if job.steering is not None else None


def carry_through(
    job: Job,
    traces: tuple[Trace, ...],
    *,
    elements: bool = False,
    rail_of: Callable[[tuple[Trace, ...], float], Rail] = fit_rail,
    motion_of: Callable[[Job], SteeringStudy | None] = motion,
) -> Work:
    """The job carried through: rail, bracket, findings; with ``elements``, the ears under finite elements as well.

    ``rail_of`` and ``motion_of`` may be ones that pass on what they have made before of the same traces and steering.

    Raises:
        Refusal: With the one thing that is wrong and what would be right.
    """
    steering = motion_of(job)
    job = placed(job, steering)
    if job.bracket.style == "seat":
        return on_rail(job, tube_of(job), steering)
    noted = noted_corrections(job, traces)
    rail = rail_of(corrected(traces, noted), job.mount.inline_offset_mm)
    work = replace(on_rail(job, rail, steering), corrections=noted)
    return _with_elements(work) if elements else work


def _with_elements(work: Work) -> Work:
    """The job with its ears solved by finite elements, as a second opinion beside the hand formulas.

    Raises:
        Refusal: If the finite-element library is not installed.
    """
    try:
        from plategen.checks.elements import check_elements, solve_ears
    except ModuleNotFoundError as missing:
        raise Refusal(
            f"finite elements need the library {missing.name}, which is not installed; "
            "python -m pip install 'plategen[elements]' brings it",
            "--elements",
        ) from None
    fields = solve_ears(work.job, work.bracket, _cases(work.job, work.steering))
    findings = (*work.findings, *check_elements(work.job, work.bracket, fields))
    return replace(work, findings=findings, ear_fields=fields)


def noted_corrections(job: Job, traces: tuple[Trace, ...]) -> tuple[Correction, ...]:
    """What the job's fit notes say of the traces, plate by plate; see :mod:`plategen.rail.note.correction`.

    Raises:
        Refusal: A note names a plate that this bracket has not, or notes do not go together.
    """
    return corrections_at(job, traces, held_up(job, traces))


def corrections_at(job: Job, traces: tuple[Trace, ...], places: Mapping[str, HeldUp]) -> tuple[Correction, ...]:
    """The same with the plates' places known; see :func:`held_up`."""
    revision = job.revision
    if revision is None or not revision.fit_note:
        return ()
    gaps = [
        Gap(
            plate=note.plate, station_mm=note.station_mm, gap_mm=note.gap_mm, round=int(note.round),
            held=note.held or revision.held, pin_off_mm=note.pin_off_mm,
        )
        for note in revision.fit_note
    ]  # fmt: skip
    try:
        return corrections(traces, gaps, places)
    except Refusal as refusal:
        raise refusal.under("revision.fit_note") from None


def held_up(job: Job, traces: tuple[Trace, ...]) -> dict[str, HeldUp]:
    """Where each plate that fit notes may name stands; empty when the job has none."""
    revision = job.revision
    if revision is None or not revision.fit_note:
        return {}
    home = any((note.held or revision.held) == "home" for note in revision.fit_note)
    # by the pin no plate turns: what the pin's place cannot change must not seem to depend on it
    pin = complex(job.mount.pin_station_mm, -job.mount.inline_offset_mm) if home else 0j
    return {name: HeldUp(w_mm, pin) for name, w_mm in _middles(job, traces).items()}


def _middles(job: Job, traces: tuple[Trace, ...]) -> dict[str, float]:
    """The middle of each plate along the pin, by name."""
    if job.bracket.style == "ears":
        return {place.name: sum(place.faces_mm) / 2 for place in standing_places(job)}
    bracket = build_bracket(job, fit_rail(traces, job.mount.inline_offset_mm))
    return {p.name: p.placement.point(0j, p.thickness_mm / 2)[2] for p in bracket.plates if p.notch is not None}


def on_rail(job: Job, rail: Surface, steering: SteeringStudy | None = None, *, opinions: bool = True) -> Work:
    """The job carried through on a rail that is fitted already, as when only the bracket changes.

    ``opinions`` False leaves out what other rule sets say, which decides nothing.
    """
    bracket = build_bracket(_swinging(job, _swing(job, steering, 0.0)), rail)
    return standing(job, rail, bracket, steering, opinions=opinions)


def standing(
    job: Job,
    rail: Surface,
    bracket: Bracket,
    steering: SteeringStudy | None = None,
    *,
    off_line_rad: float = 0.0,
    opinions: bool = True,
) -> Work:
    """A bracket judged as it stands on the rail, whoever made it: every finding there is.

    Args:
        job: What is asked of it.
        rail: What it stands on.
        bracket: The bracket, in the job's plate frame.
        steering: The study, when the job has one.
        off_line_rad: How far the cylinder lies off its line when it is closed, positive towards the rail.
        opinions: False leaves out what other rule sets say, which decides nothing.
    """
    loads = steering.loads if steering else None
    swing = _swing(job, steering, off_line_rad)
    rooms = swept_rooms(job, rail, bracket, swing)
    return Work(
        job=job,
        rail=rail,
        bracket=bracket,
        findings=without_idle_cures(
            (
                *judge(job, bracket, _cases(job, steering, off_line_rad), opinions=opinions),
                *check_rod_end(job, max(map(abs, loads.out_of_plane_rad)) if loads else None),
                *check_swing(job, rooms),
                *check_access(job, bracket),
                *check_pin_place(job, steering),
                *(steering_findings(steering) if steering else ()),
            )
        ),
        cautions=cautions(bracket),
        swing_rad=swing,
        rooms=rooms,
        steering=steering,
        loose=loose_plates(job, steering),
    )


def _swing(job: Job, steering: SteeringStudy | None, off_line_rad: float) -> tuple[float, float]:
    loads = steering.loads if steering else None
    return _widened(swing_range(job, loads.swing_rad if loads else None), off_line_rad)


def _widened(swing_rad: tuple[float, float], by_rad: float) -> tuple[float, float]:
    """A swing that is also taken turned by an angle: wide open the turn is next to nothing, closed it is all of it."""
    low, high = swing_rad
    return min(low, low + by_rad), max(high, high + by_rad)


def _swinging(job: Job, swing_rad: tuple[float, float]) -> Job:
    """The job as its closing plates must be built: with the swing that the cylinder takes, whoever found it."""
    if job.closing is None:
        return job
    return job.replaced(swing=(job.swing or Swing()).replaced(low_rad=swing_rad[0], high_rad=swing_rad[1]))


def _cases(job: Job, steering: SteeringStudy | None, off_line_rad: float = 0.0) -> tuple[LoadCase, ...]:
    """The load cases over the swing and the misalignment that the study found, or over those that the job states."""
    loads = steering.loads if steering else None
    if loads is None:
        most = rules_of(job).swing_rad
        return load_cases(job, _ends_and_middle(_widened((-most, most), off_line_rad)))
    swing, skew = _widened(loads.swing_rad, off_line_rad), loads.out_of_plane_rad
    return load_cases(job, _ends_and_middle(swing), _ends_and_middle(skew))


def _ends_and_middle(angles_rad: tuple[float, float]) -> tuple[float, float, float]:
    low, high = angles_rad
    return low, (low + high) / 2, high
