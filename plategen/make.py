"""The whole way, from a job and its traces to a judged bracket; files are written elsewhere."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from plategen.bracket.loose import loose_plates
from plategen.bracket.model import Bracket
from plategen.bracket.rod_end import called_rod_end
from plategen.bracket.style import built_on, design_on, style_of
from plategen.checks.caution import cautions
from plategen.checks.finding import must_stop
from plategen.checks.judge import findings_of
from plategen.checks.rod_end import seated
from plategen.checks.setting import Setting
from plategen.design.design import Design
from plategen.design.on_tube import tube_of
from plategen.design.places import pin_place
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal, missing_library
from plategen.job import Job
from plategen.job.rod_end import at_rod_end
from plategen.rail.fit import fit_together, fit_trace
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace, Trace
from plategen.rail.tube import Surface
from plategen.rules.material import weld_metal
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.rail.note.correction import Correction
    from plategen.steering.study import SteeringStudy

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
            words = "{} and {} lie in the same plane, {}; give each trace the place along the pin where it was read"
            raise Refusal(
                message(words, lower.trace.file, upper.trace.file, mm(lower.trace.plane_mm)), "rail.trace.plane"
            )
    return Rail(traces=fit_together(fitted), inline_offset_mm=inline_offset_mm)


def study_of(job: Job) -> "SteeringStudy | None":
    """The steering study, when the job draws or measures its steering; others need not load what makes it."""
    if job.steering is None:
        return None
    from plategen.steering.study import study

    return study(job)


def carry_through(
    job: Job,
    traces: tuple[Trace, ...],
    *,
    elements: bool = False,
    notes_in_traces: bool = False,
    quick: bool = False,
    opinions: bool = True,
    rail_of: Callable[[tuple[Trace, ...], float], Rail] = fit_rail,
    study_for: "Callable[[Job], SteeringStudy | None]" = study_of,
    fit: Fit = fit_trace,
) -> Work:
    """The job carried through: study, pin, rail, design, bracket, findings; ``elements`` adds the ears by elements.

    ``notes_in_traces`` says that the traces hold already what the job's fit notes correct, as those of a delivery do.
    ``quick`` leaves out what decides nothing: what other rule sets say, the trial of cures, and of a bracket that
    cannot be built the nearest that can; :func:`thoroughly_judged` makes up for it. ``opinions`` False leaves out what
    other rule sets say, and nothing else.
    ``rail_of``, ``study_for`` and ``fit``, which fits what notes correct, may be ones that pass on what they have made
    before of the same traces and steering.

    Raises:
        Refusal: With the one thing that is wrong and what would be right, in the job's units.
    """
    try:
        steering = study_for(job)
        surface, noted = _surface(
            job, traces, steering, notes_in_traces=notes_in_traces, quick=quick, rail_of=rail_of, fit=fit
        )
        design, bracket = _built(job, surface, steering, quick=quick)
        work = replace(
            standing(design, surface, bracket, opinions=opinions and not quick, tried=not quick), corrections=noted
        )
        return _with_elements(work) if elements else work
    except Refusal as refusal:
        raise refusal.in_units(job.units) from None


def thoroughly_judged(work: Work) -> Work:
    """A job that was carried through quickly, with what that left out.

    Raises:
        Refusal: The seat at the rod's end cannot be built.
    """
    return replace(standing(work.design, work.rail, work.bracket), corrections=work.corrections)


def design_of(job: Job, traces: tuple[Trace, ...]) -> Design:
    """What is decided of a job before anything is built: study, pin, rail and sizes as :func:`carry_through` has them.

    Raises:
        Refusal: With the one thing that is wrong and what would be right, in the job's units.
    """
    try:
        steering = study_of(job)
        surface, _ = _surface(job, traces, steering)
        return design_on(job, surface, steering)
    except Refusal as refusal:
        raise refusal.in_units(job.units) from None


def _surface(
    job: Job,
    traces: tuple[Trace, ...],
    steering: "SteeringStudy | None",
    *,
    notes_in_traces: bool = False,
    quick: bool = False,
    rail_of: Callable[[tuple[Trace, ...], float], Rail] = fit_rail,
    fit: Fit = fit_trace,
) -> "tuple[Surface, tuple[Correction, ...]]":
    """What the job stands on, and what fit notes changed in its traces."""
    pin = pin_place(job, steering)
    if job.style.stands_on == "tube":
        try:
            return tube_of(job, pin), ()
        except Refusal as refusal:
            if quick:
                raise
            raise _with_nearest(refusal, job, None, steering) from None
    noted: tuple[Correction, ...] = ()
    if not notes_in_traces and job.revision is not None and job.revision.fit_note:
        from plategen.noted import corrections_at, held_up  # few jobs have notes: the others need not load it
        from plategen.rail.note.correction import corrected

        once: Fit = cache(fit)  # what notes correct is fitted to weigh them, and again to move it
        noted = corrections_at(job, traces, held_up(job, pin, traces), once)
        traces = corrected(traces, noted, once)
    return rail_of(traces, pin.inline_offset_mm), noted


def _built(job: Job, surface: Surface, study: "SteeringStudy | None", *, quick: bool) -> tuple[Design, Bracket]:
    """The design and its bracket.

    Raises:
        Refusal: It cannot be built; with the nearest size that can, unless it must be ``quick``.
    """
    try:
        weld_metal(job.weld.electrode)
    except Refusal as refusal:
        raise refusal.under("weld.electrode") from None
    try:
        return built_on(job, surface, study, once=quick)
    except Refusal as refusal:
        if quick:
            raise
        raise _with_nearest(refusal, job, surface, study) from None


def _with_nearest(refusal: Refusal, job: Job, surface: Surface | None, study: "SteeringStudy | None") -> Refusal:
    """Why a job cannot be built, with the nearest size that can; what looks for that is loaded for such a job alone."""
    from plategen.nearest import with_nearest

    return with_nearest(refusal, job, lambda other: _build_once(other, surface, study))


def _build_once(job: Job, surface: Surface | None, study: "SteeringStudy | None") -> None:
    """Try to build a changed job, on a rail that is fitted already or on its own tube.

    Raises:
        Refusal: It cannot be built.
    """
    on = _surface_for(job, surface, study)
    style = style_of(job.bracket.style)
    (style.build_once or style.build)(design_on(job, on, study), on)


def _surface_for(job: Job, surface: Surface | None, study: "SteeringStudy | None") -> Surface:
    """The rail with the pin at a changed job's place, or its own tube."""
    pin = pin_place(job, study)
    if not isinstance(surface, Rail):
        return tube_of(job, pin)
    if surface.inline_offset_mm == pin.inline_offset_mm:
        return surface
    return replace(surface, inline_offset_mm=pin.inline_offset_mm)


