"""What fit notes changed, for the sheet: each plate's rail as first traced and as corrected, drawn and in numbers."""

from collections.abc import Iterator
from html import escape

from plategen.ground.show import Show
from plategen.rail.note.correction import Correction
from plategen.tell.picture.moved import moved_picture
from plategen.tell.table import off_fit
from plategen.work import Work


def fit_note_html(work: Work) -> str:
    """Markup for the sheet's revision section; empty when the job has no fit notes."""
    show = Show(work.job.units)
    return "".join(part for correction in work.corrections for part in _plate(work, correction, show))


def _plate(work: Work, correction: Correction, show: Show) -> Iterator[str]:
    plate = escape(correction.plate.replace("_", " "))
    trace = min(work.rail.traces, key=lambda fitted: abs(fitted.trace.plane_mm - correction.w_mm))
    yield f"<h3>Fit notes, {plate}</h3>"
    yield (
        f'<figure class="drawing" tabindex="0" role="group" aria-label="Fit notes of {plate}">'
        f"{moved_picture(trace, correction.at, correction.plate, show)}"
        "<figcaption>Dashed with rings: as first traced. Full with dots: as corrected.</figcaption></figure>"
    )
    caption = f"{plate}: offsets from the straightedge, before and after"
    heads = "".join(f'<th scope="col">{head}</th>' for head in ("station", "before", "after", "moved"))
    yield (
        f'<div class="wide slim" role="region" aria-label="{caption}" tabindex="0"><table>'
        f"<caption>{caption}</caption><thead><tr>{heads}</tr></thead><tbody>"
    )
    for reading in trace.trace.readings:
        station, after = reading.point.real, reading.point.imag
        moved = correction.at(station)
        cells = (
            show.short(station),
            show.length(after - moved),
            show.length(after),
            f"{off_fit(show, moved)} {show.units}",
        )
        yield "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"
    yield "</tbody></table></div>"
    yield f"<p>The notes agree with that to {escape(show.length(correction.left_mm))} (root mean square).</p>"
    for gap in correction.doubtful:
        yield (
            f"<p><strong>Doubtful, left out:</strong> round {gap.round}, station {show.short(gap.station_mm)}, "
            f"gap {escape(show.length(gap.gap_mm))}. Look again.</p>"
        )
