"""A knowledge pack as one ZIP: same files, same bytes, whatever the machine and the day."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

_EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest time a ZIP can hold


def pack_zip(contents: Mapping[str, bytes]) -> bytes:
    """A ZIP of these files, in the order of their names."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name in sorted(contents):
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.create_system = 3  # the same on every machine
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, contents[name], zipfile.ZIP_DEFLATED, 6)
    return buffer.getvalue()


def unpack_zip(content: bytes) -> dict[str, bytes]:
    """The files in a ZIP made by pack_zip."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}
