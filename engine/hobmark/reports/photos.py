"""The pictures that a case names, read from its folder and made fit to hand on: smaller, upright, and with nothing of
what the camera wrote beside them, such as the place.
"""

from __future__ import annotations

import base64
import io
import warnings
from pathlib import Path
from typing import TYPE_CHECKING

from hobmark.case import Case
from hobmark.files import read_bytes
from hobmark.knowledge.schema.photos import Photo
from hobmark.marked_yaml import locate, read_marked
from hobmark.problems import Problem, Refused
from hobmark.reports.range_report import PhotoShown

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

SIZE_LIMIT = 25 * 1024 * 1024
"""Largest picture file that is read, in bytes."""
PIXEL_LIMIT = 40_000_000
"""Largest picture that is unpacked whole, in pixels of four bytes; a small file can claim any number."""
JPEG_PIXEL_LIMIT = 200_000_000
"""Largest JPEG, which is made smaller while it is unpacked."""
LONGEST = 1000
"""Longer side of a picture in a report, in pixels."""
QUALITY = 82
"""JPEG quality of a picture in a report."""
FORMATS = ("JPEG", "PNG", "WEBP")
"""What is read; each further kind of file is a further way in for whoever made it."""
REMEDY = "Save it as JPEG or PNG, or take it out of the case."


class NotAPicture(ValueError):
    """Bytes that are no picture that can be shown."""


def photos_of(path: Path, case: Case) -> list[PhotoShown]:
    """The pictures of the case in the file `path`, in its order.

    Raises Refused with a problem at the place in the case for each that is missing, leads out of the case's folder,
    is too large, or is no picture.
    """
    shown: list[PhotoShown] = []
    problems: list[Problem] = []
    for place, photo in enumerate(case.photos):
        try:
            shown.append(_shown(path.parent, photo))
        except Refused as refused:
            problems += [_at(path, place, f"{photo.file}: {each.message}", each.remedy) for each in refused.problems]
        except NotAPicture as refused:
            problems.append(_at(path, place, f"{photo.file}: {refused}", REMEDY))
    if problems:
        raise Refused(problems)
    return shown


def _at(path: Path, place: int, message: str, remedy: str) -> Problem:
    line, column = locate(read_marked(path), ("photos", place, "file")) if path.is_file() else (1, 1)
    return Problem(str(path), line, column, message, remedy)


def _shown(folder: Path, photo: Photo) -> PhotoShown:
    data, (width, height) = plain_jpeg(read_bytes(folder / photo.file, folder, SIZE_LIMIT))
    picture = f"data:image/jpeg;base64,{base64.b64encode(data).decode('ascii')}"
    return PhotoShown(file=photo.file, shows=photo.shows, width=width, height=height, picture=picture)


def plain_jpeg(data: bytes) -> tuple[bytes, tuple[int, int]]:
    """A picture as a small upright JPEG of its pixels alone, and width and height; NotAPicture where it is none."""
    from PIL import Image, ImageOps  # none but cases with pictures need it

    try:
        with warnings.catch_warnings():
            _must_be_small(*webp_size(data), PIXEL_LIMIT)  # its decoder takes the room for all pixels when it is opened
            warnings.simplefilter("ignore")  # what a damaged file is warned of, it is refused for or shown as it is
            with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
                _must_be_small(
                    opened.width, opened.height, JPEG_PIXEL_LIMIT if opened.format == "JPEG" else PIXEL_LIMIT
                )
                opened.draft("RGB", (2 * LONGEST, 2 * LONGEST))
                opened.thumbnail((2 * LONGEST, 2 * LONGEST))
                upright = ImageOps.exif_transpose(opened)
                pixels = _on_white(upright)
    except NotAPicture:
        raise
    except Exception as error:  # what a decoder raises on bytes made to break it is not to be foreseen
        raise NotAPicture("this is no picture that can be read.") from error
    pixels.thumbnail((LONGEST, LONGEST), Image.Resampling.LANCZOS)
    plain = Image.new("RGB", pixels.size)  # a new one: pixels are all that it takes over
    plain.paste(pixels)
    written = io.BytesIO()
    plain.save(written, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return written.getvalue(), plain.size


def _must_be_small(width: int, height: int, limit: int) -> None:
    if width * height > limit:
        raise NotAPicture(f"{width} x {height} pixels are too many.")


def webp_size(data: bytes) -> tuple[int, int]:
    """Width and height that a WebP file claims (RFC 9649, sections 2.5 to 2.7); (0, 0) for any other file."""
    if data[:4] != b"RIFF" or data[8:12] != b"WEBP":
        return 0, 0
    kind, begins = data[12:16], data[20:30].ljust(10, b"\0")
    if kind == b"VP8X":
        return 1 + int.from_bytes(begins[4:7], "little"), 1 + int.from_bytes(begins[7:10], "little")
    if kind == b"VP8L":
        bits = int.from_bytes(begins[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    return int.from_bytes(begins[6:8], "little") & 0x3FFF, int.from_bytes(begins[8:10], "little") & 0x3FFF


def _on_white(picture: Picture) -> Picture:
    """The picture in plain colours; what can be seen through stands on white paper."""
    from PIL import Image

    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        seen = picture.convert("RGBA")
        paper = Image.new("RGBA", seen.size, "white")
        paper.alpha_composite(seen)
        return paper.convert("RGB")
    return picture.convert("RGB")
