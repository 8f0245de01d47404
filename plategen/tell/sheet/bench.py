"""The bench sheet: what a person builds the bracket from, in the order of the work, on the first two printed pages.

Cut list, weld table, places and hardware are the sheet's own tables; here are the steps of fitting up, and what is
measured when all is done.
"""

from collections.abc import Iterator, Sequence

from plategen.bracket.envelope import barrel_start_mm
from plategen.bracket.measure import along_pin
from plategen.bracket.model import Bracket, Plate
from plategen.checks.finding import Finding
from plategen.checks.welding import PREHEAT
from plategen.cut.tolerance import welded_length
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.rail.tube import Tube
from plategen.tell.report.job import JobReport
from plategen.tell.report.plate import PlateReport
from plategen.tell.sheet.cells import Table, row
from plategen.tell.sheet.tables import WELDED_CLASS
from plategen.tell.sheet.weld_tables import leg_to_lay
from plategen.tell.table import NO_GAP_MM, up_to
from plategen.work import Work

BARE_MM = 25.4
"""How far beside every weld the steel is ground bare (common practice, no source)."""

TACK_LEGS = 4.0
"""Length of a tack over the leg (common practice, no source)."""


LOOSE = (
    "Not part of this bracket: {}. They go where the steering's stops meet the axle, by the table of stop pads; set "
    "them there with the wheels at their locks, by the part Steering."
)
"""What is said of plates that are cut with the bracket's and stand elsewhere."""


SEATED = (
    "The seat at the rod's end is built by its own sheet, rod_end.html, to the same line: hang the cylinder between "
    "both ends and look along it from above and from the side before the second of them is welded or clamped fast."
)
"""What is said of the cylinder's other end, where the job has both."""


def weights(plates: Sequence[PlateReport], show: Show) -> str:
    """What all plates weigh together."""
    return f"All plates together {show.mass(sum(plate.mass_kg * plate.count for plate in plates))}."


def steps(work: Work, report: JobReport, show: Show) -> tuple[str, ...]:
    """The steps of fitting up, each a sentence or a few, in order."""
    return tuple(_steps(work, report, show))


def _steps(work: Work, report: JobReport, show: Show) -> Iterator[str]:
    """The steps; what is not welded to the machine is welded before it comes near it."""
    bracket, stands_on = work.bracket, work.job.style.stands_on
    welded = [plate for plate in bracket.plates if any(plate.name in (run.plate, run.other) for run in bracket.welds)]
    on_machine = any(run.joint in ("rail", "tube") for run in bracket.welds)
    if bracket.welds:
        bare = f"{stands_on} and plates" if on_machine else "the plates"
        yield (
            f"Check every plate against its mark and size. Grind {bare} bare to {show.length(BARE_MM)} beside every "
            "weld; no paint, scale or galvanizing under a bead."
        )
    if bracket.welds and not on_machine:
        yield (
            f"Nothing is welded to the {stands_on}: weld the parts to each other on the bench, off the machine; no "
            f"arc, no torch and no earth clamp on the {stands_on}."
        )
        yield _marking_on_plates(bracket)
        yield _on_the_pin(work, show)
        yield from _welding(work, report, welded, show)
    if not bracket.welds:
        yield f"Nothing is welded: no arc, no torch and no earth clamp on the {stands_on} or on a plate."
    yield from _bending(work, report, show)
    yield _marking(work, stands_on, show)
    if on_machine or not bracket.welds:
        yield _on_the_pin(work, show)
    # plates that only bolts hold to welded ones say where those stand, so they are bolted before anything is tacked
    hung = [plate for plate in bracket.plates if plate not in welded] if on_machine and report.hardware.bolts else []
    if hung:
        yield (
            f"Bolt up {_names(hung)} and {_names(welded)} off the machine: every bolt, nut and washer as in the table, "
            f"snug, so that {_names(hung)} hold {_names(welded)} in their places."
        )
    yield (
        "Hold the line: a straight bar through the other end's pin and this one's, or the cylinder itself at half "
        "stroke, stands in for the cylinder. It must lie in line seen from above and from the side before anything is "
        "tacked or tightened."
    )
    if on_machine and any(plate.fit is not None for plate in bracket.plates):
        yield _home(work, stands_on, show)
    if on_machine:
        yield from _welding(work, report, welded, show)
    if hung:
        yield "Tighten the bolts as in the table, in turns, crosswise, when all is cold."
    elif report.hardware.bolts:
        yield "Bolt up: every bolt, nut and washer as in the table, snug first, then tight in turns, crosswise."
    if work.loose:
        yield LOOSE.format("; ".join(f"{in_words(plate.name)}, {plate.count} to cut" for plate in work.loose))
    if work.rod_end is not None:
        yield SEATED
    spacer = "Let" if work.bracket.folded is not None else "Take the spacer out, let"
    yield f"{spacer} the pin go through by hand, and measure what the last table asks. Paint after that."


