"""The process that tries something with the job for the page: runs a number, compares, revises, trims.

Each takes its seconds, so it is done beside the page, as :mod:`plategen.page.errand` has it. What it answers is markup
that says what the command of that name says, in the same words.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from types import MappingProxyType

import msgspec
from markupsafe import Markup

from plategen.checks.caution import SHORT
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.job.load import LoadedJob, job_of
from plategen.make import carry_through
from plategen.page.assets import template
from plategen.page.draft import Draft
from plategen.page.errand import Say, serve
from plategen.page.trial_order import Compare, Order, Reply, Revise, Source, Texts, Trim, Vary
from plategen.work import Work

MOST_VARIANTS = 400
"""A chart has room for no more, and nobody waits for them."""


def _loaded(of: Texts) -> LoadedJob:
    return job_of(of.job, Draft(of.job, MappingProxyType(of.files)).text_of, file=of.job_file)


def _work(of: Source, units: Units | None = None) -> Work:
    """A job carried through, in its own units or in ``units``, as `revise` has it of the later one."""
    if not isinstance(of, Texts):
        from plategen.delivery.record import Record
        from plategen.delivery.recorded import work_of

        return work_of(msgspec.json.decode(of.record.encode(), type=Record), of.file, units)
    loaded = _loaded(of)
    try:
        return carry_through(loaded.job.replaced(units=units or loaded.job.units), loaded.traces)
    except Refusal as refusal:
        raise refusal.in_units(loaded.job.units).at(of.job_file) from None


def vary(order: Vary, say: Say) -> Reply:
    """A number run over a range: a chart of each measure, and all of it as a table."""
    from plategen.page.trial_view import charts
    from plategen.tell.vary_table import head, row, summary
    from plategen.vary import judged, measured, read_axes, sweep_of

    loaded = _loaded(order.now)
    axes = read_axes(loaded.job, [order.ranged])
    sweep = sweep_of(loaded.job, loaded.traces, axes)
    if len(sweep) > MOST_VARIANTS:
        words = f"this makes {len(sweep)} brackets; {MOST_VARIANTS} or fewer, by a larger step, is right here"
        raise Refusal(words, axes[0].key)
    done = []
    for variant in judged(sweep, range(len(sweep))):
        done.append(variant)
        say(f"{len(done)} of {len(sweep)}", len(done) / len(sweep))
    now = None
    if (own := _own_number(loaded, axes[0].path)) is not None:
        now = measured((own,), carry_through(loaded.job, loaded.traces))
    drawn = [(title, Markup(chart)) for title, chart in charts(sweep, done, now)]
    rows = [row(sweep, variant) for variant in done]
    return _shown("varied", axes[0].key, drawn, head(sweep), rows, summary(done, len(sweep)))


def _own_number(loaded: LoadedJob, path: Sequence[str]) -> float | None:
    """The job's own number, None where it is left to a rule."""
    at: object = loaded.job
    for name in path:
        at = getattr(at, name)
    return at if isinstance(at, float) else None


def compare(order: Compare, say: Say) -> Reply:
    """Jobs beside each other: their brackets drawn over each other, and what each comes to."""
    from plategen.page.overlay import overlay
    from plategen.page.trial_view import columns

    works: list[tuple[str, Work | Refusal]] = []
    for job in order.jobs:
        say(job.name, len(works) / len(order.jobs))
        try:
            works.append((job.name, _work(job)))
        except Refusal as refusal:
            works.append((job.name, refusal))
    drawn = overlay([(name, work if isinstance(work, Work) else None) for name, work in works])
    units: list[Units] = [work.job.units for _, work in works if isinstance(work, Work)]
    return _shown("compared", Markup(drawn), columns(works, Show(units[0] if units else "in")))


