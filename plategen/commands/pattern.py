"""``plategen pattern``: a trace or a plate read off photographs."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import UNITS, in_units, working
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal, missing_library
from plategen.ground.show import Show
from plategen.ground.unit import Units

if TYPE_CHECKING:
    from plategen.photo.adjust import Adjusted
    from plategen.photo.measure import Bar, Measured
    from plategen.photo.picture import Picture
    from plategen.photo.sides import Side

SIDES = ("below", "above", "left", "right")
"""Where the straight edge may be said to lie in the photograph."""

LEAST_MM, MOST_MM = 0.1, 60.0
"""Card and plate are no thinner and no thicker than this."""

BAR_WITHIN = 0.05
"""A bar measured farther from its length than this share is another bar, or another unit."""


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
    from plategen.photo.adjust import adjusted
    from plategen.photo.detect import sighting
    from plategen.photo.measure import measured

    right = ".dxf" if plate else ".csv"
    if out.suffix.lower() != right:
        raise Refusal(
            f"a name that ends in {right} is right" + ("" if plate else ", or --plate for a plate"),
            "-o",
            place=str(out),
        )
    thickness_mm = _length(thickness, units, "--thickness", LEAST_MM, MOST_MM)
    printed = None if bar is None else _printed(bar, units)
    refuse_unwritable(out.parent)
    with in_units(units, ""), working("reading the photographs"):
        pictures = [_read(path) for path in photo]
        cameras = adjusted([sighting(picture) for picture in pictures])
        piece = measured(cameras, thickness_mm, printed, holes=plate)
        try:
            files, lines = (
                _plate(cameras, piece, thickness_mm, units, out)
                if plate
                else _trace(cameras, piece, thickness_mm, straight, cross, units, out)
            )
        except Refusal as refusal:  # of the piece, which several photographs may show
            raise refusal.at(", ".join(picture.file for picture in pictures)) from None
    with locked(out.parent):
        put(out.parent, files)
    click.echo("\n".join([*lines, *(str(out.parent / name) for name in files), SHORT]))


def _length(text: str, units: Units, option: str, least_mm: float, most_mm: float) -> float:
    from plategen.ground import quantity

    try:
        length = quantity.LENGTH.read(text, units)
    except Refusal as refusal:
        raise refusal.at(option) from None
    if not least_mm <= length <= most_mm:
        raise Refusal(message("from {} to {} is right", mm(least_mm), mm(most_mm)), option, units=units)
    return length


def _printed(bar: str, units: Units) -> "Bar":
    """A measured bar: the one that is drawn in the unit it was measured in, or the chequered board's long side."""
    from plategen.photo.measure import Bar
    from plategen.photo.target import TALL_MM

    inches = units == "in" if not bar.strip()[-1:].isalpha() else not bar.strip().lower().endswith("mm")
    own = 101.6 if inches or bar.strip().endswith('"') else 100.0
    length = _length(bar, units, "--bar", own * (1 - BAR_WITHIN), TALL_MM * (1 + BAR_WITHIN))
    own = TALL_MM if length > (own + TALL_MM) / 2 else own
    return Bar(own, _length(bar, units, "--bar", own * (1 - BAR_WITHIN), own * (1 + BAR_WITHIN)))


def _read(path: Path) -> "Picture":
    from plategen.photo.picture import MOST_BYTES, read_picture

    if not path.is_file():
        raise Refusal("there is no such file; a photograph is right", place=str(path))
    with path.open("rb") as stream:
        data = stream.read(MOST_BYTES + 1)
    return read_picture(data, path.name)


def _trace(
    cameras: "Adjusted", piece: "Measured", thickness_mm: float, straight: "Side | None", cross: bool, units: Units,
    out: Path,
) -> tuple[dict[str, bytes], list[str]]:  # fmt: skip
    import numpy as np

    from plategen.photo.cross import pen_cross
    from plategen.photo.pattern import pattern as read_pattern
    from plategen.tell.pattern import pattern_lines, trace_text
    from plategen.tell.picture.photograph import checked

    show, seen, view = Show(units), cameras.sightings[piece.picture], cameras.views[piece.picture]
    at = None
    if cross:
        plan = np.column_stack([piece.outline.points.real, piece.outline.points.imag]) / piece.scale
        at = piece.scale * pen_cross(seen.picture, view, plan, thickness_mm / piece.scale)
    read = read_pattern(piece, view, thickness_mm, EVERY_MM[units], straight, at)
    files = {
        out.name: trace_text(read, units, [sighting.picture.file for sighting in cameras.sightings]),
        f"{out.stem}_check.svg": checked(read, seen.picture, view, thickness_mm, piece.scale, show),
    }
    return {name: text.encode() for name, text in files.items()}, pattern_lines(read, show)


EVERY_MM: dict[Units, float] = {"in": 6.35, "mm": 5.0}
"""How far apart the readings stand: closer than a bend's own length, farther than what neighbours share."""


def _plate(
    cameras: "Adjusted", piece: "Measured", thickness_mm: float, units: Units, out: Path
) -> tuple[dict[str, bytes], list[str]]:
    from plategen.cut.dxf import dxf_text
    from plategen.cut.part import Cut, CutPart
    from plategen.photo.plate import plate
    from plategen.tell.pattern import plate_lines
    from plategen.tell.picture.photograph import plate_checked

    show, seen, view = Show(units), cameras.sightings[piece.picture], cameras.views[piece.picture]
    read = plate(piece)
    part = CutPart(name="plate", outside=Cut(read.outline), inside=tuple(map(Cut, read.inside)))
    files = {
        out.name: dxf_text([part], units),
        f"{out.stem}_check.svg": plate_checked(read, seen.picture, view, thickness_mm, piece.scale, show),
    }
    return {name: text.encode() for name, text in files.items()}, plate_lines(read, show)
