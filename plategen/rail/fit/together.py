"""The traces of one rail fitted together, where their own fits do not agree of what pieces it is.

A rail is one piece of steel: what is a bend in one plane is that bend in the next, and its radius is nearly the same.
A trace by itself may not show it: where no reading lies within a bend, a corner explains the trace as well. So where
the words of the fits differ, every word that one of them found, and every mixture of their bends and corners, is
tried for all traces at once. The trace that was read best comes first; what it says of a bend's radius is known when
the next is fitted, but for the little by which a bend's radius drifts, so that the scores
(:mod:`~plategen.rail.fit.score`) of traces that share a word add up to the score of the rail. Its pieces cost once.

What the rail is not taken for may be right all the same: a trace that takes over a word has the others as rivals.

Against that stands each trace by itself, with a word of its own, as where a doubler or a dent lies in one plane only.
Fits that agree are left as they are, and so is a rail with a free edge or a bead, which has no pieces to share.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby, product

import numpy as np

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, angle
from plategen.rail.fit.model import RISERS, Shape, bends, feet, frames
from plategen.rail.fit.score import Candidate, Sample, ranges, settled, weigh, wild_beyond_mm, word_cost
from plategen.rail.fit.search import rounded, sharpened
from plategen.rail.fit.solve import expected_radii
from plategen.rail.fit.spread import among
from plategen.rail.fit.trace import fit_trace, sample_of
from plategen.rail.fit.unread_bend import TOLD_SPREAD
from plategen.rail.trace import FittedTrace, Riser

RADIUS_DRIFT = 0.15
"""By how much, one standard deviation of its logarithm, a bend's radius drifts from one trace to the next (common
practice, no source)."""

APART_COST = 6.0
"""For each further word: one rail in twenty is of other pieces in one plane than in the next."""

MOST_MIXED = 3
"""Joints where some fits have a bend and others a corner, of which every mixture is tried."""

TANGENT_RAD = 1e-7
"""Edges of a fitted chain that turn by more from one to the next meet in a corner."""


@dataclass(frozen=True, slots=True)
class _Own:
    """A trace with its own fit's shape."""

    fitted: FittedTrace
    sample: Sample
    candidate: Candidate

    @property
    def word(self) -> str:
        return self.candidate.word

    def weighed(self, shape: Shape) -> Candidate | None:
        """Another shape of the trace, by the readings that its own fit kept."""
        return weigh(shape, self.candidate.kept, self.sample, self.fitted.read_error_mm)

    def fitted_as(self, found: Candidate, rivals: Iterable[tuple[float, Candidate]]) -> FittedTrace:
        """The trace fitted as that candidate; its own fit, which has its rivals, where it is that.

        Args:
            found: The candidate.
            rivals: What else the rail may be here: how much dearer, and as which candidate.
        """
        if found is self.candidate:
            return self.fitted
        fitted = fit_trace(self.fitted.trace, lambda sample: settled(found, sample))
        return among(fitted, [(dearer, rival.off) for dearer, rival in rivals if rival is not found])


def fit_together(fits: Sequence[FittedTrace]) -> tuple[FittedTrace, ...]:
    """The fits of one rail's traces, of the same pieces unless the readings say that the rail is not.

    Args:
        fits: Each trace fitted by itself, in their order along the pin.
    """
    if any(f.model == "free" or f.beads or any(r.wide for r in f.risers) for f in fits):
        return tuple(fits)
    shapes = [shape_of(fitted.chain, fitted.risers) for fitted in fits]
    if len({shape.word for shape in shapes}) == 1:
        return tuple(fits)
    owns = list(filter(None, map(_own, fits, shapes)))
    if len(owns) < len(fits):
        return tuple(fits)
    words = {own.word for own in owns}
    apart = sum(own.candidate.score for own in owns) + APART_COST * (len(words) - 1)
    shared = [(_score(found, word), word, found) for word in _common_words(words) if (found := _as_one(word, owns))]
    score, _, together = min(shared, key=lambda s: s[:2], default=(math.inf, "", []))
    if score >= apart:
        return tuple(fits)
    others = [(apart, [own.candidate for own in owns]), *((dear, found) for dear, _, found in shared)]
    return tuple(
        own.fitted_as(found, ((dear - score, other[index]) for dear, other in others if other is not together))
        for index, (own, found) in enumerate(zip(owns, together, strict=True))
    )


def alike(a: FittedTrace, b: FittedTrace) -> bool:
    """Whether two fits are of the same flats, joints and steps, a bend perhaps a corner in one; or both free edges."""
    if "free" in (a.model, b.model):
        return a.model == b.model
    return len({_bones(fitted.chain, fitted.risers) for fitted in (a, b)}) == 1


@lru_cache(maxsize=64)
def _bones(chain: Chain, risers: tuple[Riser, ...]) -> str:
    """What two fits must have in common to be alike; asked anew of the same rail for every variant of a bracket."""
    return _skeleton(shape_of(chain, risers).word)


