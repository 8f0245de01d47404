"""Cures that are tried before they are told: the bracket is drawn with each and the same check asked of it.

A check reckons its cure on the bracket as it stands. Drawn anew, the bracket may differ by more than the key that was
set: for a larger leg a rule chooses a shorter foot and closing plates become shorter; a thicker formed plate has wider
bends and its bolts further out. What then still fails is tried on the foot as it stands, and with the next size.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from msgspec import structs

from plategen.bracket.rod_end import PREFIX, called_rod_end
from plategen.bracket.style import built_on
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.design.on_tube import tube_of
from plategen.ground.cure import Change, Cure
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.change import changed

MOST_TRIED = 6
"""Sizes of a cure that are tried one after the other."""

OF_THE_BRACKET = (
    "weld.", "bracket.", "closing.", "doubler.", "gusset.", "crosshead.", "split.", "seat.", "bolted.", "mount.foot",
    "rules.bolt_grade", "rules.pretensioned", "cylinder.base.pin",
)  # fmt: skip
"""Keys that another bracket follows from, on the same rail and by the same study; cures of others stay as reckoned."""

Ask = Callable[[Setting], Iterable[Finding]]
"""Gives the findings of a group of checks."""


@dataclass(slots=True)
class Trials:
    """What a group of checks says of a bracket drawn with keys changed."""

    setting: Setting  # The design under judgement.
    ask: Ask  # The group.
    found: dict[tuple[Change, ...], tuple[Finding, ...] | None] = field(default_factory=dict)

    def again(self, changes: tuple[Change, ...]) -> tuple[Finding, ...] | None:
        """Its findings with the changes in the job; None where that cannot be built, or judged."""
        if changes not in self.found:
            drawn = _drawn(self.setting, changes)
            try:
                self.found[changes] = None if drawn is None else tuple(self.ask(drawn))
            except Refusal:  # no strength is listed of a steel so thick, say
                self.found[changes] = None
        return self.found[changes]

    def holds(self, finding: Finding, cure: Cure) -> Finding | bool:
        """True where a cure does, False where it cannot be built; else the finding that still stops."""
        found = self.again(cure.changes)
        if found is None:
            return False
        alike = [f for f in found if f.check == finding.check and f.decides]
        same = [f for f in alike if f.part == finding.part]  # none where it is named by its worst bolt, say
        return next((f for f in same or alike if f.verdict == "stop"), True)


def _drawn(setting: Setting, changes: tuple[Change, ...]) -> Setting | None:
    """The bracket drawn with changes in its job, on the same rail, once for all groups; None where it cannot be."""
    return setting.once(("drawn", repr(changes)), lambda: _draw(setting, changes))


def _draw(setting: Setting, changes: tuple[Change, ...]) -> Setting | None:
    surface = setting.surface
    assert surface is not None
    try:
        job = changed(setting.job, changes)
        if job.style.stands_on == "tube":
            surface = tube_of(job, setting.design.pin)
        design, bracket = built_on(job, surface, setting.study, once=True)
    except Refusal:
        return None
    if any(plate.name.startswith(PREFIX) for plate in setting.bracket.plates):
        bracket = called_rod_end(bracket)
    return Setting(design, bracket, surface, opinions=False, tried=False)


def proved(setting: Setting, found: tuple[Finding, ...], ask: Ask) -> tuple[Finding, ...]:
    """The findings of a group, the cures of those that stop tried and where need be corrected."""
    if not setting.tried or setting.surface is None or not any(map(_to_prove, found)):
        return found
    drawn = _drawn(setting, ())
    if drawn is None or drawn.bracket != setting.bracket:  # it was kept, or trimmed
        return found
    trials = Trials(setting, ask)
    return tuple(_proved(trials, finding) if _to_prove(finding) else finding for finding in found)


def _to_prove(finding: Finding) -> bool:
    """Whether it stops, and has a cure that changes the bracket alone."""
    keys = [change.key for change in finding.cure.changes] if finding.cure is not None else []
    stops = finding.decides and finding.verdict == "stop"
    return stops and bool(keys) and all(key.startswith(OF_THE_BRACKET) for key in keys)


def _proved(trials: Trials, finding: Finding) -> Finding:
    """The finding with a cure that holds; with its words alone where none is found."""
    cure = finding.cure
    assert cure is not None
    for _ in range(MOST_TRIED):
        plain = trials.holds(finding, cure)
        if plain is True:
            return finding if cure is finding.cure else structs.replace(finding, cure=cure)
        if plain is False and cure is finding.cure:
            return finding  # what else must change is told where it is refused
        kept = on_this_foot(trials.setting, cure)
        then = trials.holds(finding, kept)
        if then is True:
            return structs.replace(finding, cure=kept)
        if then is False or then.cure is None or not then.cure.changes:
            break
        now = {change.key: change for change in cure.changes} | {change.key: change for change in then.cure.changes}
        cure = Cure(then.cure.advice, tuple(now.values()), then.cure.promise)
    assert finding.cure is not None
    return structs.replace(finding, cure=Cure(message("{}, which is not enough alone", finding.cure.advice)))


def on_this_foot(setting: Setting, cure: Cure) -> Cure:
    """A cure with the foot written out as it stands, where a rule chose it."""
    given, foot = setting.job.mount, setting.design.foot
    if not foot.why or any(change.key.startswith("mount.foot") for change in cure.changes):
        return cure
    begin, end, rise = foot.foot
    if end is not None:
        first, last = mm(begin, "up"), mm(end, "down")
        words = message("{}, the foot left as it is, from {} to {}", cure.advice, first, last)
        return replace(cure, advice=words, changes=(*cure.changes, Change("mount.foot", (first, last))))
    assert rise is not None
    up = mm(rise, "down")
    kept = (Change("mount.foot", (mm(begin),)),) if given.foot_mm is None else ()
    kept = (*kept, Change("mount.foot_rise", up)) if given.foot_rise_mm is None else kept
    words = message("{}, the foot left as it is, from {} and {} up the side", cure.advice, mm(begin), up)
    return replace(cure, advice=words, changes=(*cure.changes, *kept))
