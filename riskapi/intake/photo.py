"""A photo as it comes in: read within bounds, turned upright, made smaller and encoded anew.

What a camera writes beside the picture (place, time, owner, a thumbnail of what was cut off) does not survive that, and
neither does anything that is not a picture.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from PIL import Image, ImageOps, UnidentifiedImageError

from riskapi.domain.sentence import Sentence, at_fault, told
from riskapi.errors import PhotoError

PHOTO_BYTES_LIMIT = 15_000_000
PIXELS_LIMIT = 50_000_000  # a picture says its size before it is unpacked
LONGEST_SIDE = 1_600  # [pixels] enough for a quarter of a printed page
FORMATS = ("JPEG", "PNG", "WEBP")
MEDIA_TYPES = ("image/jpeg", "image/png", "image/webp")
_QUALITY = 80
_SMALLER = told("Make it smaller.")


@dataclass(frozen=True, slots=True)
class Photo:
    """A JPEG (ISO/IEC 10918-1) without anything beside the picture; width and height in pixels."""

    content: bytes = field(repr=False)
    width: int
    height: int

    @property
    def digest(self) -> str:
        """SHA-256 of the content."""
        return hashlib.sha256(self.content).hexdigest()


def read_photo(data: bytes) -> Photo:
    """The photo in these bytes: JPEG, PNG or WebP. Raises PhotoError."""
    if len(data) > PHOTO_BYTES_LIMIT:
        limit = PHOTO_BYTES_LIMIT
        raise _refused(
            told("The picture has {size:,d} bytes; at most {limit:,d} are read.", size=len(data), limit=limit), _SMALLER
        )
    with _read(data) as picture:
        small = _plain(picture)
    out = io.BytesIO()
    small.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return Photo(out.getvalue(), *small.size)


@contextmanager
def _read(data: bytes) -> Iterator[Image.Image]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about odd metadata, none of which is kept
            with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
                _check_size(picture)
                picture.load()
                yield picture
    except Image.DecompressionBombError:
        raise _too_large() from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError, TypeError):
        mend = told("Send a JPEG, PNG or WebP file.")
        raise _refused(told("This is no picture that can be read."), mend) from None


def _check_size(picture: Image.Image) -> None:
    if picture.width * picture.height > PIXELS_LIMIT:
        raise _too_large()


def _plain(picture: Image.Image) -> Image.Image:
    """Upright, without transparency, no longer than LONGEST_SIDE."""
    picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
    upright = ImageOps.exif_transpose(picture)
    if upright.mode in ("RGBA", "LA", "P", "PA"):
        layer = upright.convert("RGBA")
        upright = Image.alpha_composite(Image.new("RGBA", layer.size, "white"), layer)
    plain = upright.convert("RGB")
    plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    plain.info = {}
    return plain


def _too_large() -> PhotoError:
    return _refused(told("The picture has more than {limit:,d} pixels.", limit=PIXELS_LIMIT), _SMALLER)


def _refused(message: Sentence, mend: Sentence) -> PhotoError:
    return PhotoError([at_fault("", message, mend)])
