"""The plates on their sheet as a picture, with what is left over."""

from collections.abc import Iterable

from plategen.cut.part import CutPart
from plategen.cut.table.cutting import Sheets
from plategen.draw.svg import element, path_data
from plategen.flat.loop import polygon
from plategen.flat.segment import cross
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter, framed

LETTERING = 0.022
"""Height of lettering in lengths of the sheet."""


def nest_pictures(groups: Iterable[Sheets], show: Show) -> str:
    """Every sheet of every thickness; empty when the job gives no sheet to cut from."""
    return "".join(
        nest_picture(group, number, show, f"nest-{which}")
        for which, group in enumerate(groups)
        if group.layout
        for number in range(group.layout.sheets)
    )


def nest_picture(sheets: Sheets, number: int, show: Show, name: str = "nest") -> str:
    """Sheet ``number``, from 0, with the plates that are cut from it, as SVG that stands in a page.

    ``name`` is the prefix of the picture's identifiers, its own in its page.
    """
    layout = sheets.layout
    assert layout is not None, "without a sheet there is nothing to draw"
    length, width = layout.sheet.length_mm, layout.sheet.width_mm
    drafter = Drafter(LETTERING * max(length, width))
    used = layout.used_mm[number]
    content = [drafter.path(polygon((0j, length + 0j, complex(length, width), width * 1j)), "stock")]
    if used < length - 1.0:
        content.append(drafter.line(complex(used, 0.0), complex(used, width), "centre"))
        content.append(drafter.words(f"left over {show.short(length - used)}", complex((used + length) / 2, width / 2)))
    for part in layout.placed(sheets.parts, number):
        content.append(_part(part))
        content.append(drafter.words(in_words(part.name), _label_place(part), kind="on-steel"))
    margin = 2.5 * drafter.height_mm
    content.append(
        drafter.dimension(0j, length + 0j, complex(0.0, -margin), show.short(length))
        + drafter.dimension(0j, width * 1j, complex(-margin, 0.0), show.short(width))
    )
    names = [part.name for part in layout.placed(sheets.parts, number)]
    description = (
        f"{len(names)} plates on {sheets.piece or 'a sheet'} of {show.length(length)} by {show.length(width)}, "
        f"{show.length(used)} of its length used: {', '.join(names)}."
    )
    bounds = (-2 * margin, -2 * margin, length + margin, width + margin)
    which = sheets.piece or f"Sheet {number + 1} of {layout.sheets}"
    title = f"{which}, {show.length(sheets.thickness_mm)} {sheets.plates[0].steel}"
    content.append(drafter.words(title, complex(length / 2, width + 0.4 * margin)))
    return framed(f"{name}-{number + 1}", title, description, bounds, content)


def _part(part: CutPart) -> str:
    drawn = element("path", d=path_data(*(cut.contour for cut in part.cuts)), class_="plate")
    for cut in part.cuts:
        for lead in (cut.lead_in, cut.lead_out):
            if lead:
                drawn += element("path", d=path_data(lead), class_="mark")
    return drawn


def _label_place(part: CutPart) -> complex:
    """The middle of the area between the part's corners."""
    corners = [segment.start for segment in part.outside.contour.segments]
    following = (*corners[1:], corners[0])
    areas = [cross(a, b) for a, b in zip(corners, following, strict=True)]
    middles = ((a + b) / 3 for a, b in zip(corners, following, strict=True))
    return sum((m * area for m, area in zip(middles, areas, strict=True)), 0j) / sum(areas)
