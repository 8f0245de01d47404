"""What fit notes changed, for the sheet: each plate's rail as first traced and as corrected, station by station."""

from collections.abc import Iterator
from html import escape

from plategen.rail.fit_note import Correction
from plategen.shop.work import Work
from plategen.show import Show


def fit_note_html(work: Work) -> str:
    """Markup for the sheet's revision section; empty when the job has no fit notes."""
    show = Show(work.job.units)
    return "".join(part for correction in work.corrections for part in _plate(correction, show))


def _plate(correction: Correction, show: Show) -> Iterator[str]:
    plate = escape(correction.plate.replace("_", " "))
    yield (
        f"<h3>Fit notes, {plate}</h3><p>The rail lies away from its first trace by this much (minus: towards the "
        "cylinder), straight between the stations.</p>"
    )
    yield "<table><thead><tr><th>station</th><th>before</th><th>after</th></tr></thead><tbody>"
    for station, moved in zip(correction.stations_mm, correction.moved_mm, strict=True):
        yield f"<tr><td>{show.short(station)}</td><td>0</td><td>{escape(show.length(moved))}</td></tr>"
    yield "</tbody></table>"
    yield f"<p>The notes agree with that to {escape(show.length(correction.left_mm))} (root mean square).</p>"
    for gap in correction.doubtful:
        yield (
            f"<p><strong>Doubtful, left out:</strong> round {gap.round}, station {show.short(gap.station_mm)}, "
            f"gap {escape(show.length(gap.gap_mm))}. Look again.</p>"
        )