def revise(order: Revise, say: Say) -> Reply:
    """What changed since an earlier job: what is cut or welded again, in the words of ``plategen revise``."""
    from plategen.revision.revised import revised
    from plategen.tell.revision import comparison_lines, kept_lines
    from plategen.tell.revision_page import comparison_parts

    say("building both", 0.0)
    before = _work(order.old)
    after = _work(order.now, before.job.units)
    keep = order.keep
    answer = revised(before, after, lambda words: say(words, 0.6), welds=keep == "welds", holes=keep == "holes")
    show = Show(after.job.units)
    lines = [*comparison_lines(answer.change, show), *(line for each in answer.kept for line in kept_lines(each, show))]
    lines.append(SHORT)
    return _shown("revised", order.old.name, lines, Markup("".join(comparison_parts(answer.change))))


def trim(order: Trim, data: bytes, say: Say) -> tuple[Reply, bytes]:
    """Whether a plate that is there serves the job, in the words of ``plategen trim``, with its files."""
    from plategen.delivery.deliver import stamp_after
    from plategen.delivery.trim_files import trim_files
    from plategen.delivery.zipped import zipped
    from plategen.revision.dxf_file import plate_for
    from plategen.revision.trim import freedom
    from plategen.revision.trim import trim as best_trim
    from plategen.tell.revision import trim_lines
    from plategen.tell.revision_page import trim_parts

    say("building what the job asks", 0.1)
    work = _work(order.now)
    units, show = work.job.units, Show(work.job.units)
    play_mm, turn_rad = freedom(order.play or "0", order.turn, units, "play, turn")
    told: list[str] = []
    if not order.file.lower().endswith(".dxf"):
        say("reading the photograph", 0.2)
        data, told = _drawing(order, data, units)
    say("trying the plate against the rail", 0.5)
    try:
        opened = plate_for(work.bracket, data)
        answer = best_trim(
            work, opened, name=order.called, play_mm=play_mm, most_turn_rad=turn_rad,
            may_turn_over=not order.this_face,
        )  # fmt: skip
        lines = [*told, *map(show.text, opened.notes), *trim_lines(answer, show)]
        stem = order.file.rpartition(".")[0] or order.file
        files = trim_files(replace(work, stamp=stamp_after(None, work)), answer, stem, lines, order.paper)
    except Refusal as refusal:
        raise refusal.in_units(units).at(order.file) from None
    parts = Markup("".join(trim_parts(answer)))
    shown = _shown("trimmed", order.file, answer.must_stop, [*lines, SHORT], parts)
    return msgspec.structs.replace(shown, files=tuple(files)), zipped(files)


def _drawing(order: Trim, data: bytes, units: Units) -> tuple[bytes, list[str]]:
    """The plate on a photograph as a DXF file, and what was read off it, in lines."""
    from plategen.ground.refusal import missing_library

    try:
        import cv2
        from PIL import Image  # noqa: F401
    except ModuleNotFoundError as missing:
        raise missing_library("photographs need", missing.name, "photo", "") from None
    cv2.setNumThreads(1)
    from plategen.photo.read import photographed, plate_of, sighted
    from plategen.photo.told import printed_bar, thickness_mm
    from plategen.tell.pattern import plate_lines, plate_text

    thick_mm = thickness_mm(order.thickness, units, "thickness")
    printed = printed_bar(order.bar, units, "bar") if order.bar.strip() else None
    try:
        read = plate_of(photographed([sighted(data, order.file)], thick_mm, printed, holes=True))
    except Refusal as refusal:
        raise refusal.in_units(units) from None
    return plate_text(read, units).encode(), plate_lines(read, Show(units))


def _shown(macro: str, *told: object) -> Reply:
    made: Callable[..., str] = getattr(template("trials.html").module, macro)
    return Reply(shown=str(made(*told)).strip())


def answer(told: bytes, data: bytes, say: Say) -> tuple[bytes, bytes]:
    """What the process writes: the reply, and a ZIP of files where there are any."""
    files = b""
    try:
        match msgspec.json.decode(told, type=Order):
            case Vary() as order:
                reply = vary(order, say)
            case Compare() as order:
                reply = compare(order, say)
            case Revise() as order:
                reply = revise(order, say)
            case Trim() as order:
                reply, files = trim(order, data, say)
    except Refusal as refusal:
        reply = Reply(refused=str(refusal))
    return msgspec.json.encode(reply), files


if __name__ == "__main__":
    serve(answer)
