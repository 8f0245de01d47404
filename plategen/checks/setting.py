"""What every check is given: the design under judgement, and lazily what several checks read off its bracket."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from plategen.bracket.feature import Feature, features_on
from plategen.bracket.model import Bracket, Plate
from plategen.bracket.swing import Room, swept_rooms
from plategen.checks.load_path import Assembly, BoltJoint, Carrier, assemblies, bolt_joints, carriers
from plategen.checks.view import RULE_SETS, View
from plategen.design.design import Design
from plategen.design.motion import LoadCase, rules_of, tables_of
from plategen.ground.cure import Change, Cure
from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.rules import Rules
from plategen.rail.tube import Surface
from plategen.rules.material import Steel, steel
from plategen.rules.safety import LOAD_FACTOR

if TYPE_CHECKING:
    from plategen.rules.bolt_grade import BoltGrade
    from plategen.steering.study import SteeringStudy

Made = TypeVar("Made")
"""What several checks read off a bracket."""

REMEMBERED = 16
"""Answers that the costly measurements of a bracket keep: those of one job, as the page and variants judge it again."""


@dataclass(frozen=True)
class Setting:
    """A design under judgement."""

    design: Design  # What was decided: job, study, pin, motion with its load cases, sizes.
    bracket: Bracket  # Its bracket, as built, trimmed or kept.
    # The rail or tube that the bracket stands on; None where nothing but the bracket is looked at.
    surface: Surface | None
    opinions: bool = True  # Ask the other rule sets for theirs as well.
    tried: bool = True  # Try cures before they are told.

    @cached_property
    def job(self) -> Job:
        """What the user wrote."""
        return self.design.job

    @property
    def study(self) -> "SteeringStudy | None":
        """The steering study, if the job has one."""
        return self.design.study

    @cached_property
    def cases(self) -> tuple[LoadCase, ...]:
        """The load cases, shock included, load factors not."""
        return self.design.motion.cases

    @cached_property
    def rules(self) -> Rules:
        """The job's rules."""
        return rules_of(self.job)

    @cached_property
    def tables(self) -> Units:
        """The system whose tables count."""
        return tables_of(self.job)

    @cached_property
    def views(self) -> tuple[View, ...]:
        """The rule set that decides, then the others if they are asked."""
        chosen = self.rules.set
        order = (chosen, *(rules for rules in RULE_SETS if rules != chosen and self.opinions))
        shock = self.rules.shock_factor
        return tuple(View(rules, LOAD_FACTOR[rules], rules != chosen, shock) for rules in order)

    def once(self, key: tuple[str, ...], make: Callable[[], Made]) -> Made:
        """What several checks read off the bracket, made when the first of them asks.

        Args:
            key: What it is, and the names of the parts that it is of.
            make: Makes it.
        """
        if key not in self._made:
            self._made[key] = make()
        made: Made = self._made[key]
        return made

    @cached_property
    def _made(self) -> dict[tuple[str, ...], Any]:
        return {}

    @cached_property
    def rooms(self) -> tuple[Room, ...]:
        """What the cylinder's swing leaves free; empty without a rail or tube."""
        if self.surface is None:
            return ()
        return swept_rooms(self.design, self.surface, self.bracket)

    @cached_property
    def features(self) -> tuple[Feature, ...]:
        """What is on the rail already; nothing where it is not looked at."""
        return () if self.surface is None else features_on(self.job, self.surface)

    @cached_property
    def carriers(self) -> tuple[Carrier, ...]:
        """The plates that hold the pin."""
        return carriers(self.bracket)

    @cached_property
    def joints(self) -> tuple[BoltJoint, ...]:
        """The bolted joints."""
        return bolt_joints(self.bracket)

    @cached_property
    def assemblies(self) -> tuple[Assembly, ...]:
        """The groups of plates that stand on the rail as one."""
        return assemblies(self.bracket, self.carriers, self.joints)

    @cached_property
    def bolted(self) -> tuple[tuple[Assembly, BoltJoint], ...]:
        """Every bolted joint with the assembly that it is a part of."""
        return tuple((a, joint) for a in self.assemblies for joint in self.joints if joint.upper in a.plates)

    @cached_property
    def bearing_on_bolts(self) -> frozenset[str]:
        """The plates that a bolted joint holds, whose steel is judged by bearing, tear-out and block shear."""
        return frozenset(plate.name for _, joint in self.bolted for plate in (joint.upper, joint.lower))

    @cached_property
    def plates(self) -> dict[str, Plate]:
        """The bracket's plates by name."""
        return {plate.name: plate for plate in self.bracket.plates}

    @cached_property
    def steels(self) -> dict[str, Steel]:
        """The steel of each plate, as the welds leave it: softened over the whole plate, on the safe side.

        Raises:
            Refusal: It is not in the tables.
        """
        heated = {name for run in self.bracket.welds for name in (run.plate, run.other)}
        steels = {p.name: _steel(p.steel, p.thickness_mm, "bracket.steel") for p in self.bracket.plates}
        steels = {name: self._welded(steel) if name in heated else steel for name, steel in steels.items()}
        wall = self.bracket.wall
        return steels if wall is None else {**steels, wall.name: self.wall}

    @cached_property
    def pin_steel(self) -> Steel:
        """The pin's steel.

        Raises:
            Refusal: It is not in the tables.
        """
        return _steel(self.rules.pin_steel, self.bracket.pin.diameter_mm, "rules.pin_steel")

    @cached_property
    def wall(self) -> Steel:
        """The rail's steel, or the tube's, as the welds leave it; that of a rail that is drilled, as it is.

        Raises:
            Refusal: It is not in the tables.
        """
        steel = _steel(self.job.rail.steel, self.job.rail.wall_mm, "rail.steel")
        return steel if self.bracket.wall is not None else self._welded(steel)

    @property
    def bolt_key(self) -> str:
        """The key of the job file that the bolts between plates have their size from."""
        return "split.bolt" if self.job.bolted is None else "bolted.bolt"

    def _welded(self, steel: Steel) -> Steel:
        """A steel beside a bead: of a heat-treated one what the declared procedure keeps, where there is one."""
        kept = self.job.weld.procedure
        if kept is None or not steel.treated:
            return steel
        return replace(steel, fy_mpa=min(steel.fy_mpa, kept.yield_mpa), fu_mpa=min(steel.fu_mpa, kept.tensile_mpa))

    def bolt_grade(self, diameter_mm: float) -> "BoltGrade":
        """The grade of the job's bolts in a diameter.

        Raises:
            Refusal: It is not in the tables, or is to be pretensioned and the rule set gives it no pretension.
        """
        from plategen.rules.bolt_grade import bolt_grade, to_pretension  # few brackets have bolts

        name, rules = self.rules.bolt_grade, self.rules.set
        try:
            grade = bolt_grade(name, diameter_mm)
        except Refusal as refusal:
            raise refusal.under("rules.bolt_grade") from None
        if self.rules.pretensioned and not grade.may_be_pretensioned(rules):
            right = to_pretension(name, diameter_mm, rules)
            raise Refusal(
                f'{rules} gives bolts of "{name}" no pretension; "{right}" is right, or pretensioned = false',
                "rules.bolt_grade",
                cure=Cure(message("bolts of {}", right), (Change("rules.bolt_grade", right),)),
            )
        return grade

    def tight_grade(self, diameter_mm: float) -> "BoltGrade":
        """The grade that stands for the job's bolts once they are pretensioned: theirs, or the nearest that may be.

        Raises:
            Refusal: It is not in the tables.
        """
        from plategen.rules.bolt_grade import bolt_grade, to_pretension

        grade, rules = bolt_grade(self.rules.bolt_grade, diameter_mm), self.rules.set
        if grade.may_be_pretensioned(rules):
            return grade
        return bolt_grade(to_pretension(grade.name, diameter_mm, rules), diameter_mm)

    def friction_views(self, diameter_mm: float) -> tuple[View, ...]:
        """The views that can say what friction holds: all but opinions of rule sets that give no such pretension."""
        grade = self.bolt_grade(diameter_mm)
        tight = self.rules.pretensioned
        return tuple(v for v in self.views if not (v.opinion and tight and not grade.may_be_pretensioned(v.rules)))

    def __iter__(self) -> Iterator[View]:
        return iter(self.views)


def _steel(name: str, thickness_mm: float, where: str) -> Steel:
    try:
        return steel(name, thickness_mm)
    except Refusal as refusal:
        raise refusal.under(where) from None