def _bending(work: Work, report: JobReport, show: Show) -> Iterator[str]:
    """How a plate is bent on which the others' places hang."""
    for plate in report.plates:
        if not plate.bends:
            continue
        order = ", then ".join(f"{in_words(bend.name)}, which turns up {in_words(bend.ear)}" for bend in plate.bends)
        yield (
            f"Bend {in_words(plate.name)} first: its scribed lines up, under the punch, {order}. Measure each bend by "
            "the table, and look along its outside: a plate with a crack is scrap, and none is bent back. Measure "
            f"between the ears, at the pin holes and at their feet: {show.length(_apart(work))}."
        )


def _apart(work: Work) -> float:
    """From ear to ear."""
    spans = sorted(along_pin([plate]) for plate in work.bracket.plates if plate.pin_hole is not None)
    return spans[-1][0] - spans[0][1]


def _marking_on_plates(bracket: Bracket) -> str:
    """What is marked on the plates that others are welded to, before any is tacked."""
    under = [plate for plate in bracket.plates if any(run.other == plate.name for run in bracket.welds)]
    own = "the plate's own" if len(under) == 1 else "that plate's own"
    return (
        f"Mark on {_names(under)} both ends of every part that is welded to it: its station and plane in the table of "
        f"places, less {own} first station and plane there, from the same edges."
    )


def _marking(work: Work, stands_on: str, show: Show) -> str:
    """What is marked before a part is held up."""
    pin = work.design.pin
    mark = f"Mark the pin's station, {show.length(pin.station_mm)} from station 0"
    if isinstance(work.rail, Tube):
        return f"{mark}, on the tube, and from the table of places both ends of every part.{_by_the_ball(work, show)}"
    offset = show.length(work.rail.inline_offset_mm)
    return (
        f"Clamp the straightedge where it lay when the {stands_on} was measured, station 0 on its mark. {mark}, and "
        f"both ends of every part from the table of places. The cylinder's line lies {offset} from the straightedge, "
        f"away from the {stands_on}."
    )


def _by_the_ball(work: Work, show: Show) -> str:
    """What ties station 0 on a pushed rod to the steering that was studied: the shop's mark alone does not."""
    study = work.design.study
    lies = None if study is None or work.design.job.style.holds != "moving pin" else study.along_rod
    if lies is None:
        return ""
    way = "towards the rod's other ball" if lies.off_mm >= 0.0 else "beyond it"
    return (
        f" The steering was studied with the pin {show.length(abs(lies.off_mm))} along '{lies.rod}' from the centre of "
        f"ball '{lies.ball}' of '{lies.lever}', {way}: set station 0 so that the pin comes to stand there."
    )


def _on_the_pin(work: Work, show: Show) -> str:
    """How the parts that hold the pin are kept apart."""
    pin, held = work.bracket.pin, [plate for plate in work.bracket.plates if plate.pin_hole is not None]
    if len(held) < 2 or work.bracket.folded is not None:
        return f"Put the pin, {show.length(pin.diameter_mm)}, through {_names(held)} and the cylinder's end."
    return (
        f"Put {_names(held)} on the pin, {show.length(pin.diameter_mm)}, with a spacer of {show.length(_apart(work))} "
        "between them, square to it, and a second spacer as long where they stand: the near one on the near side, each "
        "with its marked face as its drawing says."
    )


