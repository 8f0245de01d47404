"""The photograph of a scene as an independent, physically based renderer sees it (Mitsuba 3, mitsuba-renderer.org).

It has what :mod:`tests.support.photo_scene` leaves out: light that goes from thing to thing, two lamps with soft
shadows, paper that has a thickness, card that is torn in layers and has fibres on its edge, a lens that is in focus at
one distance, the telephone's own sharpening. Nothing of the package is asked but where the pages' dark squares are and
where the camera stands; the picture is bent by the package's own formula of distortion, as the renderer has none.

Of 16 samples a pixel it takes about 5 s of one processor a megapixel with the variant that compiles.

It is no requirement of the tests: ``pip install mitsuba mapbox_earcut``, and ``DRJIT_LIBLLVM_PATH`` may name an LLVM.
"""

import math
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Lens, View
from tests.support.photo_scene import PAGE_PX_MM, RIM_MM, Floats, Scene, packed, page_light, screened

Rows = NDArray[np.float32]

SAMPLES = 16
"""Rays a pixel."""

PAPER_MM = 0.1
"""Thickness of a printed page."""

APERTURE_MM = 2.4
"""Radius of a telephone's opening, about (common practice, no source)."""

LAYERS = 5
"""Levels of a torn edge, each torn by itself."""

TEAR_MM, FIBRES_PER_MM = 0.05, 0.4
"""One standard deviation of a level's edge about its line, and how many fibres stick out of it."""


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Triangles with a colour of their own."""

    corners_mm: Floats  # (n, 3)
    faces: NDArray[np.intp]  # (m, 3)
    light: tuple[float, float, float]


def traced(scene: Scene, sharpened: float = 0.4, samples: int = SAMPLES) -> bytes:
    """The photograph as JPEG.

    Args:
        scene: What lies on the floor; its shadow is left to the lamps.
        sharpened: Share of what the telephone adds of the difference to a blurred picture.
        samples: Rays a pixel.
    """
    light = _bent(scene, _rendered(scene, samples))
    light *= 0.8 / np.percentile(light, 99.5)
    light = cv2.GaussianBlur(light, (0, 0), scene.blur_px)
    rng = np.random.default_rng(scene.seed + 1)
    light += np.float32(scene.noise) * rng.standard_normal(light.shape, np.float32)
    shown = screened(light).astype(np.float32)
    shown += np.float32(sharpened) * (shown - cv2.GaussianBlur(shown, (0, 0), 1.5))
    return packed(np.clip(np.round(shown), 0, 255).astype(np.uint8), scene.quality)


def _pinhole(scene: Scene) -> tuple[View, tuple[int, int]]:
    """A camera without distortion that sees a little more than the scene's, and the size of its picture."""
    wide, tall = (np.linspace(0.0, side - 1.0, 33) for side in scene.size)
    rim = np.concatenate([[[u, v] for u in wide for v in tall[[0, -1]]], [[u, v] for v in tall for u in wide[[0, -1]]]])
    reach = np.abs(scene.view.lens.to_rays(rim)).max(0) * scene.view.lens.focal_px
    width, height = (2 * math.ceil(side + 4.0) for side in reach)
    lens = Lens(scene.view.lens.focal_px, ((width - 1) / 2, (height - 1) / 2))
    return View(lens, scene.view.turn, scene.view.shift_mm), (width, height)


def _bent(scene: Scene, straight: Rows) -> Rows:
    """What the lens makes of a picture without distortion."""
    pinhole, _ = _pinhole(scene)
    width, height = scene.size
    u, v = np.meshgrid(np.arange(0.0, width), np.arange(0.0, height))
    rays = scene.view.lens.to_rays(np.column_stack([u.ravel(), v.ravel()]))
    at = pinhole.lens.to_pixels(rays).astype(np.float32).reshape(height, width, 2)
    return np.asarray(cv2.remap(straight, at[..., 0], at[..., 1], cv2.INTER_CUBIC))


