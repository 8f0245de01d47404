"""The whole way, from a job and its traces to a judged bracket; files are written elsewhere."""

from plategen.bracket.build import build_bracket
from plategen.job import Job
from plategen.rail.fit import fit_trace
from plategen.rail.surface import Rail
from plategen.rail.trace import Trace
from plategen.refusal import Refusal
from plategen.shop.caution import cautions
from plategen.shop.work import Work
from plategen.strength.judge import judge
from plategen.strength.loads import load_cases


def fit_rail(traces: tuple[Trace, ...], inline_offset_mm: float) -> Rail:
    """The rail from its traces, fitted and put in order along the pin.

    Raises:
        Refusal: If two traces share a plane, or a trace cannot be fitted.
    """
    fitted = sorted((fit_trace(trace) for trace in traces), key=lambda f: f.trace.plane_mm)
    for lower, upper in zip(fitted, fitted[1:], strict=False):
        if upper.trace.plane_mm - lower.trace.plane_mm < 1e-6:
            raise Refusal(
                f"{lower.trace.file} and {upper.trace.file} lie in the same plane, {lower.trace.plane_mm:.4g} mm; "
                "give each trace the place along the pin where it was read",
                "rail.trace.plane",
            )
    return Rail(traces=tuple(fitted), inline_offset_mm=inline_offset_mm)


def carry_through(job: Job, traces: tuple[Trace, ...]) -> Work:
    """The job carried through: rail, bracket, findings.

    Raises:
        Refusal: With the one thing that is wrong and what would be right.
    """
    rail = fit_rail(traces, job.mount.inline_offset_mm)
    return on_rail(job, rail)


def on_rail(job: Job, rail: Rail) -> Work:
    """The job carried through on a rail that is fitted already, as when only the bracket changes."""
    bracket = build_bracket(job, rail)
    findings = judge(job, bracket, load_cases(job))
    return Work(job=job, rail=rail, bracket=bracket, findings=findings, cautions=cautions(job, bracket))
