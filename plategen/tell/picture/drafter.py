"""The draughtsman's hand: words, dimension lines, leaders and centre lines at one lettering height.

A :class:`Drafter` knows only its lettering height in mm of the picture. Every method returns markup; nothing is kept.
"""

import cmath
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources

from plategen.draw.pen import Shape
from plategen.draw.svg import element, number, path_data, point, polyline_data, text_of
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.segment import Line, unit

WIDTH_OF_A_LETTER = 0.56
"""Mean advance of a letter or figure in heights of lettering: sans-serif figures are 0.556 em wide."""


UPRIGHT_RAD = math.radians(15)
"""Within this of upright, words read from the right whichever way their line leans."""


@cache
def style() -> str:
    """The style sheet of every picture."""
    return resources.files("plategen.tell.picture").joinpath("picture.css").read_text(encoding="utf-8")


def framed(
    name: str, title: str, description: str, bounds: tuple[float, float, float, float], content: Iterable[str]
) -> str:
    """A whole picture: ``bounds`` are smallest u and v, largest u and v; ``description`` says the picture in words."""
    u0, v0, u1, v1 = bounds
    head = element("title", text_of(title), id=f"{name}-title")
    head += element("desc", text_of(description), id=f"{name}-desc")
    return element(
        "svg",
        head + "".join(content),
        xmlns="http://www.w3.org/2000/svg",
        class_="picture",
        role="img",
        aria_labelledby=f"{name}-title",
        aria_describedby=f"{name}-desc",
        viewBox=" ".join(number(x) for x in (u0, -v1, u1 - u0, v1 - v0)),
    )


def alone(picture: str) -> str:
    """The picture as a file that stands by itself: its style goes inside it."""
    return picture.replace("<title", f"<style>{style()}</style><title", 1)


