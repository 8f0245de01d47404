"""What could be changed about a shape: one piece at a time, each change a start for the solver."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from plategen.rail.fit.candidate import Sample
from plategen.rail.fit.model import Shape, feet, frames, names

BEND_SHARES = (0.1, 0.3, 0.7)
"""Shares of the shorter flat beside a corner that a bend in its place may take at the start."""

MERGED_SHARE = 0.25
"""What lies between two corners is tried as one bend up to this share of the trace; longer runs have flats."""


def other_words(shape: Shape, sample: Sample) -> Iterator[Shape]:
    """Corners rounded, bends sharpened, ends straightened, neighbouring corners and bends merged to one."""
    word = shape.word
    for index in (0, len(word) - 1):
        if word[index] == "A" and len(word) > 1:
            yield _straightened(shape, index)
    for index, letter in enumerate(word):
        if letter == "C" and word[index - 1] == word[index + 1] == "L":
            yield _rounded(shape, index, sample)
        if letter == "A" and 0 < index < len(word) - 1 and word[index - 1] == word[index + 1] == "L":
            yield _sharpened(shape, index)
        if letter != "L" and index > 0:
            yield from _merged(shape, index, sample.span_mm * MERGED_SHARE)


def _split(shape: Shape) -> list[dict[str, float]]:
    """The values piece by piece."""
    pieces: list[dict[str, float]] = [{} for _ in shape.word]
    for (index, name), value in zip(names(shape.word), shape.values[2:], strict=True):
        pieces[index][name] = float(value)
    return pieces


def _joined(shape: Shape, word: str, pieces: list[dict[str, float]]) -> Shape:
    """A shape with the same start from values piece by piece."""
    values = [*shape.values[:2], *(pieces[index][name] for index, name in names(word))]
    return replace(shape, word=word, values=np.array(values))


def _rounded(shape: Shape, index: int, sample: Sample) -> Shape:
    """A bend in place of a corner, with the most promising of a few lengths.

    A bend of turn t and length l takes ``(l/t) tan(t/2)`` off the flats beside it.
    """
    word = shape.word[:index] + "A" + shape.word[index + 1 :]
    pieces = _split(shape)
    turn = pieces[index]["turn"]
    room = min(pieces[i].get("length", sample.span_mm / 2) for i in (index - 1, index + 1))
    tried = []
    for share in BEND_SHARES:
        off = share * room
        length = off * abs(turn / math.tan(turn / 2)) if turn else 2.0 * off
        changed = [dict(p) for p in pieces]
        changed[index]["length"] = length
        for side in (index - 1, index + 1):
            if "length" in changed[side]:
                changed[side]["length"] -= off
        start = _joined(shape, word, changed)
        squares = float(sample.weights @ feet(frames(start), sample.points).distance ** 2)
        tried.append((squares, share, start))
    return min(tried, key=lambda t: t[:2])[2]


def _sharpened(shape: Shape, index: int) -> Shape:
    """A corner in place of a bend."""
    pieces = _split(shape)
    turn, length = pieces[index]["turn"], pieces[index].pop("length")
    off = length * abs(math.tan(turn / 2) / turn) if turn else length / 2
    for side in (index - 1, index + 1):
        if "length" in pieces[side]:
            pieces[side]["length"] += off
    return _joined(shape, shape.word[:index] + "C" + shape.word[index + 1 :], pieces)


def _straightened(shape: Shape, index: int) -> Shape:
    """A flat in place of an arc at an end."""
    return _joined(shape, shape.word[:index] + "L" + shape.word[index + 1 :], _split(shape))


def _merged(shape: Shape, first: int, longest_mm: float) -> Iterator[Shape]:
    """One bend in place of all between the corner or bend at ``first`` and a later one, where all turn the same way.

    Exact readings of a bend can be cut into a few short flats or into two arcs; taken one at a time neither helps.
    """
    word, pieces = shape.word, _split(shape)
    turn, length = pieces[first].get("turn", 0.0), pieces[first].get("length", 0.0)
    for last in range(first + 1, len(word) - 1):
        length += pieces[last].get("length", 0.0)
        if word[last] == "L":
            continue
        if length > longest_mm or turn * pieces[last].get("turn", 0.0) <= 0.0:
            return
        turn += pieces[last]["turn"]
        bend = {"turn": turn, "length": length}
        merged = [*pieces[:first], bend, *pieces[last + 1 :]]
        yield _joined(shape, word[:first] + "A" + word[last + 1 :], merged)
