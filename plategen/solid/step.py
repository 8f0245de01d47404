"""Bodies as a STEP file (ISO 10303-21): one assembly of named, coloured parts in millimetres, placed as they stand.

The same bodies give the same bytes: the header's time is given, not read from the clock.
"""

import io
import itertools
import re
from collections.abc import Iterable, Sequence
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
    _refuse_twins(body.name for body in bodies)
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
    return _numbered_afresh(stream.getvalue())


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
    assembly = shapes.NewShape()
    _name(assembly, _plain(title))
    for body in bodies:
        part = shapes.AddShape(body.shape, False)
        _name(part, body.name)
        colours.SetColor(part, _colour(body.colour), xcaf.XCAFDoc_ColorType.XCAFDoc_ColorGen)
        _name(shapes.AddComponent(assembly, part, location(body.placement)), body.name)
    shapes.UpdateAssemblies()
    return document


def _name(label: Any, name: str) -> None:
    text = kernel("TCollection").TCollection_ExtendedString(name, True)
    kernel("TDataStd").TDataStd_Name.Set_s(label, text)


def _colour(rgb: tuple[float, float, float]) -> Any:
    quantity = kernel("Quantity")
    return quantity.Quantity_Color(*rgb, quantity.Quantity_TypeOfColor.Quantity_TOC_sRGB)


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


def _numbered_afresh(step: bytes) -> bytes:
    """The file with its parts' occurrences counted from 1: the kernel counts on through the whole process."""
    count = itertools.count(1)
    return re.sub(rb"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+", lambda match: match[1] + b"%d" % next(count), step)


def _plain(text: str) -> str:
    """Text within the characters that the header of a STEP file may hold."""
    return text.encode("ascii", "replace").decode()


def _refuse_twins(names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise Refusal(f'two parts are named "{name}"; every part of the STEP file needs a name of its own')
        seen.add(name)
