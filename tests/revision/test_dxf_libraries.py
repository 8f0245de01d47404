"""Thirty drawings of one plate by three libraries that know nothing of each other, in every form they have: ezdxf,
GDAL (through pyogrio) and trimesh. Each is read to a millionth of a millimetre, or refused for what is in it.

The plate is known in closed form: 120 by 80 with corners of radius 10 and a hole of 25.4. GDAL draws no arcs, so that
its corners are chords, and the plate to be found is the polygon that was given to it.
"""

import codecs
import io
import itertools
import math
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely
import trimesh
from ezdxf.math import rational_bspline_from_arc
from trimesh.path.entities import Arc, Line

from plategen.flat.distance import offsets_from
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.revision.dxf_open import open_plate

W, H, R, HOLE = 120.0, 80.0, 10.0, Circle(40 + 40j, 12.7)
CORNERS = ((W - R, R, -90.0), (W - R, H - R, 0.0), (R, H - R, 90.0), (R, R, 180.0))
WITHIN_MM = 1e-6
BULGE = math.tan(math.pi / 8)


def on_corner(corner: tuple[float, float, float], degrees: float) -> tuple[float, float]:
    x, y, start = corner
    angle = math.radians(start + degrees)
    return x + R * math.cos(angle), y + R * math.sin(angle)


SIDES = [(on_corner(a, 90.0), on_corner(b, 0.0)) for a, b in zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True)]
CHORDS = [on_corner(corner, k * 90.0 / 16) for corner in CORNERS for k in range(17)]
ROUND = [(40 + 12.7 * math.cos(t), 40 + 12.7 * math.sin(t)) for t in (k * math.tau / 64 for k in range(65))]


def written(document: Any, binary: bool = False) -> bytes:
    if binary:
        stream = io.BytesIO()
        document.write(stream, fmt="bin")
        return stream.getvalue()
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding)


def loose(space: Any, scale: float = 1.0) -> None:
    """Lines and arcs in any order, some of them backwards."""
    draw: list[Callable[[], object]] = []
    for number, (a, b) in enumerate(SIDES):
        a, b = (b, a) if number % 2 else (a, b)
        draw.append(lambda a=a, b=b: space.add_line(*(tuple(scale * x for x in end) for end in (a, b))))
    for x, y, start in CORNERS:
        draw.append(lambda x=x, y=y, s=start: space.add_arc((scale * x, scale * y), scale * R, s, s + 90.0))
    random.Random(3).shuffle(draw)
    for one in draw:
        one()
    space.add_circle((scale * 40, scale * 40), scale * 12.7)


def bulged(space: Any) -> None:
    """One polyline, its corners as bulges."""
    points = [on_corner(corner, degrees) for corner in CORNERS for degrees in (0.0, 90.0)]
    if space.doc.dxfversion == "AC1009":
        space.add_polyline2d([(*p, BULGE * (i % 2 == 0)) for i, p in enumerate(points)], format="xyb", close=True)
    else:
        space.add_lwpolyline([(*p, BULGE * (i % 2 == 0)) for i, p in enumerate(points)], format="xyb", close=True)
    space.add_circle((40, 40), 12.7)


def elliptic(space: Any) -> None:
    """Corners and hole as ellipses that are round."""
    for a, b in SIDES:
        space.add_line(a, b)
    for x, y, start in CORNERS:
        turned = math.radians(start)
        space.add_ellipse((x, y), (R, 0), 1.0, turned, turned + math.pi / 2)
    space.add_ellipse((40, 40), (12.7, 0), 1.0)


def splined(space: Any) -> None:
    """Corners and hole as rational splines, which are circles exactly."""
    for a, b in SIDES:
        space.add_line(a, b)
    for x, y, start in CORNERS:
        space.add_spline().apply_construction_tool(rational_bspline_from_arc((x, y), R, start, start + 90.0))
    space.add_spline().apply_construction_tool(rational_bspline_from_arc((40, 40), 12.7, 0.0, 360.0))


def drawn(version: str, units: int, draw: Callable[[Any], None]) -> Any:
    document = ezdxf.new(version, units=units)
    draw(document.modelspace())
    return document


def blocks(mirrored: bool) -> Any:
    """The plate in a block in a block, each turned and set aside, and turned back by the insert."""
    document = ezdxf.new("R2010", units=4)
    inner, outer = document.blocks.new("INNER"), document.blocks.new("OUTER")
    loose(inner)
    outer.add_blockref("INNER", (0, 0), dxfattribs={"xscale": -1 if mirrored else 1})
    place = {"xscale": -1 if mirrored else 1, "rotation": 0}
    document.modelspace().add_blockref("OUTER", (0, 0), dxfattribs=place)
    return document


def hidden() -> Any:
    document = drawn("R2000", 4, loose)
    document.layers.add("OLD").off()
    document.modelspace().add_circle((60, 40), 200, dxfattribs={"layer": "OLD"})
    document.paperspace().add_circle((0, 0), 20)
    return document


def gdal(folder: Path, lines: list[list[tuple[float, float]]], polygon: bool = False) -> bytes:
    """What GDAL writes of lines, in inches: its drawings say that unit."""
    scaled = [[(x / 25.4, y / 25.4) for x, y in line] for line in lines]
    shapes = [shapely.Polygon(line) if polygon else shapely.LineString(line) for line in scaled]
    file = folder / "gdal.dxf"
    pyogrio.raw.write(
        file,
        np.array([shapely.to_wkb(shape) for shape in shapes], dtype=object),
        [np.array(["0"] * len(shapes), dtype=object)],
        ["Layer"],
        driver="DXF",
        geometry_type="Unknown",
        crs=None,
    )
    return file.read_bytes()


