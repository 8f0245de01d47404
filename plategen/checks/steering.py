"""The checks of a steering study: its linkage, its cylinder, the rod that the cylinder pushes, and its oil circuit."""

from collections.abc import Iterator

from plategen.checks import circuit, linkage, steering_cylinder
from plategen.checks.driven_rod import check_rod
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.steering.study import SteeringStudy

CHECKS = (*linkage.CHECKS, *steering_cylinder.CHECKS, *circuit.CHECKS)
"""Their rows, without those of the rod, which a job may have without a study."""


def check_steering(setting: Setting) -> Iterator[Finding]:
    """Findings about a job's steering; none without a study."""
    if setting.study is not None:
        yield from _of(setting.study)


def findings(study: SteeringStudy) -> tuple[Finding, ...]:
    """Every finding about a study alone, before there is a bracket."""
    return (*_of(study), *_pushed_rod(study))


def _of(study: SteeringStudy) -> Iterator[Finding]:
    yield from linkage.check_linkage(study)
    yield from steering_cylinder.check_steering_cylinder(study)
    yield from circuit.check_circuit(study)


def _pushed_rod(study: SteeringStudy) -> Iterator[Finding]:
    if study.thrust is not None:
        yield from check_rod(study.units, study.thrust.push_n, study.rules, study.driven, study)
