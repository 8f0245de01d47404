"""Words read back from the strokes that a cutting file scribes, whatever their size, place and direction."""

import io
from collections.abc import Sequence

import ezdxf

from plategen.cut.letters import lettered
from plategen.cut.part import SCRIBE
from plategen.cut.scribe import HEIGHTS_MM, SMALLEST_MM

Stroke = tuple[complex, ...]
"""The corners of one stroke, in the order of scribing, in mm."""

NEAR_MM = 1e-3


def strokes_of(dxf: str, mm_per_unit: float) -> list[Stroke]:
    """Every stroke on the file's layer for scribing."""
    found = []
    for entity in ezdxf.read(io.StringIO(dxf)).modelspace().query(f'*[layer=="{SCRIBE}"]'):
        if entity.dxftype() == "LINE":
            points = [entity.dxf.start, entity.dxf.end]
        else:
            points = [(x, y) for x, y, *_ in entity.get_points("xy")]
            points += points[:1] if entity.closed else []
        found.append(tuple(complex(p[0], p[1]) * mm_per_unit for p in points))
    return found


def say(strokes: Sequence[Stroke], words: str) -> bool:
    """True when the words stand among the strokes, every stroke of every letter in its place."""
    for height in (*HEIGHTS_MM, *SMALLEST_MM):
        for turn in (1 + 0j, 1j):
            drawn = [
                tuple(p * turn for p in (chain.start, *(s.end for s in chain))) for chain in lettered(words, height)
            ]
            for first in strokes:
                shift = first[0] - drawn[0][0]
                if all(any(_same(stroke, letter, shift) for stroke in strokes) for letter in drawn):
                    return True
    return False


def _same(stroke: Stroke, letter: Stroke, shift: complex) -> bool:
    return len(stroke) == len(letter) and all(abs(a - b - shift) < NEAR_MM for a, b in zip(stroke, letter, strict=True))
