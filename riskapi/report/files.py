"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


def write_whole(contents: Mapping[Path, bytes]) -> None:
    """Write these files, each under a temporary name first; only when all are written do they get their own names.

    The folders must exist. Raises OSError, and then leaves no new file and no temporary one behind.
    """
    ready: dict[Path, Path] = {}
    try:
        for path, data in contents.items():
            ready[path] = _beside(path, data)
        for path, temporary in list(ready.items()):
            temporary.replace(path)
            del ready[path]
    finally:
        for temporary in ready.values():
            temporary.unlink(missing_ok=True)


def _beside(path: Path, data: bytes) -> Path:
    """The data in a new file in the folder of `path`, with the permissions that a new file usually gets."""
    if path.is_dir():
        raise IsADirectoryError(21, "this is a folder, a file was expected", str(path))
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as error:
        error.filename = str(path)  # nobody asked for the temporary one
        raise
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        temporary.chmod(0o666 & ~_mask())
    except OSError:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
