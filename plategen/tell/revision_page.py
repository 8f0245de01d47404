"""Comparisons and trims as one page that opens offline: old and new drawn over each other, and the words beside."""

from collections.abc import Iterable, Iterator, Sequence
from html import escape
from importlib.resources import files

from plategen.checks.caution import SHORT
from plategen.draw.svg import element, path_data
from plategen.flat.loop import Contour, Loop
from plategen.revision.change import PlateChange
from plategen.revision.compare import Comparison
from plategen.revision.trim import Trimmed


def comparison_page(title: str, change: Comparison, lines: Sequence[str]) -> str:
    """The page of a comparison."""
    return _page(title, lines, comparison_parts(change))


def comparison_parts(change: Comparison) -> list[str]:
    """The pictures of a comparison, plate by plate, as markup, and the key to them."""
    key = '<p class="key"><span class="o">before</span> and <span class="n">now</span>, as they lie on the rail</p>'
    return [key, *(part for plate in change.plates for part in _plate(plate))]


def trim_page(title: str, trimmed: Trimmed, lines: Sequence[str]) -> str:
    """The page of a trim: the plate as it is, what stays of it, and the trim line."""
    return _page(title, lines, trim_parts(trimmed))


def trim_parts(trimmed: Trimmed) -> list[str]:
    """The picture of a trim as markup, and the key to it."""
    shapes = [
        element("path", class_="new", d=path_data(trimmed.after, trimmed.hole, *trimmed.inside)),
        element("path", class_="old", d=path_data(trimmed.before)),
        *(element("path", class_="cut", d=path_data(cut)) for cut in trimmed.cuts),
    ]
    key = (
        '<p class="key"><span class="o">as it is</span>; <span class="c">cut here</span>; '
        '<span class="n">what stays</span>; the rail is above</p>'
    )
    return [key, _picture("trim", [trimmed.before, trimmed.after], shapes)]


def _plate(plate: PlateChange) -> Iterator[str]:
    yield f"<h2>{escape(plate.name.replace('_', ' '))}: {escape(plate.kind)}</h2>"
    outlines, shapes = [], []
    for of, shift, name in ((plate.new, plate.new_shift, "new"), (plate.old, plate.old_shift, "old")):
        if of is None:
            continue
        origin = of.placement.origin
        at = shift + complex(origin[0], origin[1]) if of.welded else 0j
        loop = of.outline.moved(shift=at)
        inside: list[Contour] = [hole.circle.moved(shift=at) for hole in of.holes]
        inside += [opening.moved(shift=at) for opening in of.openings]
        outlines.append(loop)
        shapes.append(element("path", class_=name, d=path_data(loop, *inside)))
    yield _picture(plate.name, outlines, shapes)


def _picture(name: str, outlines: Iterable[Loop], shapes: Iterable[str]) -> str:
    bounds = [loop.bounds for loop in outlines]
    left, low = min(b[0] for b in bounds) - 5, min(b[1] for b in bounds) - 5
    right, high = max(b[2] for b in bounds) + 5, max(b[3] for b in bounds) + 5
    box = f"{left:.3f} {-high:.3f} {right - left:.3f} {high - low:.3f}"
    title = element("title", escape(f"{name}, before and now"))
    return element("svg", title + "".join(shapes), role="img", viewBox=box)


def _page(title: str, lines: Sequence[str], parts: Iterable[str]) -> str:
    style = files("plategen.tell").joinpath("revision_page.css").read_text(encoding="utf-8")
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width"><title>{escape(title)}</title><style>{style}</style></head>\n<body>'
        f"<h1>{escape(title)}</h1>\n<pre>{escape(chr(10).join(lines))}</pre>\n{chr(10).join(parts)}\n<p>{escape(SHORT)}</p></body></html>\n"
    )
