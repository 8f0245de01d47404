"""One plate's edge and holes alone, true scale, for a pen plotter or a vinyl cutter: every line in it is followed."""

from plategen.bracket.model import Plate
from plategen.draw.svg import element, number, path_data, text_of
from plategen.flat.loop import Contour
from plategen.work import Work

HAIRLINE_MM = 0.1
"""Width of the lines: what a cutter's program takes for one to follow."""


def outline_svg(work: Work, plate: Plate) -> str:
    """Edge, openings and holes of a plate as an SVG file as large as the plate, with no other line.

    Its one word is STOP, across the plate of a job that must not be built.
    """
    u0, v0, u1, v1 = plate.outline.bounds
    shapes: tuple[Contour, ...] = (plate.outline, *plate.openings, *(hole.circle for hole in plate.holes))
    title = element("title", text_of(f"{work.job.title}: {plate.name}, outline, true scale"))
    if work.stamp is not None:
        title += element("desc", text_of(work.stamp.words))
    stop = ""
    if work.stopped:
        size = number(0.2 * (u1 - u0))
        middle = {"x": number((u0 + u1) / 2), "y": number(-(v0 + v1) / 2)}
        stop = element("text", "STOP", **middle, font_size=size, text_anchor="middle", fill="#000")
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        + element(
            "svg",
            title + "".join(element("path", d=path_data(shape)) for shape in shapes) + stop,
            xmlns="http://www.w3.org/2000/svg",
            width=f"{number(u1 - u0)}mm",
            height=f"{number(v1 - v0)}mm",
            viewBox=" ".join(map(number, (u0, -v1, u1 - u0, v1 - v0))),
            fill="none",
            stroke="#000",
            stroke_width=number(HAIRLINE_MM),
        )
        + "\n"
    )
