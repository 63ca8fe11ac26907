"""Pictures of a case: what may be named, what is read, and that nothing but pixels gets into a report."""

from __future__ import annotations

import base64
import io
import json
import os
import struct
import zlib
from pathlib import Path

import jsonschema
import pytest
import yaml
from hobmark.case import Case, read_case, write_case
from hobmark.curating.schemas import schema_text
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.photos import MOST_PHOTOS, Photo
from hobmark.problems import Refused
from hobmark.reasoning.cache import load_compiled
from hobmark.reports.photos import LONGEST, PIXEL_LIMIT, SIZE_LIMIT, NotAPicture, photos_of, plain_jpeg, webp_size
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from PIL.PngImagePlugin import PngInfo

SECRET = b"51.5007N"
"""Stands in every place where a camera may write where it was."""
ORIENTATION, DESCRIPTION, GPS, LATITUDE = 0x0112, 0x010E, 0x8825, 1
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>" + SECRET + b"</x:xmpmeta>"


def written(folder: Path, photos: str) -> Path:
    path = folder / "case.yaml"
    path.write_text(f"hobmark: 1\nlabel: a range\nphotos: {photos}\nobservations: []\n", encoding="utf-8")
    return path


def case_of(path: Path) -> Case:
    return read_case(path, load_compiled([knowledge_root()]).base).case


def refused(path: Path) -> list[str]:
    with pytest.raises(Refused) as told:
        photos_of(path, case_of(path))
    return [str(each).removeprefix(f"{path.parent}{os.sep}") for each in told.value.problems]


def exif(orientation: int = 1) -> Image.Exif:
    found = Image.Exif()
    found[ORIENTATION] = orientation
    found[DESCRIPTION] = SECRET.decode()
    found.get_ifd(GPS)[LATITUDE] = SECRET.decode()
    return found


def picture(kind: str = "JPEG", size: tuple[int, int] = (60, 40), orientation: int = 1) -> bytes:
    """A picture that is left half red, right half blue, with a place in everything that its kind of file can hold."""
    drawn = Image.new("RGB", size, "red")
    drawn.paste("blue", (size[0] // 2, 0, *size))
    out = io.BytesIO()
    if kind == "PNG":
        told = PngInfo()
        told.add_text("Comment", SECRET.decode())
        told.add_itxt("XML:com.adobe.xmp", XMP.decode())
        drawn.save(out, kind, exif=exif(orientation), pnginfo=told, icc_profile=SECRET)
    elif kind == "WEBP":
        drawn.save(out, kind, exif=exif(orientation), xmp=XMP, icc_profile=SECRET, lossless=True)
    else:
        drawn.save(out, kind, exif=exif(orientation), xmp=XMP, comment=SECRET, icc_profile=SECRET, quality=95)
    return out.getvalue()


def segments(jpeg: bytes) -> list[int]:
    """The markers of a JPEG up to its pixels."""
    found, place = [], 2
    while (marker := jpeg[place + 1]) != 0xDA:
        found.append(marker)
        place += 2 + int(struct.unpack(">H", jpeg[place + 2 : place + 4])[0])
    return found


def opened(jpeg: bytes) -> Image.Image:
    return Image.open(io.BytesIO(jpeg), formats=["JPEG"])


KINDS = ["JPEG", "PNG", "WEBP"]
APP0, LAST_APP, COMMENT = 0xE0, 0xEF, 0xFE


def test_a_name_alone_names_a_picture(tmp_path: Path) -> None:
    assert case_of(written(tmp_path, "[front.jpg]")).photos == (Photo(file="front.jpg"),)


def test_a_picture_may_lie_in_a_folder_below_and_say_what_it_shows(tmp_path: Path) -> None:
    path = written(tmp_path, "[{file: shots/top.jpg, shows: the top}]")
    assert case_of(path).photos == (Photo(file="shots/top.jpg", shows="the top"),)


def test_pictures_outlive_writing_and_reading(tmp_path: Path) -> None:
    case = case_of(written(tmp_path, "[front.jpg, {file: 'a # b.jpg', shows: '# the \"top\"'}]"))
    write_case(tmp_path / "again.yaml", case)
    assert case_of(tmp_path / "again.yaml") == case


def test_a_case_without_pictures_is_written_without_a_word_of_them(tmp_path: Path) -> None:
    write_case(tmp_path / "again.yaml", case_of(written(tmp_path, "[]")))
    assert "photos" not in (tmp_path / "again.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("photos", ["[front.jpg]", "[{file: front.jpg, shows: the front}]"])
def test_the_schema_of_a_case_takes_both_ways_to_name_a_picture(photos: str, tmp_path: Path) -> None:
    entry = yaml.safe_load(written(tmp_path, photos).read_text(encoding="utf-8"))
    jsonschema.validate(entry, json.loads(schema_text("case")))


@pytest.mark.parametrize(
    "name",
    [
        "/etc/passwd",
        "../front.jpg",
        "shots/../../front.jpg",
        "'..'",
        "'\\\\server\\front.jpg'",
        "'C:\\front.jpg'",
        "'..\\f.jpg'",
    ],
)
def test_a_picture_outside_the_folder_of_the_case_is_refused_at_its_place(name: str, tmp_path: Path) -> None:
    path = written(tmp_path, f"[{{shows: x, file: {name}}}]")
    with pytest.raises(Refused) as told:
        case_of(path)
    (problem,) = told.value.problems
    assert (problem.line, problem.column) == (3, 27)
    assert "leads out of the case's folder." in problem.message


def test_more_pictures_than_a_report_has_room_for_are_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="too many"):
        case_of(written(tmp_path, f"[{', '.join(f'{n}.jpg' for n in range(MOST_PHOTOS + 1))}]"))


@pytest.mark.skipif(os.name != "posix", reason="needs links")
def test_a_link_that_leads_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "inside").mkdir()
    (tmp_path / "front.jpg").write_bytes(picture())
    (tmp_path / "inside" / "front.jpg").symlink_to(tmp_path / "front.jpg")
    (told,) = refused(written(tmp_path / "inside", "[front.jpg]"))
    assert told.startswith("case.yaml:3:10: front.jpg: this leads out of its folder.")


def test_a_folder_that_is_a_link_out_is_refused_too(tmp_path: Path) -> None:
    (tmp_path / "inside").mkdir()
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "front.jpg").write_bytes(picture())
    (tmp_path / "inside" / "shots").symlink_to(tmp_path / "outside")
    (told,) = refused(written(tmp_path / "inside", "[shots/front.jpg]"))
    assert told.startswith("case.yaml:3:10: shots/front.jpg: this leads out of its folder.")


