"""The marks of the drawing that can be taken hold of: sliders for the keyboard and for those who hear the page."""

from collections.abc import Iterator

from plategen.draw.svg import element, number, path_data, text_of
from plategen.flat.loop import Circle
from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.page.handles import feet, handles, pin_at, shift_of
from plategen.rail.trace import FittedTrace
from plategen.tell.picture.drafter import Drafter
from plategen.work import Work


def reading_marks(fitted: FittedTrace, drafter: Drafter, show: Show) -> Iterator[str]:
    """The readings of a trace, the doubtful ones ringed."""
    h, file = drafter.height_mm, fitted.trace.file
    for i, reading in enumerate(fitted.trace.readings):
        at, doubtful = reading.point, i in fitted.doubtful
        if not fitted.trace.round_corner:
            yield drafter.line(complex(at.real, 0), at, "grid")
        look = {"d": path_data(Circle(at, 0.3 * h)), "class_": "reading doubtful" if doubtful else "reading"}
        words = f"Reading at {show.length(at.real)}: {show.length(at.imag)}"
        yield element("path", "", **look, **_hold("reading", at, file=file, line=reading.line, words=words))
        if doubtful:
            yield drafter.dot(at, 0.95 * h, "ring")
            right = at.real < fitted.trace.readings[-1].point.real - 8 * h
            beside, anchor = (1.4 * h, "start") if right else (-1.4 * h, "end")
            yield drafter.words(f"read {show.short(at.real)} again", at + beside, anchor=anchor, kind="doubt")


def foot_marks(work: Work, drafter: Drafter, show: Show) -> Iterator[str]:
    """The ends of the foot."""
    h, shift = drafter.height_mm, shift_of(work)
    for i, foot in enumerate(feet(work)):
        at = foot + shift
        mark = drafter.polyline((at, at + (-0.8 + 1.6j) * h, at + (0.8 + 1.6j) * h, at), "knob")
        stem = drafter.line(at, at - 1.2j * h, "knob-stem")
        name, words = ("Foot begins", "Foot ends")[i], show.length(foot.real)
        held = _hold(f"foot {i}", at, words=f"{name}: {words}")
        yield element("g", mark + stem, class_="hold", **held, **_slider(name, foot.real, words))
        yield drafter.words(show.short(foot.real), at + 2.5j * h, kind="strong on-steel", size=1.0)


def pin_mark(work: Work, label_v_mm: float, drafter: Drafter, show: Show) -> str:
    """The pin, which is held where the job places it, and its label at a height."""
    pin, at, h = work.bracket.pin, pin_at(work), drafter.height_mm
    movable = work.job.mount.pin == "here"
    ring = drafter.dot(at, pin.diameter_mm / 2, "pin-hole")
    knob = drafter.dot(at, 0.62 * h, "knob")
    cross = [Line(at - d * 1.5 * h, at + d * 1.5 * h) for d in (1, 1j)]
    marks = "".join(drafter.path([line], "centre") for line in cross)
    words = f"pin {show.short(pin.centre[0])}, {show.short(work.rail.inline_offset_mm)} off" if movable else "pin"
    label = drafter.words(words, complex(at.real, label_v_mm), kind="datum strong", size=1.0)
    if not movable:
        return ring + marks + label
    words = f"station {show.length(pin.centre[0])}, in-line offset {show.length(work.rail.inline_offset_mm)}"
    slider = _slider("Pin", pin.centre[0], words)
    return element("g", ring + marks + knob, class_="hold", **_hold("pin", at, words=f"Pin: {words}"), **slider) + label


def slide_marks(work: Work, drafter: Drafter, show: Show) -> Iterator[str]:
    """What slides one way, as a lozenge that points there and back."""
    h = drafter.height_mm
    for each in handles(work):
        along, across = 0.95 * h * each.way, 0.5j * h * each.way
        lozenge = (each.at + along, each.at + across, each.at - along, each.at - across, each.at + along)
        words = show.length(each.value_mm)
        told = f"{each.name}: {words}"
        mark = element("title", text_of(told)) + drafter.polyline(lozenge, "knob")
        slider = _slider(each.name, each.value_mm, words)
        yield element(
            "g",
            mark,
            class_="hold",
            **_hold(each.what, each.at, words=told, way=f"{each.way.real:g} {each.way.imag:g}"),
            **slider,
        )


def _hold(what: str, at: complex, **more: object) -> dict[str, object]:
    """What the page's script needs to take hold of something: what it is, and where, mm."""
    extra = {f"data_{key}": str(value) for key, value in more.items()}
    return {"data_hold": what, "data_u": number(at.real), "data_v": number(at.imag), **extra}


def _slider(name: str, value_mm: float, words: str) -> dict[str, object]:
    """What makes a mark a control for the keyboard and for those who hear the page."""
    return {
        "tabindex": "0",
        "role": "slider",
        "aria_label": f"{name}: drag, or arrow keys",
        "aria_valuenow": number(round(value_mm, 2)),
        "aria_valuetext": words,
    }