def _rendered(scene: Scene, samples: int) -> Rows:
    """Light (rows, columns, 3) that a pinhole with an opening gets."""
    import mitsuba as mi

    # the one that compiles is several times as fast and wants an LLVM on the machine
    mi.set_variant("llvm_ad_rgb" if os.environ.get("DRJIT_LIBLLVM_PATH") else "scalar_rgb")
    move = mi.ScalarTransform4f()
    pinhole, (width, height) = _pinhole(scene)
    eye, axis, down = pinhole.eye_mm, pinhole.turn[2], pinhole.turn[1]
    things: dict[str, Any] = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 3},
        "sensor": {
            "type": "thinlens",
            "aperture_radius": APERTURE_MM / 2,
            "focus_distance": float(-eye[2] / axis[2]),
            "fov": math.degrees(2.0 * math.atan(width / 2 / pinhole.lens.focal_px)),
            "fov_axis": "x",
            "near_clip": 10.0,
            "far_clip": 10000.0,
            "to_world": move.look_at(origin=list(eye), target=list(eye + 1000.0 * axis), up=list(-down)),
            "film": {"type": "hdrfilm", "width": width, "height": height, "rfilter": {"type": "box"}},
            "sampler": {"type": "independent"},
        },
        "sky": {"type": "constant", "radiance": {"type": "rgb", "value": [0.25, 0.26, 0.28]}},
        **_lamps(scene, move),
        "floor": {
            "type": "rectangle",
            "to_world": move.scale([1500.0, 1500.0, 1.0]),
            "bsdf": _painted(mi, _floor_light(scene)),
        },
    }
    for page in scene.pages:
        sheet = page_light(page.number, 1)
        tall, wide = (side / PAGE_PX_MM for side in sheet.shape)
        middle = page.to_floor(np.array([[wide / 2 - RIM_MM[0], tall / 2 - RIM_MM[1]]]))[0]
        things[f"page{page.number}"] = {
            "type": "rectangle",
            "to_world": move.translate([*middle, PAPER_MM])
            @ move.rotate([0, 0, 1], math.degrees(page.turn_rad))
            @ move.scale([page.scale * wide / 2, page.scale * tall / 2, 1.0]),
            "bsdf": _painted(mi, np.repeat(sheet[:, :, None], 3, 2)),
        }
    with tempfile.TemporaryDirectory() as folder:
        for k, body in enumerate(_bodies(scene)):
            path = Path(folder) / f"{k}.ply"
            _write_ply(path, body)
            paint = {"type": "diffuse", "reflectance": {"type": "rgb", "value": list(body.light)}}
            things[f"body{k}"] = {
                "type": "ply",
                "filename": str(path),
                "face_normals": True,
                "bsdf": {"type": "twosided", "of": paint},
            }
        world = mi.load_dict(things)
    light: Rows = np.zeros((height, width, 3), np.float32)
    for turn in range(samples):  # all rays of a large picture at once would fill the memory
        light += np.array(mi.render(world, spp=1, seed=scene.seed * samples + turn))[..., :3]
    return light / np.float32(samples)


def _lamps(scene: Scene, move: Any) -> dict[str, Any]:
    """Two lamps of unlike size and strength above the floor, off the camera's own way."""
    rng = np.random.default_rng(scene.seed + 3)
    lamps = {}
    for k, (strength, half_mm) in enumerate(((60.0, 150.0), (30.0, 250.0))):
        around, out, up = rng.uniform(0.0, 2.0 * math.pi), rng.uniform(900.0, 1600.0), rng.uniform(1500.0, 2400.0)
        at = [out * math.cos(around), out * math.sin(around), up]
        warm = [strength, 0.96 * strength, 0.9 * strength]
        lamps[f"lamp{k}"] = {
            "type": "rectangle",
            "to_world": move.look_at(origin=at, target=[0, 0, 0], up=[0.0, 1.0, 0.1])
            @ move.scale([half_mm, half_mm, 1.0]),
            "emitter": {"type": "area", "radiance": {"type": "rgb", "value": warm}},
        }
    return lamps


def _painted(mi: Any, light: Rows) -> dict[str, Any]:
    """A surface with a picture on it, its first row at the far end of y."""
    bitmap = mi.Bitmap(np.ascontiguousarray(light, np.float32))
    return {"type": "diffuse", "reflectance": {"type": "bitmap", "bitmap": bitmap, "raw": True}}