def edges(line: list[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    return [list(pair) for pair in itertools.pairwise(line)]


def path_of(pieces: int, scale: float = 1.0) -> trimesh.path.Path2D:
    """Sides and corners as trimesh has them, arcs by three points of theirs; ``pieces`` of an arc."""
    points: list[tuple[float, float]] = []
    entities: list[Any] = []

    def put(*more: tuple[float, float]) -> list[int]:
        points.extend((scale * x, scale * y) for x, y in more)
        return list(range(len(points) - len(more), len(points)))

    for (a, b), corner in zip(SIDES, CORNERS, strict=True):
        entities.append(Line(put(a, b)))
        cuts = [[on_corner(corner, 90.0 * (k + part) / pieces) for part in (0.0, 0.5, 1.0)] for k in range(pieces)]
        entities.extend(Arc(put(*cut)) for cut in cuts)
    entities.append(Arc(put(*(ROUND[k] for k in (0, 20, 41))), closed=True))
    return trimesh.path.Path2D(entities=entities, vertices=np.array(points))


def mesh_dxf(path: trimesh.path.Path2D) -> bytes:
    made = path.export(file_type="dxf")
    return made.encode() if isinstance(made, str) else made


def chords_path() -> trimesh.path.Path2D:
    return trimesh.load_path(shapely.Polygon(CHORDS, [ROUND]))


VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")
SHUT = [*CHORDS, CHORDS[0]]
FILES: dict[str, Callable[[Path], bytes]] = {
    **{f"ezdxf loose {v}": lambda _, v=v: written(drawn(v, 4, loose)) for v in VERSIONS},
    **{f"ezdxf polyline {v}": lambda _, v=v: written(drawn(v, 4, bulged)) for v in ("R12", "R2000", "R2018")},
    "ezdxf binary": lambda _: written(drawn("R2010", 4, loose), binary=True),
    "ezdxf ellipses": lambda _: written(drawn("R2000", 4, elliptic)),
    "ezdxf splines": lambda _: written(drawn("R2013", 4, splined)),
    "ezdxf nested": lambda _: written(blocks(mirrored=False)),
    "ezdxf mirrored twice": lambda _: written(blocks(mirrored=True)),
    "ezdxf hidden layer, second page": lambda _: written(hidden()),
    "ezdxf CRLF": lambda _: written(drawn("R2000", 4, loose)).replace(b"\n", b"\r\n"),
    "ezdxf CR": lambda _: written(drawn("R12", 4, bulged)).replace(b"\n", b"\r"),
    "ezdxf mark": lambda _: codecs.BOM_UTF8 + written(drawn("R2007", 4, loose)),
    "ezdxf inches": lambda _: written(drawn("R2000", 1, lambda space: loose(space, 1 / 25.4))),
    "trimesh": lambda _: mesh_dxf(path_of(1)),
    "trimesh arcs in pieces": lambda _: mesh_dxf(path_of(5)),
    "trimesh CRLF": lambda _: mesh_dxf(path_of(1)).replace(b"\r\n", b"\n").replace(b"\n", b"\r\n"),
    "trimesh polygon": lambda _: mesh_dxf(chords_path()),
    "GDAL lines": lambda folder: gdal(folder, [SHUT, ROUND]),
    "GDAL loose edges": lambda folder: gdal(folder, [*edges(SHUT)[::-1], *edges(ROUND)]),
    "GDAL CRLF": lambda folder: gdal(folder, [SHUT, ROUND]).replace(b"\r\n", b"\n").replace(b"\n", b"\r\n"),
    "GDAL two halves": lambda folder: gdal(folder, [SHUT[:40], SHUT[39:][::-1], ROUND]),
    "GDAL open": lambda folder: gdal(folder, [SHUT[:-3], ROUND]),
    "GDAL hatch": lambda folder: gdal(folder, [SHUT], polygon=True),
}
REFUSED = {"GDAL open": "has an outline that is open by", "GDAL hatch": "draws no outline, only hatch"}


def test_there_are_thirty() -> None:
    assert len(FILES) == 30


@pytest.mark.filterwarnings("ignore:'crs' was not provided")  # no map is drawn
@pytest.mark.parametrize("name", FILES)
def test_every_file_is_read_to_a_millionth_or_refused(name: str, tmp_path: Path) -> None:
    data = FILES[name](tmp_path)
    if name in REFUSED:
        with pytest.raises(Refusal, match=REFUSED[name]):
            open_plate(data)
        return
    opened = open_plate(data)
    chords = name.startswith("GDAL") or name == "trimesh polygon"
    area = shapely.Polygon(CHORDS).area if chords else W * H - (4.0 - math.pi) * R * R
    assert opened.outline.area == pytest.approx(area, abs=WITHIN_MM * 2.0 * (W + H))
    on_it = [complex(*point) for point in CHORDS]  # points of the arcs as well
    assert max(map(abs, offsets_from(opened.outline, on_it))) <= WITHIN_MM
    (hole,) = opened.holes
    assert abs(hole.centre - HOLE.centre) <= WITHIN_MM
    chord = (1.0 + math.cos(math.pi / (len(ROUND) - 1))) / 2.0  # a ring of chords is midway within and without them
    assert abs(hole.radius - HOLE.radius * (chord if chords else 1.0)) <= WITHIN_MM
