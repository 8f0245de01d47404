"""Nose radius and toe height: the job's, or those that a rule chooses because the job left them out."""

from plategen.bracket.model import Hole
from plategen.design.proportion import nose_radius, toe_height
from plategen.job import Job


def nose_and_toe(job: Job, pin: Hole, thickness_mm: float) -> tuple[float, float, tuple[str, ...]]:
    """Both, and one sentence for each that a rule chose; ``thickness_mm`` is that of the welded plate."""
    chosen: list[str] = []
    nose_mm, toe_mm = job.bracket.nose_radius_mm, job.bracket.toe_mm
    if nose_mm is None:
        nose = nose_radius(pin.bolt_mm, pin.edge_required_mm, pin.edge_source, job.units)
        nose_mm = nose.mm
        chosen.append(nose.why)
    if toe_mm is None:
        toe = toe_height(job.weld.leg_mm, thickness_mm, job.units)
        toe_mm = toe.mm
        chosen.append(toe.why)
    return nose_mm, toe_mm, tuple(chosen)
