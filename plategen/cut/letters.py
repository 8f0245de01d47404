"""Letters of single strokes, drawn for this project: cutting files may hold no text."""

from itertools import count, pairwise

from plategen.flat.chain import Chain
from plategen.flat.segment import Line

GRID_HIGH, GRID_STEP = 6, 6
"""Height of a capital and distance from letter to letter, in grid units."""

STROKES = {
    "A": "00 26 40|12 32",
    "B": "00 06 36 45 44 33 03|33 42 41 30 00",
    "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 44 42 20 00",
    "E": "46 06 00 40|03 33",
    "F": "46 06 00|03 33",
    "G": "45 36 16 05 01 10 30 41 43 23",
    "H": "00 06|40 46|03 43",
    "I": "16 36|26 20|10 30",
    "J": "46 41 30 10 01",
    "K": "00 06|46 02|13 40",
    "L": "06 00 40",
    "M": "00 06 23 46 40",
    "N": "00 06 40 46",
    "O": "10 01 05 16 36 45 41 30 10",
    "P": "00 06 36 45 44 33 03",
    "Q": "10 01 05 16 36 45 41 30 10|22 40",
    "R": "00 06 36 45 44 33 03|23 40",
    "S": "45 36 16 05 04 13 33 42 41 30 10 01",
    "T": "06 46|26 20",
    "U": "06 01 10 30 41 46",
    "V": "06 20 46",
    "W": "06 10 23 30 46",
    "X": "00 46|06 40",
    "Y": "06 23 46|23 20",
    "Z": "06 46 00 40",
    "0": "10 01 05 16 36 45 41 30 10|11 35",
    "1": "05 26 20|10 30",
    "2": "05 16 36 45 44 00 40",
    "3": "06 46 23 33 42 41 30 10 01",
    "4": "30 36 02 42",
    "5": "46 06 03 33 42 41 30 10 01",
    "6": "36 16 05 01 10 30 41 42 33 03",
    "7": "06 46 10",
    "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
    "9": "10 30 41 45 36 16 05 04 13 43",
    "-": "13 33",
    "_": "00 40",
    ".": "10 11",
    "/": "00 46",
    "+": "13 33|22 24",
}
"""Every sign as strokes on a grid four wide and six high: runs of its points, two digits each."""


def lettered(words: str, height_mm: float) -> tuple[Chain, ...]:
    """The strokes of words that begin at the origin and run along u, in capitals so high.

    Letters, figures and ``- _ . / +`` are drawn; anything else is left as a space.
    """
    unit_mm = height_mm / GRID_HIGH
    return tuple(
        Chain(tuple(Line(a, b) for a, b in pairwise(complex(int(p[0]) + at, int(p[1])) * unit_mm for p in run.split())))
        for at, letter in zip(count(step=GRID_STEP), words.upper())
        for run in filter(None, STROKES.get(letter, "").split("|"))
    )


def width_mm(words: str, height_mm: float) -> float:
    """How wide the words come out.

    >>> width_mm("AB", 6.0)
    10.0
    """
    return (len(words) * GRID_STEP - (GRID_STEP - 4)) * height_mm / GRID_HIGH if words else 0.0
