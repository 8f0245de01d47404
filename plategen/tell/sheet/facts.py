"""What the job asks, in a few lines beside the sheet's first picture."""

from plategen.design.front import front_of
from plategen.ground.show import Show
from plategen.work import Work


def facts(work: Work, show: Show) -> list[tuple[str, str]]:
    """What the job asks, in a few lines."""
    pin, welds = work.bracket.pin, work.bracket.welds
    legs = sorted({show.short(show.next_mark_mm(run.laid_leg_mm)) for run in welds})
    total = show.length(sum(run.length_mm for run in welds))
    held = "tabs" if work.job.style.stands_on == "tube" else "ears"
    return [
        ("style", work.bracket.style),
        ("plates", "; ".join(_plates(work, show))),
        ("weld", f"{total}, {' and '.join(legs)} leg" if welds else "none"),
        ("in-line offset", show.length(work.rail.inline_offset_mm)),
        ("pin station", _pin_station(work, show)),
        ("pin", show.length(pin.diameter_mm)),
        (f"between the {held}", show.length(pin.eye_width_mm + 2 * pin.gap_mm)),
        ("traces", ", ".join(work.job.rail.trace_files) or "none: a tube of known size"),
        *([("the rod's end", "a seat, by its own sheet: rod_end.html")] if work.rod_end else []),
        *([] if front_of(work.job, work.design.study) else [("machine's front", "not told: mark it on the picture")]),
    ]


def _pin_station(work: Work, show: Show) -> str:
    """Where the pin is, and whether the study has moved it there already."""
    station = show.length(work.design.pin.station_mm)
    written = show.length(work.job.mount.pin_station_mm)
    return station if written == station else f"{station}, moved already by the steering study; the job has {written}"


def _plates(work: Work, show: Show) -> list[str]:
    """How many plates of which thickness and steel are cut."""
    counts: dict[str, int] = {}
    for plate in work.own_plates:
        words = f"{show.short(plate.thickness_mm)} {show.units} {plate.steel}"
        counts[words] = counts.get(words, 0) + plate.count
    return [f"{count} of {words}" for words, count in counts.items()]