def rebuilt(work: Work, job: Job, *, opinions: bool = False) -> Work:
    """A job that differs from a finished one in its sizes, its pin or its cylinder, on the same fitted rail, judged.

    ``opinions`` as for :func:`on_rail`.

    Raises:
        Refusal: It cannot be built.
    """
    same = (job.steering, job.cylinder) == (work.job.steering, work.job.cylinder)
    study = work.steering if same else study_of(job)
    return on_rail(job, _surface_for(job, work.rail, study), study, opinions=opinions)


def on_rail(job: Job, surface: Surface, study: "SteeringStudy | None" = None, *, opinions: bool = True) -> Work:
    """The job carried through on a rail that is fitted already, as when only the bracket changes, or on its tube.

    ``opinions`` False leaves out what other rule sets say, which decides nothing, and tries no cure.
    """
    design, bracket = built_on(job, surface, study)
    return standing(design, surface, bracket, opinions=opinions, tried=opinions)


def standing(
    design: Design, surface: Surface, bracket: Bracket, *, opinions: bool = True, tried: bool = True, whole: bool = True
) -> Work:
    """A bracket in its design's plate frame, whoever made it, judged as it stands on its rail or tube.

    ``opinions`` False leaves out what other rule sets say, which decides nothing; ``tried`` False tells cures untried;
    ``whole`` False leaves out what is asked and cut once of a machine.
    """
    setting = Setting(design, bracket, surface, opinions, tried)
    seat = _rod_end(design, opinions=opinions, tried=tried)
    findings, told = findings_of(setting, whole=whole), cautions(bracket, design.job)
    if seat is not None and design.job.rod_end is not None:
        findings = (*findings, *(seated(finding, design.job.rod_end) for finding in seat.findings))
        told = tuple(dict.fromkeys((*told, *seat.cautions)))
        seat = replace(seat, halted=must_stop(findings))
    return Work(
        design=design,
        rail=surface,
        bracket=bracket,
        findings=findings,
        cautions=told,
        rooms=setting.rooms,
        loose=loose_plates(design.job, design.study) if whole else (),
        rod_end=seat,
        whole=whole,
        tried=tried,
    )


def _rod_end(frame: Design, *, opinions: bool, tried: bool) -> Work | None:
    """The seat at the rod's end of a job that has both, by the same study, built and judged; None where it has none.

    Raises:
        Refusal: It cannot be built; by the keys of the whole job.
    """
    job, entry = frame.job.rod_end_job, frame.job.rod_end
    if job is None or entry is None:
        return None
    try:
        surface, _ = _surface(job, (), frame.study, quick=not tried)
        design, bracket = _built(job, surface, frame.study, quick=not tried)
    except Refusal as refusal:
        raise at_rod_end(refusal, entry) from None
    return standing(design, surface, called_rod_end(bracket), opinions=opinions, tried=tried, whole=False)


def _with_elements(work: Work) -> Work:
    """The job with its ears solved by finite elements, as a second opinion beside the hand formulas.

    Raises:
        Refusal: The finite-element library is not installed, or the bracket has no plate to solve.
    """
    from plategen.checks.elements import check_elements, solve_ears

    setting = Setting(work.design, work.bracket, work.rail)
    try:
        fields = solve_ears(setting)
    except ModuleNotFoundError as missing:
        raise missing_library("finite elements need", missing.name, "elements", "--elements") from None
    return replace(work, findings=(*work.findings, *check_elements(setting, fields)), ear_fields=fields)
