"""Bodies as a STEP file (ISO 10303-21): one assembly of named, coloured parts in millimetres, placed as they stand.

The same bodies give the same bytes: the header's time is given, not read from the clock.
"""

import hashlib
import io
import itertools
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any, Literal, TypeAlias

from plategen.ground.refusal import Refusal
from plategen.solid.kernel import Body, kernel, location

Schema: TypeAlias = Literal["AP214", "AP242"]
"""Which protocol of ISO 10303 the file follows."""

SCHEMAS: dict[Schema, str] = {"AP214": "AP214IS", "AP242": "AP242DIS"}
"""The kernel's names for ISO 10303-214 and -242."""

NO_TIME = "2000-01-01T00:00:00"
"""Stands in the header when no time is given, so that the same job gives the same bytes."""

OF_A_BRACKET = "Bracket plates with the rail and the cylinder they fit, in millimetres"
"""What the header says a bracket's file holds."""


def step_bytes(
    title: str, bodies: Sequence[Body], schema: Schema = "AP214", time: str = NO_TIME, about: str = OF_A_BRACKET
) -> bytes:
    """The STEP file of an assembly.

    Args:
        title: Name of the assembly.
        bodies: Its parts; their names are unique.
        schema: AP214 is read everywhere; AP242 is its successor.
        time: ISO 8601, for the header.
        about: One line for the header that says what the file holds.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
        Refusal: Two bodies have one name, or the kernel cannot write them.
    """
    names = [body.name for body in bodies]
    if twins := [name for name in names if names.count(name) > 1]:
        raise Refusal(f'two parts are named "{twins[0]}"; every part of the STEP file needs a name of its own')
    _settle(schema)
    document = _document(title, bodies)
    writer = kernel("STEPCAFControl").STEPCAFControl_Writer()
    writer.SetColorMode(True)
    writer.SetNameMode(True)
    as_is = kernel("STEPControl").STEPControl_StepModelType.STEPControl_AsIs
    if not writer.Transfer(document, as_is):
        raise Refusal("the solid kernel cannot turn these bodies into STEP; make the job without solids")
    _head(writer.ChangeWriter().Model(), title, time, about)
    stream = io.BytesIO()
    writer.WriteStream(stream)
    # parts' occurrences are counted from 1 here: the kernel counts on through the whole process
    count, occurrence = itertools.count(1), rb"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+"
    return re.sub(occurrence, lambda match: match[1] + b"%d" % next(count), stream.getvalue())


def _settle(schema: Schema) -> None:
    """Set every one of the kernel's process-wide choices that this file depends on, whatever was set before."""
    kernel("STEPControl").STEPControl_Controller.Init_s()
    message = kernel("Message")
    for printer in message.Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(message.Message_Gravity.Message_Fail)
    static = kernel("Interface").Interface_Static
    static.SetCVal_s("write.step.schema", SCHEMAS[schema])
    static.SetCVal_s("write.step.unit", "MM")
    static.SetCVal_s("xstep.cascade.unit", "MM")
    static.SetIVal_s("write.precision.mode", 0)
    static.SetIVal_s("write.surfacecurve.mode", 0)
    static.SetIVal_s("write.step.assembly", 1)


def _document(title: str, bodies: Iterable[Body]) -> Any:
    """The bodies as the kernel's own document: an assembly with a named, coloured part for each."""
    xcaf = kernel("XCAFDoc")
    document = kernel("TDocStd").TDocStd_Document(kernel("TCollection").TCollection_ExtendedString("XmlOcaf"))
    kernel("XCAFApp").XCAFApp_Application.GetApplication_s().InitDocument(document)
    shapes = xcaf.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = xcaf.XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    quantity, assembly = kernel("Quantity"), shapes.NewShape()
    _name(assembly, _plain(title))
    for body in bodies:
        part = shapes.AddShape(body.shape, False)
        _name(part, body.name)
        colour = quantity.Quantity_Color(*body.colour, quantity.Quantity_TypeOfColor.Quantity_TOC_sRGB)
        colours.SetColor(part, colour, xcaf.XCAFDoc_ColorType.XCAFDoc_ColorGen)
        _name(shapes.AddComponent(assembly, part, location(body.placement)), body.name)
    shapes.UpdateAssemblies()
    return document


def _name(label: Any, name: str) -> None:
    text = kernel("TCollection").TCollection_ExtendedString(name, True)
    kernel("TDataStd").TDataStd_Name.Set_s(label, text)


def _head(model: Any, title: str, time: str, about: str) -> None:
    """The file's header: its name, the given time, what it holds, and where it comes from."""
    words = kernel("TCollection").TCollection_HAsciiString
    header = kernel("APIHeaderSection").APIHeaderSection_MakeHeader(model)
    header.SetName(words(_plain(title)))
    header.SetTimeStamp(words(time))
    header.SetAuthorValue(1, words(""))
    header.SetOrganizationValue(1, words(""))
    header.SetOriginatingSystem(words("plategen"))
    header.SetAuthorisation(words(""))
    header.SetDescriptionValue(1, words(about))


def _plain(text: str) -> str:
    """Text within the characters that the header of a STEP file may hold."""
    return text.encode("ascii", "replace").decode()