def shape_of(chain: Chain, risers: Iterable[Riser] = ()) -> Shape:
    """A fitted chain as a walk, to be fitted again."""
    up = {riser.edge: "U" if riser.height_mm > 0.0 else "D" for riser in risers}
    word, values = "", [0.0, 0.0]
    edges, last = chain.segments, len(chain.segments) - 1
    ahead = edges[0].start_tangent
    for index, edge in enumerate(edges):
        letter = up.get(index) or ("A" if isinstance(edge, Arc) else "L")
        if letter not in RISERS:
            turn = angle(edge.start_tangent / ahead)
            if abs(turn) > TANGENT_RAD:
                word += "C"
                values.append(turn)
            ahead = edge.end_tangent
        word += letter
        if letter == "A":
            values.append(edge.sweep_rad / edge.length if index in (0, last) else edge.sweep_rad)
        if index < last:
            values.append(edge.length)
    return Shape(word, edges[0].start, edges[0].start_tangent, np.array(values))


def _own(fitted: FittedTrace, shape: Shape) -> _Own | None:
    """A trace's own fit, weighed; None if it is not one of flats and bends that can be weighed."""
    sample = sample_of(fitted.trace)
    kept = np.abs(feet(frames(shape), sample.points).distance) < wild_beyond_mm(fitted.read_error_mm)
    # a bend that its own fit found needs no other proof
    radii = expected_radii(shape)
    if _is_told(fitted):
        radii = tuple(
            (abs(float(shape.values[length] / shape.values[turn])), TOLD_SPREAD) for turn, length in bends(shape.word)
        )
    candidate = weigh(replace(shape, radii=radii), kept, sample, fitted.read_error_mm)
    return _Own(fitted, sample, candidate) if candidate else None


def _common_words(words: Iterable[str]) -> Iterator[str]:
    """Every word, and every mixture of the bends and corners of those that are alike but for these."""
    for _, group in groupby(sorted(words, key=_skeleton), key=_skeleton):
        letters = [sorted(set(column)) for column in zip(*group, strict=True)]
        if sum(len(choice) > 1 for choice in letters) <= MOST_MIXED:
            yield from map("".join, product(*letters))


def _skeleton(word: str) -> str:
    """The word with its inner bends and corners alike."""
    return word[:1] + word[1:-1].replace("A", "C") + word[-1:] if len(word) > 1 else word


def _score(found: Sequence[Candidate], word: str) -> float:
    """The score of traces that share a word, whose pieces cost once."""
    return sum(c.score for c in found) - sum(word_cost(word, len(c.kept)) for c in found[1:])


def _as_one(word: str, owns: Sequence[_Own]) -> list[Candidate] | None:
    """All traces by one word, each knowing what those before say of the bends; None if one cannot be.

    No trace is given a riser that its own fit did not find, for a plate on the rail ends where it ends; and one whose
    bend is told stays as it is.
    """
    if any(_risers(own.word) != _risers(word) or (_is_told(own.fitted) and own.word != word) for own in owns):
        return None
    found: dict[int, Candidate] = {}
    radii: tuple[tuple[float, float], ...] = ()
    for index in sorted(
        range(len(owns)),
        key=lambda i: (_unlike(owns[i].word, word), not _is_told(owns[i].fitted), -len(owns[i].sample.points)),
    ):
        own = owns[index]
        if own.word == word and (not found or _is_told(own.fitted)):
            found[index] = own.candidate
        else:
            starts = [own.candidate.solved.shape, *(c.solved.shape for c in found.values())]
            shapes = filter(None, (_turned_into(word, start, own.sample) for start in starts))
            tried = (own.weighed(replace(shape, radii=radii)) for shape in shapes)
            best = min(filter(None, tried), key=lambda c: c.score, default=None)
            if best is None:
                return None
            found[index] = best
        radii = _known_radii(found[index], own.sample)
    return [found[index] for index in range(len(owns))]


def _is_told(fitted: FittedTrace) -> bool:
    return fitted.trace.bend is not None and fitted.trace.bend.told


def _risers(word: str) -> str:
    return "".join(letter for letter in word if letter in RISERS)


def _unlike(one: str, other: str) -> int:
    return sum(a != b for a, b in zip(one, other, strict=False)) + abs(len(one) - len(other))


def _turned_into(word: str, shape: Shape, sample: Sample) -> Shape | None:
    """The shape with some of its bends sharpened and corners rounded; None if that does not make it of the word."""
    if _skeleton(shape.word) != _skeleton(word):
        return None
    for index, letter in enumerate(word):
        if shape.word[index] != letter:
            shape = rounded(shape, index, sample) if letter == "A" else sharpened(shape, index)
    return shape


def _known_radii(candidate: Candidate, sample: Sample) -> tuple[tuple[float, float], ...]:
    """What the next trace may expect of every bend's radius: median, mm, and the spread of its logarithm."""
    shape = candidate.solved.shape
    reach = ranges(shape, sample.span_mm, sample.step_mm)
    known = np.linalg.inv(candidate.solved.information / candidate.error_mm**2 + np.diag(reach**-2))
    radii = []
    for (turn, length), (_, usual) in zip(bends(shape.word), expected_radii(shape), strict=True):
        slope = np.zeros(len(shape.values))
        slope[turn], slope[length] = -1.0 / shape.values[turn], 1.0 / shape.values[length]
        spread = min(math.sqrt(float(slope @ known @ slope)), usual)
        radii.append((abs(float(shape.values[length] / shape.values[turn])), math.hypot(spread, RADIUS_DRIFT)))
    return tuple(radii)
