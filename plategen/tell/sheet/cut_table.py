"""The cutting table's work in the words of the sheet."""

from collections.abc import Iterator

from plategen.cut.scribe import CROSSED
from plategen.cut.table.notes import CutNotes, PlateNote, SheetNote
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.job.cutting import Process
from plategen.tell.sheet.cells import Cell, Table, row

NOTHING_LEFT_MM = 0.05
"""Less than this in an inner corner is nothing that a file would find."""


BY_HAND_WORDS: dict[Process, tuple[str, ...]] = {
    "hand torch": (
        "Cut by hand from the true-scale paper: run the torch in the grey line, leave the black one, and grind to it. "
        "Tack a straightedge or a template beside a long cut.",
        "Grind every drag line and gouge out of a cut edge, along the edge: a crack starts there "
        "(common practice, no source).",
        "The cutting files are at finished size, for a shop that has a table after all.",
    ),
    "saw and drill": (
        "Sawn and drilled from the true-scale paper: punch and drill the ringed corners first, saw beside the line, "
        "and file to it.",
        "The cutting files are at finished size, for a shop that has a table after all.",
    ),
}
"""What is done by hand in place of a table."""


def cut_table(notes: CutNotes, show: Show) -> Table:
    """What to expect of each plate when it comes off the table."""
    return Table(
        "What to expect of the cut (ISO 9013)",
        ("plate", "pierces", "cut, leads included", "size may be off by", "edge may lean", "left in inner corners"),
        tuple(_row(note, show) for note in notes.plates),
    )


def cut_words(notes: CutNotes, show: Show) -> tuple[str, ...]:
    """What the table's operator must know."""
    words = list(BY_HAND_WORDS.get(notes.process, ())) or [
        "The cutting files already allow for the kerf: switch the controller's own compensation off."
        if notes.compensated
        else "The cutting files are at finished size: the controller allows for the kerf."
    ]
    if notes.led:
        words.append(
            "Leads are in the files on the layer LEAD, away from the notch: switch the controller's own leads off."
        )
    words.extend(_source_words(notes, show))
    words.extend(_hole_words(notes, show))
    unnamed = [in_words(note.name) for note in notes.plates if note.unnamed]
    if unnamed:
        words.append(f"No room to scribe a name on {', '.join(unnamed)}: mark by hand.")
    crossed = [in_words(note.name) for note in notes.plates if note.crossed]
    if crossed:
        words.append(f"No room to scribe STOP on {', '.join(crossed)}: {CROSSED} stand for it.")
    words.extend(_rack_words(notes, show))
    for group in notes.groups:
        time = group.time
        if time.minutes is None:
            estimate = f"no estimate of the time: {show.text(time.source)}"
        else:
            estimate = f"about {max(1, round(time.minutes))} min without scribing ({time.source})"
        pierces = f", {time.pierces} {'pierce' if time.pierces == 1 else 'pierces'}" if time.pierces else ""
        words.append(f"{_of(group, show)}: {show.length(time.length_mm)} of cut{pierces}, {estimate}.")
    if notes.sheets:
        each = (f"{file} ({show.length(thickness)} {steel})" for file, thickness, steel in notes.sheets)
        words.append(f"Each sheet by itself, its corner at the origin: {', '.join(each)}.")
    for group in notes.groups:
        if group.yield_share is not None:
            sheets = f"{group.count} {'sheet' if group.count == 1 else 'sheets'}, " if not group.piece else ""
            words.append(f"{_of(group, show)}: {sheets}{group.yield_share:.0%} of the length used up becomes plates.")
    return tuple(words)


def _of(group: SheetNote, show: Show) -> str:
    """The sheet or piece that is meant."""
    return (
        f"{group.piece}, {show.length(group.thickness_mm)}"
        if group.piece
        else f"{show.length(group.thickness_mm)} plate"
    )


def _rack_words(notes: CutNotes, show: Show) -> Iterator[str]:
    """Which piece of the shop's rack each plate comes from, and what is to be bought."""
    for group in notes.groups:
        plates = ", ".join(in_words(name) for name in group.plates)
        if group.piece:
            yield f"From the rack, {group.piece}: {plates}."
        elif notes.racked:
            yield (
                f"No piece in the rack takes {plates}: {show.length(group.thickness_mm)} {group.steel} is to be bought."
            )


def _hole_words(notes: CutNotes, show: Show) -> Iterator[str]:
    """What is to be done to holes; plates of which the same is to be said stand together."""
    plates_of: dict[str, list[str]] = {}
    for note in notes.plates:
        for words in _hole_words_of(note, show):
            plates_of.setdefault(words, []).append(in_words(note.name))
    return (f"{', '.join(plates)}: {words}" for words, plates in plates_of.items())


def _hole_words_of(note: PlateNote, show: Show) -> Iterator[str]:
    if note.drilled:
        yield f"punched, to be drilled: {', '.join(note.drilled)}."
    if note.drilled_corners:
        count = len(note.drilled_corners)
        yield f"{count} {'corner is' if count == 1 else 'corners are'} drilled before sawing."
    if note.reamed:
        yield f"cut under size, to be reamed: {', '.join(note.reamed)}."
    if note.tapered and note.lean_mm is not None:
        bound = ", ".join(note.tapered) if len(note.tapered) > 1 else "what goes through it"
        yield (
            f"each side of a hole may lean by {show.bound(note.lean_mm, up=True)}, more than the play of "
            f"{bound} allows. Check it with the pin or bolt; if it binds, drill it, or cut it under "
            "size and ream it."
        )


def _source_words(notes: CutNotes, show: Show) -> Iterator[str]:
    """Where size and lean are from, once for all plates that have them from the same."""
    plates_of: dict[str, list[str]] = {}
    for note in notes.plates:
        plates_of.setdefault(show.text(note.source), []).append(in_words(note.name))
    for source, plates in plates_of.items():
        of = "" if len(plates_of) == 1 else f" of {', '.join(plates)}"
        yield f"Size, and lean over the thickness less a margin at each face{of}: {source}."


def _row(note: PlateNote, show: Show) -> tuple[Cell, ...]:
    size = "no limit given" if note.size_mm is None else f"± {show.bound(note.size_mm, up=True)}"
    lean = "no limit given"
    if note.lean_mm is not None and note.lean_rad is not None:
        lean = f"{show.bound(note.lean_mm, up=True)}, {show.angle(note.lean_rad)}"
    left = show.bound(note.left_in_corners_mm, up=True) if note.left_in_corners_mm > NOTHING_LEFT_MM else "none"
    return row(in_words(note.name), str(note.pierces), show.length(note.length_mm), size, lean, left)