@dataclass(frozen=True, slots=True)
class Drafter:
    """Lettering height in mm of the picture; arrows and gaps follow from it."""

    height_mm: float

    def width(self, words: str) -> float:
        """About how wide the words come out, in mm of the picture."""
        return WIDTH_OF_A_LETTER * self.height_mm * len(words)

    def words(
        self,
        words: str,
        at: complex,
        *,
        anchor: str = "middle",
        kind: str = "",
        turn_rad: float = 0.0,
        size: float = 1.0,
    ) -> str:
        """Words whose half height lies at ``at``; ``turn_rad`` anticlockwise."""
        height = self.height_mm * size
        x, y = number(at.real), number(-at.imag)
        turn = f"rotate({number(-math.degrees(turn_rad))} {x} {y})" if turn_rad else None
        return element(
            "text",
            text_of(words),
            x=x,
            y=y,
            dy=number(0.35 * height),
            font_size=number(height),
            text_anchor=anchor,
            class_=kind or None,
            transform=turn,
        )

    def path(self, shape: Shape, kind: str) -> str:
        """An outline in one stroke."""
        return element("path", d=path_data(shape), class_=kind)

    def line(self, start: complex, end: complex, kind: str) -> str:
        """A straight stroke."""
        return self.path((Line(start, end),), kind)

    def hatch(self, chain: Chain, spacing: float, start: complex, end: complex) -> str:
        """Slanting strokes along a chain that has the cut material on its left, ``spacing`` apart.

        Each runs from ``start`` to ``end``, along the chain and to its left; all in heights of lettering.
        """
        h = self.height_mm
        places = chain.spaced(spacing * h)
        strokes = ((Line(at + start * tangent * h, at + end * tangent * h),) for at, tangent in places)
        return element("path", d=path_data(*strokes), class_="hatch")

    def band(self, start: complex, length: float, half: float) -> str:
        """A level band, ``half`` high over and under its middle line."""
        at, size = start + half * 1j, (number(length), number(2 * half))
        return element("rect", x=number(at.real), y=number(-at.imag), width=size[0], height=size[1], class_="band")

    def polyline(self, points: Sequence[complex], kind: str) -> str:
        """Straight strokes from point to point."""
        return element("path", d=polyline_data(points), class_=kind)

    def dot(self, at: complex, radius_mm: float, kind: str) -> str:
        """A small round mark."""
        return element("path", d=path_data(Circle(at, radius_mm)), class_=kind)

    def arrow(self, tip: complex, towards: complex) -> str:
        """A slender arrow head whose tip points along ``towards``."""
        back = tip - unit(towards) * 0.75 * self.height_mm
        half = unit(towards) * 1j * 0.14 * self.height_mm
        return element("path", d=f"M{point(tip)}L{point(back + half)}L{point(back - half)}Z", class_="arrow")

    def dimension(
        self, start: complex, end: complex, line_at: complex, words: str, *, along: complex | None = None
    ) -> str:
        """A dimension from ``start`` to ``end``, its line through ``line_at``, measured along ``along``.

        Left out, ``along`` is the direction from start to end. Where there is too little room between, what stands
        in parentheses is left out; then the arrows turn outwards, and where the words alone have no room either they
        move beside: of an upright one they then stand level on the side away from what is measured, so that
        neighbours' words never meet.
        """
        direction = unit(along if along is not None else end - start)
        feet = [_on_line(p, line_at, direction) for p in (start, end)]
        if (feet[1] - feet[0]).real * direction.real + (feet[1] - feet[0]).imag * direction.imag < 0.0:
            feet.reverse()
            start, end = end, start
        extensions = "".join(self._extension(p, foot) for p, foot in zip((start, end), feet, strict=True))
        room = abs(feet[1] - feet[0])
        if room < self._needed(words):
            words = re.sub(r" \([^)]*\)", "", words)
        at, outward, level = (feet[0] + feet[1]) / 2, direction, False
        tail, beside = 1.6 * self.height_mm, self.width(words) + 0.8 * self.height_mm
        if room >= beside:
            inside = room >= self._needed(words)
            outward, reach = (direction, 0.0) if inside else (-direction, tail)
            gap = direction * beside / 2
            lines = self.line(feet[0] - direction * reach, at - gap, "dimension")
            lines += self.line(at + gap, feet[1] + direction * reach, "dimension")
        else:
            outward = -direction
            lines = self.line(feet[0] - direction * tail, feet[1] + direction * tail, "dimension")
            at = feet[1] + direction * (tail + 0.3 * self.height_mm + self.width(words) / 2)
            if abs(direction.real) < 1e-9:
                away = -1.0 if feet[0].real < start.real else 1.0
                at, level = (feet[0] + feet[1]) / 2 + away * (0.4 * self.height_mm + self.width(words) / 2), True
        arrows = self.arrow(feet[0], -outward) + self.arrow(feet[1], outward)
        return extensions + lines + arrows + self.words(words, at, turn_rad=0.0 if level else readable(direction))

    def leader(self, tip: complex, elbow: complex, words: str, *, kind: str = "") -> str:
        """An arrow from words to a point: the words stand at the elbow, on the side away from the tip."""
        right = elbow.real >= tip.real
        shelf = elbow + (0.8 if right else -0.8) * self.height_mm
        at, anchor = shelf + (0.3 if right else -0.3) * self.height_mm, "start" if right else "end"
        lines = self.polyline((tip, elbow, shelf), "dimension leader") + self.arrow(tip, tip - elbow)
        return lines + self.words(words, at, anchor=anchor, kind=kind)

    def cross(self, circle: Circle, over_mm: float) -> str:
        """Centre lines of a round hole, reaching ``over_mm`` beyond its edge."""
        reach = circle.radius + over_mm
        c = circle.centre
        return self.line(c - reach, c + reach, "centre") + self.line(c - reach * 1j, c + reach * 1j, "centre")

    def _needed(self, words: str) -> float:
        """Room that words with an arrow on each side take."""
        return self.width(words) + 2.2 * self.height_mm

    def _extension(self, p: complex, foot: complex) -> str:
        if abs(foot - p) < 0.6 * self.height_mm:
            return ""
        out = unit(foot - p)
        return self.line(p + out * 0.3 * self.height_mm, foot + out * 0.4 * self.height_mm, "dimension")


def readable(direction: complex) -> float:
    """The angle at which words along ``direction`` read from below, or from the right when they stand upright."""
    angle = cmath.phase(direction)
    if angle > math.pi / 2 + UPRIGHT_RAD:
        return angle - math.pi
    return angle + math.pi if angle <= -math.pi / 2 + UPRIGHT_RAD else angle


def _on_line(p: complex, on: complex, direction: complex) -> complex:
    """The foot of ``p`` on the line through ``on``."""
    return on + direction * ((p - on) * direction.conjugate()).real
