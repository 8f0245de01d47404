"""What a page may ask to be changed, each kind a frozen value.

Whoever changes a value says what stood there before, so that what another tab did meanwhile is never undone unseen.
"""

from typing import Annotated, Literal, TypeAlias

import msgspec

from plategen.delivery.starter import Start
from plategen.ground.unit import Units
from plategen.page.trace_edit import MOST_ROWS
from plategen.paper.size import USUAL_PAPER

MOST_TEXT = 300
"""Signs of any text that is asked."""

Text = Annotated[str, msgspec.Meta(max_length=MOST_TEXT)]
Cells = tuple[Text, Text, Text]
"""A text, and the cells of a reading: station, offset, note."""


class Set(msgspec.Struct, frozen=True, tag="set", tag_field="do", forbid_unknown_fields=True):
    """Write a value; an empty text leaves the key out. ``was`` is what stood there."""

    path: Text
    text: Text
    was: Text | None = None


class SetUnits(msgspec.Struct, frozen=True, tag="units", tag_field="do", forbid_unknown_fields=True):
    """Write the job's units: of numbers without one, the sizes stay (each with its unit beside it), or the numbers."""

    to: Units
    keep: Literal["sizes", "numbers"]


class Add(msgspec.Struct, frozen=True, tag="add", tag_field="do", forbid_unknown_fields=True):
    """Add a table, an entry to a list of tables, or (with ``name``) a name to a table of names."""

    path: Text
    name: Text = ""


class Remove(msgspec.Struct, frozen=True, tag="remove", tag_field="do", forbid_unknown_fields=True):
    """Take a table, or an entry of a list, out."""

    path: Text


class SetReading(msgspec.Struct, frozen=True, tag="reading", tag_field="do", forbid_unknown_fields=True):
    """Change the cells of a reading: station, offset and note."""

    file: Text
    line: int
    cells: Cells
    was: Cells | None = None


class AddReading(msgspec.Struct, frozen=True, tag="add-reading", tag_field="do", forbid_unknown_fields=True):
    """Add a reading, at the end or below a line; or a fit note, with what it is ``of``: plate, round, how held."""

    file: Text
    cells: Cells
    below: int | None = None
    of: dict[Text, Text] = {}


class AddReadings(msgspec.Struct, frozen=True, tag="add-readings", tag_field="do", forbid_unknown_fields=True):
    """Add readings at a trace's end, as they were copied out of a spreadsheet; one without a station has the next."""

    file: Text
    rows: Annotated[tuple[Cells, ...], msgspec.Meta(min_length=1, max_length=MOST_ROWS)]


class RemoveReading(msgspec.Struct, frozen=True, tag="remove-reading", tag_field="do", forbid_unknown_fields=True):
    """Take a reading out."""

    file: Text
    line: int
    was: Cells | None = None


class ClearReadings(msgspec.Struct, frozen=True, tag="clear-readings", tag_field="do", forbid_unknown_fields=True):
    """Take every reading of a trace out, to read the rail anew."""

    file: Text


Held = Annotated[str, msgspec.Meta(pattern=r"^(pin|reading|nose|toe|offset|plane|(foot|feature|gap) \d{1,3})$")]
"""What can be taken hold of in the drawing."""


class Drag(msgspec.Struct, frozen=True, tag="drag", tag_field="do", forbid_unknown_fields=True):
    """Move what is held in the drawing to a place in the straightedge's frame, mm.

    ``what`` is ``"pin"``, ``"foot 0"``, ``"foot 1"``, ``"reading"``, which says its file and line, or one of
    :func:`plategen.page.handles.handles`.
    """

    what: Held
    u: Annotated[float, msgspec.Meta(ge=-1e5, le=1e5)]
    v: Annotated[float, msgspec.Meta(ge=-1e5, le=1e5)]
    file: Text = ""
    line: int = 0


class PutTrace(msgspec.Struct, frozen=True):
    """Write a trace anew, as it was read off photographs; ``was`` is the text that stood there. No tab sends this."""

    file: str
    text: str
    was: str


