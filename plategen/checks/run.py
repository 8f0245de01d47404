"""The rules that a fillet run must meet whatever the load: leg, length, throat, gap and joint angle."""

import math
from collections.abc import Callable, Iterator

from plategen.bracket.model import Plate, WeldRun
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.ground.shop_size import PART_SIZES
from plategen.rules import weld as rule
from plategen.rules.safety import AISC, EN_JOINTS

PAD = "pad"
"""Name of the plate that lies on a tube under the tabs."""


def check_run(setting: Setting, run: WeldRun, plate: Plate, other_mm: float) -> Iterator[Finding]:
    """The rules that a run must meet whatever the load; ``other_mm`` is the thickness of what it is welded to."""
    thinner = min(plate.thickness_mm, other_mm)
    least, source = rule.least_leg_mm(thinner)
    low, high = run.joint_angle_rad
    part, show = f"{run.name}, {run.plate} to {run.other}", setting.show
    in_en = setting.rules.set == "en-1993"
    yield _rule(
        "least leg",
        part,
        least,
        run.leg_mm,
        "mm",
        source,
        "thinner part, single pass",
        lambda: f"leg to {setting.up(least)}",
        opinion=in_en,
    )
    # only a pad is welded along its edge, as the code's limit has it
    lap = plate.name == PAD
    most = rule.most_leg_mm(plate.thickness_mm) if lap else thinner
    yield Finding(
        check="greatest leg",
        part=part,
        demand=run.leg_mm,
        capacity=most,
        unit="mm",
        source=f"{AISC} J2.2b" if lap else "common practice, no source",
        assumed="along the pad's edge, unless the bead is built out to its full throat"
        if lap
        else "more than the thinner part heats it without holding more; the code's limit is for edges of laps only",
        cure=f"leg to {_down(setting, most)}" if run.leg_mm > most else "",
        most="caution",
    )
    yield _rule(
        "least length",
        part,
        rule.least_length_mm(run.leg_mm),
        run.length_mm,
        "mm",
        f"{AISC} J2.2b: 4 w",
        "",
        lambda: f"run to {setting.up(rule.least_length_mm(run.leg_mm))}",
        opinion=in_en,
    )
    throat = rule.throat_mm(run.leg_mm, high, run.gap_mm)
    yield _rule(
        "least length that carries",
        part,
        rule.least_length_en_mm(throat),
        run.length_mm,
        "mm",
        f"{EN_JOINTS} 4.5.1",
        "max(6 a, 30 mm)",
        lambda: f"run to {setting.up(rule.least_length_en_mm(throat))}",
        opinion=not in_en,
    )
    yield _rule(
        "least throat",
        part,
        rule.LEAST_THROAT_EN_MM,
        throat,
        "mm",
        f"{EN_JOINTS} 4.5.2",
        "3 mm, gap taken off",
        lambda: f"leg to {setting.up(rule.leg_for_throat_mm(rule.LEAST_THROAT_EN_MM, high, run.gap_mm))}",
        opinion=not in_en,
    )
    yield _rule(
        "fit-up gap",
        part,
        run.gap_mm,
        rule.GAP_LARGEST_MM,
        "mm",
        "AWS D1.1 7.21 (5.21 before 2020)",
        f"up to {show.length(rule.GAP_AS_IS_MM)} as it is; more is taken off the leg",
        lambda: "bevel or re-cut the notch to close the gap",
        opinion=False,
    )
    yield _rule(
        "sharp joint angle",
        part,
        math.degrees(rule.ANGLE_LEAST_RAD),
        math.degrees(low),
        "deg",
        "AWS D1.1 skewed T-joints",
        "least dihedral angle of a fillet, 60 deg",
        lambda: "a groove weld, or tilt the plate",
        opinion=False,
    )
    yield _rule(
        "open joint angle",
        part,
        math.degrees(high),
        math.degrees(rule.ANGLE_MOST_RAD),
        "deg",
        "AWS D1.1 skewed T-joints",
        "greatest dihedral angle of a fillet, 135 deg",
        lambda: "a bevel and a groove weld, or tilt the plate",
        opinion=False,
    )


def _down(setting: Setting, mm: float) -> str:
    """The next size down that a shop would call for."""
    return setting.up(PART_SIZES.down(mm, setting.job.units))


def _rule(
    check: str,
    part: str,
    demand: float,
    capacity: float,
    unit: str,
    source: str,
    assumed: str,
    cure: Callable[[], str],
    *,
    opinion: bool,
) -> Finding:
    short = demand > capacity * (1.0 + 1e-9)
    return Finding(
        check=check,
        part=part,
        demand=demand,
        capacity=capacity,
        unit=unit,
        source=source,
        assumed=assumed,
        cure=cure() if short else "",
        opinion=opinion,
    )
