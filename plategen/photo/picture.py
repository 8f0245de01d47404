"""A photograph read from its file: turned upright, in linear light, with what its camera says of its lens."""

import math
import warnings
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from plategen.ground.refusal import Refusal

if TYPE_CHECKING:
    from PIL import Image

MOST_BYTES = 64 * 1024 * 1024
MOST_PIXELS = 64_000_000
"""A picture larger than this is no telephone's."""

WORKED_PIXELS = 16_000_000
"""A larger picture is brought to this many: the rest is the lens's blur and the sensor's noise."""

FEWEST_PIXELS = 1_000_000
"""Of less than this a marker a floor away is too small to read."""

MOST_COARSE = 80.0
"""Mean step of a JPEG's first table of more than this tells no edge; at quality 75 it is 29, at 40 it is 72 (the
tables of ITU-T T.81, annex K, scaled as the IJG's library does)."""

FRAME_35MM = 43.2666
"""Diagonal of the frame that focal lengths are compared with, 24 mm by 36 mm (CIPA DCG-001)."""

USUAL_35MM, USUAL_SHARE = 26.0, 0.25
"""Focal length of a telephone's main camera, for that frame (common practice, no source), and what it may be out by."""

SAID_SHARE = 0.06
"""What a focal length that the picture's own record gives may be out by: makers round it, and focusing changes it."""


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A photograph, upright."""

    file: str
    pixels: NDArray[np.uint8]  # (height, width, 3): red, green, blue, as a screen shows them.
    focal_px: float  # What the focal length is likely to be.
    focal_share: float  # One standard deviation of that, as a share of it.
    camera: str  # Words that are alike for two pictures of one camera at one zoom.


def read_picture(data: bytes, file: str) -> Picture:
    """The picture in a file's bytes.

    Raises:
        Refusal: If it is no picture that can be read, or one too large or too small.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(data) > MOST_BYTES:
        raise Refusal(
            f"{len(data) / 1e6:.0f} MB is too large; save the photograph below {MOST_BYTES // 2**20} MB", file
        )
    if data[4:8] == b"ftyp":
        raise Refusal(
            "a HEIC or AVIF photograph is not read; set the camera to its most compatible format, or share or export "
            "it as JPEG, and give that file",
            file,
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image: Image.Image = Image.open(BytesIO(data), formats=("JPEG", "PNG", "TIFF", "WEBP"))
            if image.width * image.height > MOST_PIXELS:
                raise Refusal(f"{image.width} by {image.height} pixels is too large; save it smaller", file)
            _refuse_coarse(image, file)
            said = image.getexif()
            ImageOps.exif_transpose(image, in_place=True)
            image = _in_srgb(image)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise Refusal("too many pixels to open; save the photograph smaller", file) from None
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError):
        raise Refusal("not a photograph that can be read; give a JPEG or PNG file", file) from None
    more = math.sqrt(image.width * image.height / WORKED_PIXELS)
    if more > 1.0:  # alike both ways, to the last digit
        size = int(image.width / more), int(image.height / more)
        image = image.resize(size, Image.Resampling.HAMMING, box=(0.0, 0.0, size[0] * more, size[1] * more))
    if image.width * image.height < FEWEST_PIXELS:
        raise Refusal(
            f"{image.width} by {image.height} pixels is too small; give the photograph itself, not a copy for a screen",
            file,
        )
    diagonal = math.hypot(image.width, image.height)
    details = said.get_ifd(0x8769)
    equivalent = _number(details.get(0xA405))
    told = 8.0 <= equivalent <= 300.0
    return Picture(
        file=file,
        pixels=np.asarray(image),
        focal_px=(equivalent if told else USUAL_35MM) / FRAME_35MM * diagonal,
        focal_share=SAID_SHARE if told else USUAL_SHARE,
        camera=f"{max(image.size)} {min(image.size)} {said.get(0x0110, '')} {details.get(0x920A, '')}",
    )


def _refuse_coarse(image: "Image.Image", file: str) -> None:
    """Refuse a JPEG that keeps so little that its blocks, not the edges in it, would be measured."""
    tables = getattr(image, "quantization", None)
    if not tables:
        return
    table = list(next(iter(tables.values())))
    if sum(table) / len(table) > MOST_COARSE:
        words = (
            "the photograph was compressed so hard that its edges are gone; send the file itself, not through a "
            "messenger that makes it smaller"
        )
        raise Refusal(words, file)


def _number(value: object) -> float:
    try:
        return float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError):
        return 0.0


def _in_srgb(image: "Image.Image") -> "Image.Image":
    """The picture in the colours of a screen, whatever profile it carries."""
    from PIL import ImageCms

    profile = image.info.get("icc_profile")
    image = image if image.mode == "RGB" else image.convert("RGB")
    if profile:
        try:
            made = ImageCms.profileToProfile(
                image, ImageCms.ImageCmsProfile(BytesIO(profile)), ImageCms.createProfile("sRGB")
            )
        except ImageCms.PyCMSError:
            return image
        return made or image
    return image


def linear(values: NDArray[np.generic]) -> NDArray[np.float32]:
    """Light, 0 to 1, of a screen's values, 0 to 255 (IEC 61966-2-1, sRGB)."""
    share = np.asarray(values, np.float32) / np.float32(255.0)
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4).astype(np.float32)