def _home(work: Work, stands_on: str, show: Show) -> str:
    gaps = max(plate.fit.expected_gap_mm for plate in work.bracket.plates if plate.fit is not None)
    gap = "no gap" if gaps < NO_GAP_MM else f"a gap of {up_to(gaps, show)}"
    return (
        f"Bring the parts to the {stands_on} in their places. Expect {gap} along a notch; grind where it binds. A "
        "fillet does not fill a larger gap: note its station, and make the job again."
    )


def _welding(work: Work, report: JobReport, welded: Sequence[Plate], show: Show) -> Iterator[str]:
    legs = max(run.leg_mm for run in work.bracket.welds)
    yield (
        f"Tack {_names(welded)} at both ends and on both sides, each tack about {show.length(TACK_LEGS * legs)} long, "
        "its ends ground thin. Pin and spacers stay in."
    )
    yield (
        "Check again: line of the bar, station, height, spacing at the pin and at the far ends, square. What is off is "
        "cut loose at its tacks and set anew, never bent."
    )
    if (warm := _preheat(work.findings, show)) is not None:
        yield warm
    order = ", ".join(run.name for run in sorted(report.welds, key=lambda run: run.order))
    yield (
        f"Weld in this order: {order}; the leg to lay is in the table. Change sides after every run, and let both "
        "sides cool until they can be touched before the next, so that the pull of one run is met by the other."
    )


def _preheat(findings: Sequence[Finding], show: Show) -> str | None:
    """How warm the steel must be, where that was checked."""
    found = [finding for finding in findings if finding.of == PREHEAT and finding.decides]
    if not found:
        return None
    least = max(found, key=lambda finding: finding.demand)
    return (
        f"Steel at least {show.finding(least.demand, least.unit)} at every joint before the arc, and dry "
        f"({least.source}); a welding procedure that asks more goes before this."
    )


def _names(plates: Sequence[Plate]) -> str:
    names = [in_words(plate.name) for plate in plates]
    return " and ".join([", ".join(names[:-1]), names[-1]] if names[1:] else names)


def measured(work: Work, report: JobReport, show: Show) -> Table:
    """What is measured when all is done, what it should be, how far it may be off, and a blank for what it is."""
    rows = [row(*cells, "") for cells in _measures(work, report, show)]
    return Table("Measure when done", ("what", "should be", "within", "is"), tuple(rows))


def _measures(work: Work, report: JobReport, show: Show) -> Iterator[tuple[str, str, str]]:
    pin, place = work.bracket.pin, work.design.pin
    yield "pin's centre from station 0", show.length(place.station_mm), _within(place.station_mm, show)
    if not isinstance(work.rail, Tube):
        offset = work.rail.inline_offset_mm
        yield "straightedge to the cylinder's line", show.length(offset), _within(offset, show)
    if sum(plate.pin_hole is not None for plate in work.bracket.plates) > 1:
        play = f"over {show.length(pin.eye_width_mm)}, the eye goes in"
        yield "between the parts that hold the pin, at the pin and at their far ends", show.length(_apart(work)), play
    yield "pin through all of it", "slides by hand", "no hammer"
    yield "cylinder in line, from above and from the side", "straight", "by eye along a string"
    for words, legs in _legs(report, show).items():
        yield f"leg of {', '.join(legs)}, with a gauge, both faces", words, "not less; length as in the table"
    begins = barrel_start_mm(work.bracket, work.job.cylinder.body_diameter_mm)
    yield "pin's centre to the barrel, lock to lock", f"at least {show.bound(begins, up=True)}", "nothing touches"


def _legs(report: JobReport, show: Show) -> dict[str, list[str]]:
    """The runs of each leg that is to be laid."""
    found: dict[str, list[str]] = {}
    for run in sorted(report.welds, key=lambda run: run.order):
        found.setdefault(leg_to_lay(run, report.plates, show), []).append(run.name)
    return found


def _within(length_mm: float, show: Show) -> str:
    """How far a welded length may be off."""
    tolerance = welded_length(max(abs(length_mm), 2.0), WELDED_CLASS)
    return f"± {show.bound(tolerance.value, up=False)} (EN ISO 13920, class {WELDED_CLASS})"
