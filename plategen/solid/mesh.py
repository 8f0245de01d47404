"""Bodies as flat facets, and those as files for looking at, never for cutting: STL, 3MF and glTF.

Lengths are millimetres in STL (which cannot say so) and 3MF, and metres in glTF, as its specification wants; glTF's y
axis points up, so the pin's direction w looks at the viewer there.
"""

import io
import json
import struct
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import numpy as np
from numpy.typing import NDArray

from plategen.solid.kernel import Body, kernel, location

CHORD_MM, TURN_RAD = 0.05, 0.2
"""How far facets may lie off a round face, and how far two neighbours may turn."""


@dataclass(frozen=True, slots=True)
class Mesh:
    """A body in facets: its corners (n, 3), mm, placed, and triangles (m, 3) of their indexes; its colour in sRGB.

    Triangles run anticlockwise seen from outside.
    """

    name: str
    colour: tuple[float, float, float]
    corners: NDArray[np.float64]
    triangles: NDArray[np.int64]


def mesh_of(body: Body) -> Mesh:
    """A body in facets, face by face.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
    """
    shape = body.shape.Located(location(body.placement))
    kernel("BRepMesh").BRepMesh_IncrementalMesh(shape, CHORD_MM, False, TURN_RAD, False)
    top = kernel("TopAbs")
    explorer = kernel("TopExp").TopExp_Explorer(shape, top.TopAbs_ShapeEnum.TopAbs_FACE)
    corners: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    while explorer.More():
        face = kernel("TopoDS").TopoDS.Face_s(explorer.Current())
        place = kernel("TopLoc").TopLoc_Location()
        facets = kernel("BRep").BRep_Tool.Triangulation_s(face, place)
        first, move = len(corners) - 1, place.Transformation()
        for i in range(1, facets.NbNodes() + 1):
            p = facets.Node(i).Transformed(move)
            corners.append((p.X(), p.Y(), p.Z()))
        turned = face.Orientation() == top.TopAbs_Orientation.TopAbs_REVERSED
        for i in range(1, facets.NbTriangles() + 1):
            a, b, c = facets.Triangle(i).Get()
            triangles.append((first + a, first + c, first + b) if turned else (first + a, first + b, first + c))
        explorer.Next()
    return Mesh(body.name, body.colour, *_welded(np.array(corners), np.array(triangles)))


def _welded(
    corners: NDArray[np.float64], triangles: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Neighbouring faces' facets made to share their corners, so that the body is closed; slivers left out."""
    _, first, which = np.unique(np.round(corners, 6), axis=0, return_index=True, return_inverse=True)
    joined = which.reshape(-1)[triangles]
    whole = (joined[:, 0] != joined[:, 1]) & (joined[:, 1] != joined[:, 2]) & (joined[:, 2] != joined[:, 0])
    return corners[first], joined[whole]


def stl_bytes(meshes: Sequence[Mesh], title: str) -> bytes:
    """Binary STL of all bodies together; millimetres."""
    corners = np.concatenate([mesh.corners[mesh.triangles] for mesh in meshes])
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    normals = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0.0)
    records = np.zeros(len(corners), dtype=[("vectors", "<f4", (4, 3)), ("attribute", "<u2")])
    records["vectors"][:, 0] = normals
    records["vectors"][:, 1:] = corners
    head = f"{title}, millimetres, for looking only".encode("ascii", "replace")[:80].ljust(80)
    return head + struct.pack("<I", len(records)) + records.tobytes()


def three_mf_bytes(meshes: Sequence[Mesh], title: str) -> bytes:
    """3MF (3MF Consortium, Core Specification 1.x): named, coloured objects in millimetres."""
    hues = [bytes(round(255 * c) for c in mesh.colour).hex().upper() for mesh in meshes]
    names = [escape(mesh.name) for mesh in meshes]
    colours = "".join(f'<base name="{n}" displaycolor="#{hue}"/>' for n, hue in zip(names, hues, strict=True))
    objects = "".join(_object(number, mesh) for number, mesh in enumerate(meshes, start=2))
    items = "".join(f'<item objectid="{number}"/>' for number in range(2, len(meshes) + 2))
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">'
        f'<metadata name="Title">{escape(title)}</metadata>'
        f'<resources><basematerials id="1">{colours}</basematerials>{objects}</resources><build>{items}</build></model>'
    )
    kinds = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
    )
    relations = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
        'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
    )
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:
        for name, text in (("[Content_Types].xml", kinds), ("_rels/.rels", relations), ("3D/3dmodel.model", model)):
            # a fixed date, so that the same job gives the same bytes
            package.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), text, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def glb_bytes(meshes: Sequence[Mesh], title: str) -> bytes:
    """Binary glTF 2.0 (Khronos): one named, coloured node a body, metres, flat shading left to the viewer."""
    binary = bytearray()
    views, accessors, nodes, shapes, materials = [], [], [], [], []
    for number, mesh in enumerate(meshes):
        corners = (mesh.corners / 1000.0).astype("<f4")
        indexes = mesh.triangles.astype("<u4").ravel()
        for data, target in ((corners.tobytes(), 34962), (indexes.tobytes(), 34963)):
            views.append({"buffer": 0, "byteOffset": len(binary), "byteLength": len(data), "target": target})
            binary += data
        reach = {"min": corners.min(axis=0).tolist(), "max": corners.max(axis=0).tolist()}
        placed = {"bufferView": 2 * number, "componentType": 5126, "count": len(corners), "type": "VEC3"}
        accessors.append({**placed, **reach})
        accessors.append({"bufferView": 2 * number + 1, "componentType": 5125, "count": len(indexes), "type": "SCALAR"})
        primitive = {"attributes": {"POSITION": 2 * number}, "indices": 2 * number + 1, "material": number}
        shapes.append({"name": mesh.name, "primitives": [primitive]})
        nodes.append({"name": mesh.name, "mesh": number})
        colour = [*(_linear(c) for c in mesh.colour), 1.0]
        surface = {"baseColorFactor": colour, "metallicFactor": 0.2, "roughnessFactor": 0.7}
        materials.append({"name": mesh.name, "pbrMetallicRoughness": surface})
    document = {
        "asset": {"version": "2.0", "generator": "plategen"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": list(range(len(meshes)))}],
        "nodes": nodes,
        "meshes": shapes,
        "materials": materials,
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(binary)}],
    }
    text = json.dumps(document, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    whole = 12 + 8 + len(text) + 8 + len(binary)
    head = struct.pack("<4sII", b"glTF", 2, whole) + struct.pack("<I4s", len(text), b"JSON")
    return head + text + struct.pack("<I4s", len(binary), b"BIN\0") + bytes(binary)


def _object(number: int, mesh: Mesh) -> str:
    corners = "".join(f'<vertex x="{x:.6f}" y="{y:.6f}" z="{z:.6f}"/>' for x, y, z in mesh.corners.tolist())
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.triangles.tolist())
    return (
        f'<object id="{number}" name="{escape(mesh.name)}" type="model" pid="1" pindex="{number - 2}"><mesh>'
        f"<vertices>{corners}</vertices><triangles>{triangles}</triangles></mesh></object>"
    )


def _linear(c: float) -> float:
    """The light that a screen's colour value stands for (IEC 61966-2-1, sRGB)."""
    return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
