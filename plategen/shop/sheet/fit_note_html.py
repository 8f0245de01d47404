"""What fit notes changed, for the sheet: each plate's rail as first traced and as corrected, drawn and in numbers."""

from collections.abc import Iterator
from html import escape

from plategen.rail.fit_note import Correction
from plategen.rail.trace import FittedTrace
from plategen.shop.picture.svg import element, number, path_data
from plategen.shop.work import Work
from plategen.show import Show

_AROUND_MM = 8.0


def fit_note_html(work: Work) -> str:
    """Markup for the sheet's revision section; empty when the job has no fit notes."""
    show = Show(work.job.units)
    return "".join(part for correction in work.corrections for part in _plate(work, correction, show))


def _plate(work: Work, correction: Correction, show: Show) -> Iterator[str]:
    plate = escape(correction.plate.replace("_", " "))
    trace = min(work.rail.traces, key=lambda fitted: abs(fitted.trace.plane_mm - correction.w_mm))
    yield f"<h3>Fit notes, {plate}</h3>"
    yield _picture(trace, correction)
    yield (
        "<p>Rings: the rail as first traced; dots and line: as corrected, the straightedge below. "
        "Offsets from the straightedge, before and after:</p>"
        "<table><thead><tr><th>station</th><th>before</th><th>after</th><th>moved</th></tr></thead><tbody>"
    )
    for reading in trace.trace.readings:
        station, after = reading.point.real, reading.point.imag
        moved = correction.at(station)
        cells = (show.short(station), show.length(after - moved), show.length(after), show.length(moved))
        yield "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"
    yield "</tbody></table>"
    yield f"<p>The notes agree with that to {escape(show.length(correction.left_mm))} (root mean square).</p>"
    for gap in correction.doubtful:
        yield (
            f"<p><strong>Doubtful, left out:</strong> round {gap.round}, station {show.short(gap.station_mm)}, "
            f"gap {escape(show.length(gap.gap_mm))}. Look again.</p>"
        )


def _picture(fitted: FittedTrace, correction: Correction) -> str:
    after = [reading.point for reading in fitted.trace.readings]
    before = [p - 1j * correction.at(p.real) for p in after]
    points = [*after, *before]
    left, right = min(p.real for p in points) - _AROUND_MM, max(p.real for p in points) + _AROUND_MM
    low, high = min(p.imag for p in points) - _AROUND_MM, max(p.imag for p in points) + _AROUND_MM
    shapes = [element("path", class_="fit", d=path_data(fitted.chain.segments))]
    shapes += [element("circle", class_="joint", cx=p.real, cy=-p.imag, r=1.6) for p in before]
    shapes += [element("circle", class_="reading", cx=p.real, cy=-p.imag, r=1.2) for p in after]
    box = " ".join(number(x) for x in (left, -high, right - left, high - low))
    name = escape(f"{correction.plate}: the rail before and after the fit notes")
    return f'<svg class="picture" role="img" viewBox="{box}"><title>{name}</title>{"".join(shapes)}</svg>'
