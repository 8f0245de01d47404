"""``plategen pattern``: a trace or a plate read off photographs."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import UNITS, in_units, working
from plategen.ground.refusal import Refusal, missing_library
from plategen.ground.unit import Units

if TYPE_CHECKING:
    from plategen.photo.detect import Sighting
    from plategen.photo.read import Photographed
    from plategen.photo.sides import Side

SIDES = ("below", "above", "left", "right")
"""Where the straight edge may be said to lie in the photograph."""


@click.command()
@click.argument("photo", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--thickness", required=True, help="How thick the cardboard or the plate is, as 1/8 in or 3 mm.")
@click.option("-o", "--out", required=True, type=click.Path(path_type=Path, dir_okay=False), help="A CSV or DXF file.")
@click.option("--plate", is_flag=True, help="A plate: its outline and holes into a DXF file.")
@click.option(
    "--bar",
    help="What a print measures: a bar of 4 in (100 mm), or better the board's long side of 7 7/8 in (200 mm).",
)
@click.option(
    "--straight", type=click.Choice(SIDES), help="Where the straight edge lies; the longest straight side if left out."
)
@click.option("--cross", is_flag=True, help="Station 0 is a pen cross on the card; its left end need not be square.")
@click.option("--units", type=UNITS, default="in", show_default=True, help="For bare numbers, and for what is written.")
def pattern(
    photo: tuple[Path, ...],
    thickness: str,
    out: Path,
    plate: bool,
    bar: str | None,
    straight: "Side | None",
    cross: bool,
    units: Units,
) -> None:
    """Read the cardboard pattern (or a plate) off each PHOTO of it among the pages of `plategen target`."""
    try:
        import cv2  # noqa: F401
        from PIL import Image  # noqa: F401
    except ModuleNotFoundError as missing:
        raise missing_library("photographs need", missing.name, "photo", "pattern") from None
    from plategen.checks.caution import SHORT
    from plategen.delivery.folder import locked, put, refuse_unwritable
    from plategen.photo.read import photographed
    from plategen.photo.told import printed_bar, thickness_mm

    right = ".dxf" if plate else ".csv"
    if out.suffix.lower() != right:
        raise Refusal(
            f"a name that ends in {right} is right" + ("" if plate else ", or --plate for a plate"),
            "-o",
            place=str(out),
        )
    thick_mm = thickness_mm(thickness, units, "--thickness")
    printed = None if bar is None else printed_bar(bar, units, "--bar")
    refuse_unwritable(out.parent)
    with in_units(units, ""), working("reading the photographs"):
        of = photographed([_seen(path) for path in photo], thick_mm, printed, holes=plate)
        files, lines = _plate(of, units, out) if plate else _trace(of, straight, cross, units, out)
    with locked(out.parent):
        put(out.parent, files)
    click.echo("\n".join([*lines, *(str(out.parent / name) for name in files), SHORT]))


def _seen(path: Path) -> "Sighting":
    from plategen.photo.picture import MOST_BYTES
    from plategen.photo.read import sighted

    if not path.is_file():
        raise Refusal("there is no such file; a photograph is right", place=str(path))
    with path.open("rb") as stream:
        data = stream.read(MOST_BYTES + 1)
    return sighted(data, path.name)


def _trace(
    of: "Photographed", straight: "Side | None", cross: bool, units: Units, out: Path
) -> tuple[dict[str, bytes], list[str]]:
    from plategen.ground.show import Show
    from plategen.photo.read import trace_of
    from plategen.tell.pattern import pattern_lines, trace_text
    from plategen.tell.picture.photograph import checked

    show, read = Show(units), trace_of(of, units, straight, cross)
    files = {
        out.name: trace_text(read, units, of.files),
        f"{out.stem}_check.svg": checked(read, of.seen.picture, of.view, of.thickness_mm, of.piece.scale, show),
    }
    return {name: text.encode() for name, text in files.items()}, pattern_lines(read, show)


def _plate(of: "Photographed", units: Units, out: Path) -> tuple[dict[str, bytes], list[str]]:
    from plategen.ground.show import Show
    from plategen.photo.read import plate_of
    from plategen.tell.pattern import plate_lines, plate_text
    from plategen.tell.picture.photograph import plate_checked

    show, read = Show(units), plate_of(of)
    files = {
        out.name: plate_text(read, units),
        f"{out.stem}_check.svg": plate_checked(read, of.seen.picture, of.view, of.thickness_mm, of.piece.scale, show),
    }
    return {name: text.encode() for name, text in files.items()}, plate_lines(read, show)