_ENTITY = re.compile(r"#(\d+)\s*=\s*(.*?);[ \t]*\r?\n", re.DOTALL)
_STRING_OR_REFERENCE = re.compile(r"'(?:[^']|'')*'|#(\d+)")
_STRING_OR_BLANKS = re.compile(r"('(?:[^']|'')*')|\s+")
_LIST_OF_COLOURS = re.compile(r"(MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION\('[^']*',\()([#\d,\s]*)(\))")


def in_order(step: bytes) -> bytes:
    """The same file, its entities in the one order that does not change from run to run.

    The solid kernel writes colours in the order of memory addresses, so two runs of one job would differ. Here every
    entity gets a fingerprint of its content with the entities it refers to, colours are sorted by it, those of alike
    parts by the parts they are of, and all are numbered anew in the order in which they are reached. It breaks lines by
    their width too, which follows from how many parts the process has written before. ISO 10303-21 gives order, numbers
    and blanks no meaning.

    Raises:
        ValueError: It has no data section.
    """
    text = step.decode("latin-1")
    begin = text.index("DATA;") + len("DATA;")
    end = text.index("ENDSEC;", begin)
    bodies = {int(number): _unwrapped(body) for number, body in _ENTITY.findall(text[begin:end])}
    ordered = _Order(bodies)
    return (text[:begin] + "\n" + "".join(ordered.lines()) + text[end:]).encode("latin-1")


def _unwrapped(entity: str) -> str:
    """An entity in one line, without the blanks between its parts, which stand where the kernel broke its lines."""
    return _STRING_OR_BLANKS.sub(lambda match: match[1].replace("\n", "") if match[1] else "", entity)


class _Order:
    """The entities of one file, by their first numbers."""

    def __init__(self, bodies: dict[int, str]) -> None:
        self._bodies = bodies
        self._prints: dict[int, str] = {}
        for number in bodies:
            self._print(number)

    def lines(self) -> Iterator[str]:
        """The entities, numbered anew, one a line."""
        referred = {child for body in self._bodies.values() for child in _references(body)}
        roots = [number for number in self._bodies if number not in referred]
        plain = [n for n in roots if not _LIST_OF_COLOURS.search(self._bodies[n])]
        new: dict[int, int] = {}
        for root in plain:
            self._reach(root, new)
        of_parts = dict(new)

        def rank(number: int) -> tuple[str, list[int]]:
            return self._prints.get(number, ""), self._lead_to(number, of_parts)

        for number, body in self._bodies.items():
            self._bodies[number] = _LIST_OF_COLOURS.sub(partial(_sorted_list, key=rank), body)
        for root in sorted(set(roots) - set(plain), key=rank):
            self._reach(root, new)
        for number in self._bodies:  # what only a ring of references holds
            self._reach(number, new)
        for number, renamed in new.items():
            body = _STRING_OR_REFERENCE.sub(
                lambda match: f"#{new[int(match[1])]}" if match[1] else match[0], self._bodies[number]
            )
            yield f"#{renamed} = {body};\n"

    def _reach(self, number: int, new: dict[int, int]) -> None:
        stack = [number]
        while stack:
            at = stack.pop()
            if at not in new:
                new[at] = len(new) + 1
                stack.extend(child for child in reversed(list(_references(self._bodies[at]))) if child not in new)

    def _lead_to(self, number: int, numbered: dict[int, int]) -> list[int]:
        """The new numbers of the numbered entities that one refers to, at first or by way of others, in order."""
        numbers, seen, stack = set[int](), set[int](), [number]
        while stack:
            at = stack.pop()
            if at in numbered:
                numbers.add(numbered[at])
            elif at not in seen:
                seen.add(at)
                stack.extend(_references(self._bodies[at]))
        return sorted(numbers)

    def _print(self, number: int) -> str:
        """The fingerprint of an entity; a reference back into itself counts as such, not by its number."""
        stack, open_ones = [number], set[int]()
        while stack:
            at = stack[-1]
            if at in self._prints:
                stack.pop()
                continue
            waiting = [c for c in _references(self._bodies[at]) if c not in self._prints and c not in open_ones]
            if at not in open_ones and waiting:
                open_ones.add(at)
                stack.extend(waiting)
                continue
            by_print = partial(_sorted_list, key=lambda n: self._prints.get(n, ""))
            body = _LIST_OF_COLOURS.sub(by_print, self._bodies[at])
            content = _STRING_OR_REFERENCE.sub(
                lambda match: self._prints.get(int(match[1]), "itself") if match[1] else match[0], body
            )
            self._prints[at] = hashlib.sha256(content.encode("latin-1")).hexdigest()
            open_ones.discard(at)
            stack.pop()
        return self._prints[number]


def _sorted_list(match: re.Match[str], key: Callable[[int], Any]) -> str:
    """A list of colours with its items in order."""
    return match[1] + ",".join(f"#{n}" for n in sorted(_references(match[2]), key=key)) + match[3]


def _references(body: str) -> Iterator[int]:
    for match in _STRING_OR_REFERENCE.finditer(body):
        if match[1]:
            yield int(match[1])
