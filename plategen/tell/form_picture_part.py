"""Further pictures of the measuring form: the rail cut across, the foot on it, and a tube with what stands on it."""

from plategen.draw.pen import Shape
from plategen.draw.svg import element, path_data
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, polygon
from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.tell.form_picture import HEIGHT_MM
from plategen.tell.picture.drafter import Drafter, framed


def _box(low: complex, high: complex) -> Shape:
    return polygon((low, complex(high.real, low.imag), high, complex(low.real, high.imag)))


def _ring(outside: Shape, inside: Shape) -> str:
    """Steel between two outlines."""
    return element("path", d=path_data(outside, inside), class_="plate")


def section_picture(show: Show) -> str:
    """The rail cut across, the pin across the page: its wall, and where the face under the foot begins and ends."""
    d = Drafter(HEIGHT_MM)
    channel = polygon((50 + 60j, 190 + 60j, 190 + 68j, 58 + 68j, 58 + 104j, 190 + 104j, 190 + 112j, 50 + 112j))
    content = [
        d.path(channel, "plate"),
        *(d.path(_box(complex(u, 12), complex(u + 8, 60)), "plate") for u in (92, 128)),
        d.line(30 + 22j, 222 + 22j, "centre"),
        d.words("pin", 226 + 22j, anchor="start", kind="soft"),
        d.words("bracket's plates", 142 + 46j, anchor="start", kind="soft"),
        d.words("flange", 100 + 74j, kind="soft"),
        d.words("web", 64 + 90j, anchor="start", kind="soft"),
        d.line(92 + 12j, 92 - 24j, "tick"),
        d.words("plane 0", 92 - 29j, kind="datum strong"),
        d.dimension(170 + 60j, 170 + 68j, 206 + 64j, "wall", along=1j),
        d.dimension(92 + 12j, 58 + 60j, -4j, "from", along=1 + 0j),
        d.dimension(92 + 12j, 190 + 60j, -16j, "to, at the free edge", along=1 + 0j),
        d.words("from: at the web's side by the foot; of a web or a box, from wall to wall", 120 + 122j, kind="soft"),
    ]
    told = "The rail cut across: thickness of its wall, where the face under the foot begins and ends along the pin."
    return framed("form-section", f"The rail, lengths in {show.units}", told, (0, -36, 240, 128), content)


def foot_picture(show: Show) -> str:
    """A plate of the bracket on the rail, by stations: where its foot begins and ends."""
    d = Drafter(HEIGHT_MM)
    rail = Chain((Line(8 + 90j, 226 + 90j),))
    plate = polygon((60 + 90j, 60 + 78j, 112 + 34j, 144 + 34j, 196 + 78j, 196 + 90j))
    content = [
        d.path(plate, "plate"),
        d.path(rail, "notch"),
        d.hatch(rail, 0.9, 0.1j, 0.7 + 1.1j),
        d.words("rail", 206 + 108j, kind="soft"),
        d.path(Circle(128 + 46j, 5.0), "reading"),
        d.words("pin", 128 + 58j, kind="soft"),
        d.line(20 + 96j, 20 - 12j, "tick"),
        d.words("station 0", 20 - 17j, kind="datum strong"),
        d.dimension(20 + 90j, 60 + 90j, 24j, "foot begins", along=1 + 0j),
        d.dimension(20 + 46j, 128 + 46j, 10j, "pin station", along=1 + 0j),
        d.dimension(20 + 90j, 196 + 90j, -4j, "foot ends", along=1 + 0j),
        d.words("plate of the bracket", 128 + 82j, kind="soft on-steel"),
        d.band(complex(10, 72), 222, 1.5),
        d.words("straightedge", 36 + 80j, kind="datum"),
        d.line(4 + 46j, 236 + 46j, "centre"),
        d.words("cylinder's line", 200 + 40j, kind="datum"),
        d.dimension(200 + 72j, 200 + 46j, 200 + 59j, "in-line offset", along=1j),
    ]
    told = "A plate on the rail: where its foot begins and ends, the pin's station and the in-line offset."
    return framed("form-foot", f"The foot and the pin, lengths in {show.units}", told, (0, -24, 240, 116), content)


def tube_picture(tube: str, show: Show) -> str:
    """A tube cut across: its outside size, its wall, and the corner of a square one."""
    d = Drafter(HEIGHT_MM)
    middle = 96 + 60j
    content = [d.cross(Circle(middle, 40.0), 8.0)]
    if tube == "round":
        content.append(_ring(Circle(middle, 40.0), Circle(middle, 32.0)))
    else:
        content += [
            _ring(_box(middle - 40 - 40j, middle + 40 + 40j), _box(middle - 32 - 32j, middle + 32 + 32j)),
            d.leader(middle + 39 + 39j, middle + 56 + 46j, "corner: radius outside"),
        ]
    content += [
        d.dimension(middle - 40, middle + 40, 6j, "across", along=1 + 0j),
        d.leader(middle + 36 + 6j, middle + 56 + 14j, "wall"),
        d.words("tube's axis", middle + 56, anchor="start", kind="datum"),
    ]
    told = "A tube cut across: its size across, its wall, its axis."
    return framed("form-tube", f"The tube, lengths in {show.units}", told, (0, 0, 240, 116), content)


def seat_picture(along: str, show: Show) -> str:
    """A tab on its tube, by stations along the cylinder: in-line offset, the pin's station, the foot."""
    d = Drafter(HEIGHT_MM)
    axis, line = 110.0, 30.0
    lies = along != "pin"
    low = 92.0 if lies else 98.0
    content = [d.path(polygon((70 + low * 1j, 100 + 20j, 156 + 20j, 186 + low * 1j)), "plate")]
    if lies:
        tube = (d.path(_box(8 + 92j, 226 + 128j), "plate"), d.line(4 + axis * 1j, 236 + axis * 1j, "centre"))
        named = d.words("tube's axis", 200 + 116j, kind="datum")
    else:
        tube = (d.path(Circle(128 + axis * 1j, 26.0), "plate"), d.cross(Circle(128 + axis * 1j, 26.0), 6.0))
        named = d.words("tube's axis", 166 + axis * 1j, anchor="start", kind="datum")
    content += [
        *tube,
        named,
        d.line(4 + line * 1j, 236 + line * 1j, "centre"),
        d.path(Circle(128 + line * 1j, 5.0), "reading"),
        d.words("cylinder's centre line", 200 + 24j, kind="datum"),
        d.words("tab", 166 + 64j, kind="soft", anchor="end"),
        d.line(20 + 134j, 20 - 14j, "tick"),
        d.words("station 0: a mark of yours", 24 + 136j, anchor="start", kind="datum strong"),
        d.dimension(complex(44, axis), complex(44, line), complex(44, line), "in-line offset"),
        d.dimension(20 + 30j, 70 + low * 1j, 6j, "foot begins", along=1 + 0j),
        d.dimension(20 + 30j, 128 + 30j, -8j, "pin station", along=1 + 0j),
        d.dimension(20 + 30j, 186 + low * 1j, -20j, "foot ends", along=1 + 0j),
    ]
    told = "A tab on its tube: from the tube's axis to the cylinder's centre line, and stations along the cylinder."
    return framed("form-set-up", f"Set-up, lengths in {show.units}", told, (0, -28, 240, 144), content)