Edit: TypeAlias = (
    Set | SetUnits | Add | Remove | SetReading | AddReading | AddReadings | RemoveReading | ClearReadings | Drag
)
"""One change."""


class Leave(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A stretch of a photographed edge, by two of its points, that is left out or put back."""

    first: int
    last: int
    keep: bool


class Corrections(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is set right on a photograph, by points of the edge that it shows: see :mod:`plategen.photo.by_hand`."""

    straight: tuple[int, int] | None = None
    begin: int | None = None
    end: int | None = None
    stretches: Annotated[tuple[Leave, ...], msgspec.Meta(max_length=50)] = ()


class PhotoOpen(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Photographs of a trace are to be read."""

    file: Text
    tab: Text = ""


class PhotoRead(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The trace is to be read off the photographs that were sent."""

    id: Text
    thickness: Text = ""
    bar: Text = ""
    cross: bool = False
    corrections: Corrections = Corrections()


class PhotoClose(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The photographs are put away."""

    id: Text


class PageRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a tab shows: its parts by name, with their marks, of which only others are sent; and its open views.

    ``tab`` is the name that a tab has given itself: undo takes back what it did. ``job`` is the job that it shows, by
    the mark that its page came with. While something is ``held`` and dragged, only the drawing and the verdict follow.
    """

    job: Text = ""
    tab: Text = ""
    have: dict[Text, Text] = {}
    open: Annotated[tuple[Text, ...], msgspec.Meta(max_length=20)] = ()
    held: bool = False


class ChangeRequest(PageRequest, frozen=True, kw_only=True):
    """Changes asked for at once, all or none; those of one ``gesture``, as of one drag, are one step of undo.

    To undo a ``gesture`` is to undo it alone.
    """

    edits: Annotated[tuple[Edit, ...], msgspec.Meta(max_length=50)] = ()
    gesture: Text = ""


class SaveRequest(PageRequest, frozen=True, kw_only=True):
    """A save, or a choice between what is here and what someone else wrote, by whoever saw ``seen`` (and ``over``)."""

    seen: int
    over: Text = ""


class PhotoTake(PageRequest, frozen=True, kw_only=True):
    """What was read off photographs is to be the trace, by whoever saw the answer of this number."""

    id: Text
    number: int


class MakeFiles(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A file of the job as saved is to be made, or all of them (""), on a paper; or that is called off."""

    name: Text = ""
    paper: Text = USUAL_PAPER


class TryNumber(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A number of the job is to be run over a range, by its key, all as typed."""

    key: Text
    begin: Text
    end: Text
    step: Text


class TryBeside(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Jobs are to be laid beside this one, by what the page called them."""

    beside: Annotated[tuple[Text, ...], msgspec.Meta(min_length=1, max_length=3)]


class TryCure(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The job is to be laid beside itself with these values written."""

    edits: Annotated[tuple[Set, ...], msgspec.Meta(min_length=1, max_length=50)]


class TryRevise(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What changed since an earlier job is to be told, and what keeps its welds or holes."""

    old: Text
    keep: Literal["", "welds", "holes"] = ""


class Trial(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something that is being tried, by its name."""

    id: Text = ""


class TryPlate(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a plate that is there may be trimmed, all as typed; its file comes beside."""

    name: Text
    called: Text = ""
    play: Text = ""
    turn: Text = ""
    this_face: bool = False
    paper: Text = USUAL_PAPER
    thickness: Text = ""
    bar: Text = ""


Title = Annotated[str, msgspec.Meta(min_length=1, max_length=100, pattern=r"\S")]
"""What a job is called."""


class OpenJob(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A job of the shelf is to be opened, by its folder's name."""

    name: Text


class NewJob(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A job is to be begun: its own, with nothing read yet, or with a sample's readings, to look round."""

    title: Title
    units: Units
    start: Start
    sample: bool


class CopyJob(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The open job as it stands on the page is to be kept under another title, by a tab that shows it.

    The copy is opened, or laid beside the job as a variant of it.
    """

    title: Title
    job: Text
    stay: bool = False