def _floor_light(scene: Scene) -> Rows:
    """A floor of its own colour with stains and grains of three sizes, 3 m wide."""
    rng = np.random.default_rng(scene.seed)
    size = 2048
    grain: Rows = np.zeros((size, size), np.float32)
    for width, share in ((2, 0.5), (12, 0.7), (90, 0.5)):
        small = rng.standard_normal((max(8, size // width),) * 2).astype(np.float32)
        grain += np.float32(share) * cv2.resize(small, (size, size), interpolation=cv2.INTER_CUBIC)
    light = np.stack([np.float32(c) * (1.0 + np.float32(scene.floor_texture) * grain) for c in scene.floor], 2)
    return np.clip(light, 0.005, 0.95)


def _bodies(scene: Scene) -> list[Body]:
    """The pattern's face and its torn wall, and fibres on its edge."""
    import mapbox_earcut

    rng = np.random.default_rng(scene.seed + 5)
    line = _evenly(scene.outline_mm, 0.4)
    ahead = np.roll(line, -1, axis=0) - np.roll(line, 1, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    out = np.column_stack([ahead[:, 1], -ahead[:, 0]])
    count = len(line)
    common = _wavy(rng, count, 6.0)
    tears = [TEAR_MM * (0.7 * common + 0.7 * _wavy(rng, count, 2.0)) for _ in range(LAYERS)]
    heights = np.linspace(0.0, scene.thickness_mm, LAYERS)
    rings = [
        np.column_stack([line + tear[:, None] * out, np.full(count, z)]) for tear, z in zip(tears, heights, strict=True)
    ]
    face = rings[-1]
    ends = np.array([count], np.uint32)
    faces = mapbox_earcut.triangulate_float64(np.ascontiguousarray(face[:, :2]), ends).reshape(-1, 3).astype(np.intp)
    here, there = np.arange(count), np.roll(np.arange(count), -1)
    sides = np.concatenate(
        [
            np.concatenate(
                [
                    np.column_stack([k * count + here, k * count + there, (k + 1) * count + there]),
                    np.column_stack([k * count + here, (k + 1) * count + there, (k + 1) * count + here]),
                ]
            )
            for k in range(LAYERS - 1)
        ]
    )
    wall = tuple(scene.wall * c for c in scene.colour)
    hairs = rng.integers(0, count, int(FIBRES_PER_MM * 0.4 * count))
    long = rng.exponential(0.3, len(hairs))[:, None]
    lean = out[hairs] + rng.normal(0.0, 0.7, (len(hairs), 2))
    root = line[hairs]
    level = rng.uniform(0.2, 1.0, len(hairs))[:, None] * scene.thickness_mm
    wide = 0.02 * ahead[hairs]
    hair = np.concatenate(
        [np.hstack([root - wide, level]), np.hstack([root + wide, level]), np.hstack([root + long * lean, level])]
    )
    n = len(hairs)
    blades = np.column_stack([np.arange(n), n + np.arange(n), 2 * n + np.arange(n)])
    return [
        Body(face, faces, scene.colour),
        Body(np.concatenate(rings), sides, (wall[0], wall[1], wall[2])),
        Body(hair, blades, scene.colour),
    ]


def _evenly(outline: Floats, step_mm: float) -> Floats:
    """A closed outline with points so far apart at most, its corners kept."""
    parts = []
    for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        n = max(1, round(float(np.linalg.norm(b - a)) / step_mm))
        parts.append(a + (b - a) * (np.arange(n) / n)[:, None])
    return np.concatenate(parts)


def _wavy(rng: np.random.Generator, count: int, points: float) -> Floats:
    """Noise of one standard deviation along a closed edge, alike over so many points."""
    noise = np.fft.rfft(rng.standard_normal(count))
    smooth = np.fft.irfft(noise * np.exp(-0.5 * (np.fft.rfftfreq(count) * 2.0 * math.pi * points / 2.0) ** 2), count)
    return np.asarray(smooth / smooth.std())


def _write_ply(path: Path, body: Body) -> None:
    head = (
        f"ply\nformat binary_little_endian 1.0\nelement vertex {len(body.corners_mm)}\n"
        "property float x\nproperty float y\nproperty float z\n"
        f"element face {len(body.faces)}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    rows = np.zeros(len(body.faces), np.dtype([("n", "u1"), ("at", "<i4", 3)]))
    rows["n"], rows["at"] = 3, body.faces
    path.write_bytes(head.encode() + body.corners_mm.astype("<f4").tobytes() + rows.tobytes())