def test_every_picture_that_is_missing_is_told_at_its_place(tmp_path: Path) -> None:
    (tmp_path / "front.jpg").write_bytes(picture())
    told = refused(written(tmp_path, "[a.jpg, front.jpg, {file: b.jpg}]"))
    assert [each.partition(" ")[0] for each in told] == ["case.yaml:3:10:", "case.yaml:3:35:"]
    assert "a.jpg: there is no such file or folder." in told[0]


def test_a_folder_is_no_picture(tmp_path: Path) -> None:
    (tmp_path / "front.jpg").mkdir()
    assert "this is a folder, not a file." in refused(written(tmp_path, "[front.jpg]"))[0]


def test_a_picture_of_too_many_bytes_is_not_read(tmp_path: Path) -> None:
    with (tmp_path / "front.jpg").open("wb") as file:
        file.truncate(SIZE_LIMIT + 1)
    assert "front.jpg: the file is larger than 25 MiB." in refused(written(tmp_path, "[front.jpg]"))[0]


def bomb() -> bytes:
    """A PNG of some bytes that says it has more pixels than are unpacked."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", PIXEL_LIMIT // 1000, 1001, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(9))) + chunk(b"IEND", b"")


def gif() -> bytes:
    out = io.BytesIO()
    Image.new("L", (9, 9)).save(out, "GIF")
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "no picture that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no picture that can be read"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n", "no picture that can be read"),
        (picture()[:400], "no picture that can be read"),
        (picture("PNG")[:-60], "no picture that can be read"),
        (gif(), "no picture that can be read"),
        (bomb(), "pixels are too many"),
    ],
    ids=["nothing", "a drawing", "a program", "half a JPEG", "half a PNG", "another kind", "a bomb"],
)
def test_what_is_no_picture_is_refused_with_a_remedy(data: bytes, why: str, tmp_path: Path) -> None:
    (tmp_path / "front.jpg").write_bytes(data)
    (told,) = refused(written(tmp_path, "[front.jpg]"))
    assert why in told
    assert told.endswith("Save it as JPEG or PNG, or take it out of the case.")


@pytest.mark.parametrize("kind", KINDS)
def test_what_the_camera_wrote_beside_the_pixels_is_in_the_picture_as_it_came(kind: str) -> None:
    assert SECRET in picture(kind)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_of_what_the_camera_wrote_beside_the_pixels_is_left(kind: str) -> None:
    made, _ = plain_jpeg(picture(kind))
    assert SECRET not in made
    assert [mark for mark in segments(made) if APP0 < mark <= LAST_APP or mark == COMMENT] == []
    assert not dict(opened(made).getexif())


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("orientation", "upper_left"),
    [(1, "red"), (2, "blue"), (3, "blue"), (4, "red"), (5, "red"), (6, "red"), (7, "blue"), (8, "blue")],
)
def test_a_picture_stands_upright(kind: str, orientation: int, upper_left: str) -> None:
    made, size = plain_jpeg(picture(kind, orientation=orientation))
    red, _, blue = opened(made).convert("RGB").getpixel((3, 3))  # type: ignore[misc]
    assert size == ((60, 40) if orientation < 5 else (40, 60))
    assert ("red" if red > blue else "blue") == upper_left


def test_a_large_picture_is_made_smaller_and_keeps_its_shape() -> None:
    made, size = plain_jpeg(picture(size=(3000, 1500)))
    assert size == opened(made).size == (LONGEST, LONGEST // 2)


def test_a_small_picture_stays_as_large_as_it_is() -> None:
    assert plain_jpeg(picture())[1] == (60, 40)


def test_what_can_be_seen_through_stands_on_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(out, "PNG")
    assert opened(plain_jpeg(out.getvalue())[0]).getpixel((9, 9)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "I;16", "CMYK"])
def test_pictures_of_every_kind_of_colour_are_shown(mode: str) -> None:
    out = io.BytesIO()
    Image.new(mode, (20, 10)).save(out, "JPEG" if mode == "CMYK" else "PNG")
    assert opened(plain_jpeg(out.getvalue())[0]).mode == "RGB"


def test_a_picture_is_handed_on_as_an_address_that_holds_it(tmp_path: Path) -> None:
    (tmp_path / "front.jpg").write_bytes(picture())
    (shown,) = photos_of(path := written(tmp_path, "[{file: front.jpg, shows: the front}]"), case_of(path))
    head, _, held = shown.picture.partition(",")
    assert (shown.file, shown.shows, shown.width, shown.height) == ("front.jpg", "the front", 60, 40)
    assert head == "data:image/jpeg;base64"
    assert opened(base64.b64decode(held)).size == (60, 40)


@settings(max_examples=150)
@given(kind=st.sampled_from(KINDS), cut=st.integers(0, 700), put=st.binary(max_size=40), drop=st.integers(0, 40))
def test_damaged_bytes_give_a_plain_picture_or_are_none(kind: str, cut: int, put: bytes, drop: int) -> None:
    whole = picture(kind)
    try:
        made, size = plain_jpeg(whole[:cut] + put + whole[cut + drop :])
    except NotAPicture:
        return
    assert opened(made).size == size


@pytest.mark.parametrize("size", [(1, 1), (37, 512), (640, 3)])
@pytest.mark.parametrize("how", [{}, {"lossless": True}, {"exif": b"Exif\0\0MM"}], ids=["VP8", "VP8L", "VP8X"])
def test_the_size_a_webp_claims_is_read_as_its_own_library_reads_it(
    size: tuple[int, int], how: dict[str, object]
) -> None:
    out = io.BytesIO()
    Image.new("RGB", size, "red").save(out, "WEBP", **how)
    assert webp_size(out.getvalue()) == size


@pytest.mark.parametrize(
    "head",
    [
        b"VP8X" + struct.pack("<I", 10) + b"\x02\0\0\0" + b"\xfe\x3f\0" * 2,
        b"VP8L" + struct.pack("<I", 5) + b"\x2f\xff\xff\xff\x0f",
        b"VP8 " + struct.pack("<I", 10) + b"\0\0\0\x9d\x01\x2a" + struct.pack("<HH", 16383, 16383),
    ],
    ids=["VP8X", "VP8L", "VP8"],
)
def test_a_webp_that_claims_too_many_pixels_is_refused_before_it_is_opened(
    head: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RFC 9649: the sides are 14 bits in a picture, 24 in its frame."""
    monkeypatch.setattr(Image, "open", lambda *_, **__: pytest.fail("it was opened"))
    with pytest.raises(NotAPicture, match="pixels are too many"):
        plain_jpeg(b"RIFF" + struct.pack("<I", len(head) + 4) + b"WEBP" + head + b"\0" * 3000)


@given(st.binary(max_size=40))
def test_any_bytes_have_a_size_or_none(data: bytes) -> None:
    assert min(webp_size(b"RIFF1234WEBP" + data)) >= 0
