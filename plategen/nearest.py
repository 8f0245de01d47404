"""The nearest size of the user's with which a bracket that was refused can be built.

Of most refusals the size that is wrong is known, and which way it is wrong, but not by how much: whether an outline
closes is told only by drawing it. So sizes that the job itself gives, and the toe, are changed by growing steps both
ways until the bracket is built, and the step is then made as small as still builds it.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from plategen.design.design import toe_height
from plategen.ground.cure import Change, Cure
from plategen.ground.ended import open_end, what_is_wrong
from plategen.ground.message import Message, message, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.quantities import Table
from plategen.job.schema import fields
from plategen.nearest_seat import KEYS as SEAT_KEYS
from plategen.nearest_seat import with_seat_ways

STEPS = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256)
"""By how many shop sizes a size is changed, until one builds."""

_FOOT, _RISE, _RELIEF = "mount.foot", "mount.foot_rise", "bracket.relief"
_TOE, _CORNER, _OFFSET = "bracket.toe", "bracket.corner_radius", "mount.inline_offset"

OTHERS: dict[str, tuple[str, ...]] = {
    _TOE: (_TOE, _CORNER, _FOOT),
    _CORNER: (_CORNER, _TOE),
    _FOOT: (_FOOT, _RISE, _RELIEF, _TOE, _CORNER),
    _RISE: (_RISE,),
    _OFFSET: (_OFFSET,),
    "split.row_spacing": ("split.row_spacing", _FOOT, _RISE, _TOE),
    "split.height": ("bracket.nose_radius", "split.row_spacing", _OFFSET),
    "closing": ("closing.back_inset", "closing.bottom_inset", _TOE),
    "closing.back": ("closing.back_inset", _TOE, _OFFSET),
    "closing.bottom": ("closing.bottom_inset", _TOE, _OFFSET),
}
"""The keys a change of which may help, by the key that a refusal names; the likeliest first."""

_NAMES = {_FOOT: "foot", _OFFSET: "in-line offset", _RISE: "foot rise", _RELIEF: "relief", _CORNER: "corner radius"}


@dataclass(frozen=True, slots=True)
class _Way:
    """A size of the job, of one number or a foot's two, and which way each of them is changed."""

    key: str
    now_mm: tuple[float, ...]
    signs: tuple[int, ...]

    def by(self, steps: int, job: Job) -> Change | None:
        """The change by so many shop sizes, down to one of them; None where nothing would be left of a foot."""
        step_mm, sizes, units = PLATE_SIZES.step_mm(job.units), PLATE_SIZES, job.units
        to = tuple(
            sizes.down(mm, units) + step_mm * steps if sign > 0 else sizes.up(mm, units) - step_mm * steps
            for mm, sign in zip(self.now_mm, self.signs, strict=True)
        )
        if self.key == _FOOT:
            return Change(_FOOT, tuple(map(size, to))) if list(to) == sorted(set(to)) else None
        return Change(self.key, size(max(to[0], step_mm)))


def with_nearest(refusal: Refusal, job: Job, builds: Callable[[Job], object]) -> Refusal:
    """The refusal with the nearest size that builds the bracket, told and as its cure; as it is where none is found.

    It names the key that is to be changed, which need not be the one that it came with.

    Args:
        refusal: Of the job; one that knows by how much is left as it is.
        job: The job.
        builds: Builds the bracket of a changed job, or refuses.
    """
    if refusal.key in SEAT_KEYS and refusal.cure is not None and not refusal.cure.changes:
        return with_seat_ways(refusal, job, builds)
    if not open_end(refusal):
        return refusal
    for key in OTHERS.get(refusal.key, ()):
        found = _nearest(job, tuple(_ways(job, key)), builds)
        if found is not None:
            cure = Cure(_advice(found), (found,))
            told = message("{}; {} is the nearest that can be built", what_is_wrong(refusal), cure.advice)
            return Refusal(told, key, place=refusal.place, cure=cure, units=refusal.units)
    return refusal


def _advice(change: Change) -> Message:
    name = _NAMES.get(change.key) or change.key.split(".")[-1].replace("_", " ")
    name = f"an {name}" if name[0] in "aeiou" else f"a {name}"
    assert change.to is not None, "a nearest size is one"
    if not isinstance(change.to, tuple):
        return message("{} of {}", name, change.to)
    return message("{} from {}" + " to {}" * (len(change.to) - 1), name, *change.to)


def _ways(job: Job, key: str) -> Iterator[_Way]:
    """Longer and shorter, where the job gives the size at all."""
    given: object = job
    for name in key.split("."):
        if not isinstance(given, Table):
            return
        known = {field.key: field.name for field in fields(type(given))}
        given = getattr(given, known[name])
    if given is None and key == _TOE:
        given = toe_height(job, job.bracket.thickness_mm).mm
    now_mm = given if isinstance(given, tuple) else (given,)
    if None in now_mm:
        return
    for sign in (1, -1):
        yield _Way(key, now_mm, (-sign, sign)[: len(now_mm)] if key == _FOOT else (sign,))


def _nearest(job: Job, ways: Iterable[_Way], builds: Callable[[Job], object]) -> Change | None:
    """The smallest change along any of the ways that builds the bracket; None if none of them does."""
    before = 0
    for steps in STEPS:
        for way in ways:
            if (found := _built(job, way, steps, builds)) is None:
                continue
            least, most = before, steps
            while most - least > 1:
                middle = (least + most) // 2
                nearer = _built(job, way, middle, builds)
                least, most, found = (least, middle, nearer) if nearer else (middle, most, found)
            return found
        before = steps
    return None


def _built(job: Job, way: _Way, steps: int, builds: Callable[[Job], object]) -> Change | None:
    """The change by so many steps, if it builds the bracket."""
    change = way.by(steps, job)
    if change is None:
        return None
    try:
        builds(changed(job, (change,)))
    except Refusal:
        return None
    return change
