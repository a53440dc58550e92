"""Photos as they are printed: no more pixels than paper shows, so that many of them still make a small file."""

from __future__ import annotations

from io import BytesIO

from PIL import Image, UnidentifiedImageError
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable

from riskapi.report.tagging import marked

DOTS = 170.0 / 72.0  # pixels per point on paper
QUALITY = 80


class PrintedPhoto(Flowable):
    """A picture that fits into a box [points], its sides in proportion, at the upper left; `alt` says what it shows."""

    def __init__(self, content: bytes, width: float, height: float, alt: str) -> None:
        """Raises ValueError where the content is no picture."""
        super().__init__()
        self.alt = alt
        self._image, pixels = _small(content, width * DOTS, height * DOTS)
        factor = min(width / pixels[0], height / pixels[1])
        self.width, self.height = pixels[0] * factor, pixels[1] * factor

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with marked(self.canv, "Figure", self.alt):
            self.canv.drawImage(self._image, 0, 0, self.width, self.height, mask="auto")


def _small(content: bytes, width: float, height: float) -> tuple[ImageReader, tuple[int, int]]:
    """The picture with as many pixels as fit, and how many these are. A PNG stays one, for its clear ground."""
    try:
        with Image.open(BytesIO(content)) as picture:
            lossless = picture.format == "PNG"
            picture.draft("RGB", (round(width), round(height)))
            made = picture.convert("RGBA" if lossless else "RGB")
    except (UnidentifiedImageError, OSError) as error:
        raise ValueError("not a picture") from error
    made.thumbnail((max(8, round(width)), max(8, round(height))), Image.Resampling.LANCZOS)
    written = BytesIO()
    if lossless:
        made.save(written, "PNG")
    else:
        made.save(written, "JPEG", quality=QUALITY)
    return ImageReader(BytesIO(written.getvalue())), made.size
