"""Photos: what a camera writes beside the picture is gone, and nothing but a picture comes through.

Orientation values and tag numbers: Exif 3.0 (CIPA DC-008), tags Orientation 0x0112, Make 0x010F, GPS IFD 0x8825.
"""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image

from riskapi.errors import PhotoError
from riskapi.intake import photo
from riskapi.intake.photo import LONGEST_SIDE, read_photo


def encoded(image: Image.Image, form: str, **kwargs: object) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **kwargs)
    return out.getvalue()


def half(left: str, right: str) -> Image.Image:
    image = Image.new("RGB", (200, 100), left)
    image.paste(right, (100, 0, 200, 100))
    return image


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_the_picture_stays_and_is_a_jpeg(form: str) -> None:
    read = read_photo(encoded(half("white", "black"), form))
    image = opened(read.content)
    assert image.format == "JPEG"
    assert (read.width, read.height) == image.size == (200, 100)
    assert min(image.getpixel((20, 50))) > 240
    assert max(image.getpixel((180, 50))) < 15


def test_place_time_and_camera_are_gone() -> None:
    exif = Image.Exif()
    exif[0x010F] = "A camera of somebody"
    exif[0x8825] = {1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)}
    data = encoded(half("white", "black"), "JPEG", exif=exif, comment=b"the owner's name")
    assert b"somebody" in data
    assert 0x8825 in opened(data).getexif()
    read = read_photo(data)
    assert not opened(read.content).getexif()
    assert {"exif", "comment", "xmp", "icc_profile", "photoshop"} & set(opened(read.content).info) == set()
    for told in (b"somebody", b"owner", b"Exif", b"http"):
        assert told not in read.content


def test_a_text_in_a_png_is_gone() -> None:
    body = b"Author\x00the owner's name"
    chunk = struct.pack(">I", len(body)) + b"tEXt" + body + struct.pack(">I", zlib.crc32(b"tEXt" + body))
    data = encoded(half("white", "black"), "PNG")
    assert b"owner" not in read_photo(data[:33] + chunk + data[33:]).content


@pytest.mark.parametrize(
    ("orientation", "size", "white"), [(1, (200, 100), (20, 50)), (6, (100, 200), (50, 20)), (3, (200, 100), (180, 50))]
)
def test_it_stands_upright(orientation: int, size: tuple[int, int], white: tuple[int, int]) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    image = opened(read_photo(encoded(half("white", "black"), "JPEG", exif=exif)).content)
    assert image.size == size
    assert min(image.getpixel(white)) > 240


def test_a_large_one_is_made_smaller_and_a_small_one_is_not_made_larger() -> None:
    read = read_photo(encoded(Image.new("RGB", (4000, 3000), "grey"), "JPEG"))
    assert (read.width, read.height) == (LONGEST_SIDE, LONGEST_SIDE * 3 // 4)
    assert read_photo(encoded(Image.new("L", (7, 5)), "PNG")).width == 7


def test_what_is_transparent_becomes_white() -> None:
    read = read_photo(encoded(Image.new("RGBA", (20, 20), (255, 0, 0, 0)), "PNG"))
    assert min(opened(read.content).getpixel((10, 10))) > 250


def test_the_same_picture_has_the_same_digest() -> None:
    data = encoded(half("white", "black"), "PNG")
    assert read_photo(data).digest == read_photo(data).digest


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it has so many pixels (ISO/IEC 15948, IHDR)."""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", zlib.compress(bytes(1000))), (b"IEND", b"")]
    parts = [struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d)) for n, d in chunks]
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


HOSTILE = {
    "nothing": b"",
    "text": b"<script>alert(1)</script>",
    "a drawing with a script": b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>',
    "another kind of picture": encoded(Image.new("RGB", (4, 4)), "GIF"),
    "a printed page": b"%PDF-1.4\n%%EOF",
    "cut short": encoded(half("white", "black"), "JPEG")[:200],
    "many pixels": bomb(30_000, 30_000),
    "more pixels than a number holds": bomb(2**31 - 1, 2**31 - 1),
    "no pixel": bomb(0, 0),
    "a bomb": bomb(8_000, 8_000),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_picture_or_too_large_is_refused(name: str) -> None:
    with pytest.raises(PhotoError) as refused:
        read_photo(HOSTILE[name])
    assert refused.value.faults[0].mend


def test_more_bytes_than_are_read_are_refused_before_they_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo, "PHOTO_BYTES_LIMIT", 100)
    with pytest.raises(PhotoError, match="at most 100"):
        read_photo(encoded(half("white", "black"), "PNG"))
