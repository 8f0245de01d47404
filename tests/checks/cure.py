"""What a finding's cure asks of the job, done: the words are read as a person at the bench would read them."""

import math
import re
from collections.abc import Callable

from plategen.checks.finding import Finding
from plategen.job import Job

SIZE = r"(\d[\d ]*(?:/\d+)?(?:\.\d+)?) (in|mm)"


def cured(job: Job, finding: Finding) -> tuple[str, Job] | None:
    """What was changed and the job with it; None when the cure names no number of the job."""
    for words, change in CHANGES.items():
        found = re.match(words.replace("SIZE", SIZE), finding.cure)
        if found:
            sizes = [_mm(*found.groups()[k : k + 2]) for k in range(0, len(found.groups()) - 1, 2)]
            return words.split(" to")[0], change(job, finding, *(sizes or [float(found[1])]))
    return None


def _mm(text: str, unit: str) -> float:
    number = sum(float(a) / float(b or 1) for a, _, b in (word.partition("/") for word in text.split()))
    return number * (25.4 if unit == "in" else 1.0)


def _leg(job: Job, finding: Finding, mm: float) -> Job:
    if finding.part.split(", ")[-1].startswith("closing"):
        assert job.closing is not None
        return job.replaced(closing=job.closing.replaced(leg_mm=mm))
    return job.replaced(weld=job.weld.replaced(leg_mm=mm))


def _thickness(job: Job, finding: Finding, mm: float) -> Job:
    part = finding.part.split(", ")[-1]
    if part.startswith("closing"):
        assert job.closing is not None
        return job.replaced(closing=job.closing.replaced(thickness_mm=mm))
    if part.startswith("pad"):
        return _pad(job, mm)
    if job.split is None:
        return job.replaced(bracket=job.bracket.replaced(thickness_mm=mm))
    tab = job.split.tab_thickness_mm or job.bracket.thickness_mm
    if part.startswith("tab"):
        return job.replaced(split=job.split.replaced(tab_thickness_mm=mm))
    return job.replaced(bracket=job.bracket.replaced(thickness_mm=mm), split=job.split.replaced(tab_thickness_mm=tab))


def _pad(job: Job, mm: float) -> Job:
    assert job.seat is not None
    assert job.seat.pad is not None
    return job.replaced(seat=job.seat.replaced(pad=job.seat.pad.replaced(thickness_mm=mm)))


def _nose(job: Job, _: Finding, mm: float, offset_mm: float = 0.0) -> Job:
    offset = job.mount.inline_offset_mm + offset_mm
    return job.replaced(
        bracket=job.bracket.replaced(nose_radius_mm=mm), mount=job.mount.replaced(inline_offset_mm=offset)
    )


def _pin(job: Job, _: Finding, mm: float) -> Job:
    base = job.cylinder.base
    base = base.replaced(pin_mm=mm, eye_radius_mm=max(base.eye_radius_mm, 1.1 * mm))
    return job.replaced(cylinder=job.cylinder.replaced(base=base))


def _bolts(job: Job, _: Finding, mm: float) -> Job:
    if job.split is not None:
        return job.replaced(split=job.split.replaced(bolt_mm=mm))
    assert job.seat is not None
    assert job.seat.clamp is not None
    return job.replaced(seat=job.seat.replaced(clamp=job.seat.clamp.replaced(bolt_mm=mm)))


def _clamp(job: Job, _: Finding, mm: float) -> Job:
    assert job.seat is not None
    assert job.seat.clamp is not None
    return job.replaced(seat=job.seat.replaced(clamp=job.seat.clamp.replaced(thickness_mm=mm)))


def _tube(job: Job, _: Finding, mm: float) -> Job:
    assert job.driven is not None
    return job.replaced(driven=job.driven.replaced(diameter_mm=mm))


def _foot(job: Job, _: Finding, mm: float) -> Job:
    assert job.mount.foot_mm is not None
    first, last = job.mount.foot_mm
    more = (mm - (last - first)) / 2.0
    return job.replaced(mount=job.mount.replaced(foot_mm=(first - more, last + more)))


def _skew(job: Job, _: Finding, degrees: float) -> Job:
    assert job.rules is not None
    return job.replaced(rules=job.rules.replaced(skew_rad=math.radians(degrees)))


def _tight(job: Job) -> Job:
    assert job.rules is not None
    return job.replaced(rules=job.rules.replaced(pretensioned=True))


CHANGES: dict[str, Callable[..., Job]] = {
    r"leg to SIZE": _leg,
    r"pad thickness and leg to SIZE": lambda job, finding, mm: _leg(_pad(job, mm), finding, mm),
    r"nose radius to SIZE, with the in-line offset SIZE": _nose,
    r"nose radius to SIZE": _nose,
    r"(?:plate )?thickness to SIZE": _thickness,
    r"clamp thickness to SIZE": _clamp,
    r"pin to SIZE": _pin,
    r"bolts to SIZE": _bolts,
    r"rod to SIZE": lambda job, _, mm: job.replaced(cylinder=job.cylinder.replaced(rod_mm=mm)),
    r"tube to SIZE": _tube,
    r"foot to SIZE": _foot,
    r"line the cylinder up to within ([\d.]+) deg": _skew,
}
"""The words of a cure, and what they do to a job."""
