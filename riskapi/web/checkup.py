"""Is everything there that the service needs? For /readyz, and for 'riskapi doctor'."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError

from riskapi.storage.database import data_folder, is_current


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at. `told` says what was found; `mend` what to do about it, where it is not well."""

    name: str
    well: bool
    told: str
    mend: str = ""


def database(engine: Engine) -> list[Check]:
    """Whether the database answers, and whether its tables are those of this program."""
    try:
        current, wanted = is_current(engine)
    except SQLAlchemyError as error:
        mend = "Start it, or mend RISKAPI_DATABASE_URL."
        return [Check("database", False, f"It does not answer ({type(error).__name__}).", mend)]
    well = current == wanted
    tables = f"They are at {current or 'nothing'}; this program is at {wanted}."
    return [
        Check("database", True, f"It answers ({engine.dialect.name})."),
        Check("migrations", well, tables, "" if well else "Start 'riskapi serve' of the newest version once."),
    ]


def disk(engine: Engine, least_mb: int) -> Check:
    """Whether there is room where things are kept."""
    file = engine.url.database if engine.dialect.name == "sqlite" else None
    folder = Path(file).parent if file and file != ":memory:" else data_folder()
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    free = shutil.disk_usage(folder).free // 1_000_000
    mend = "" if free >= least_mb else "Make room, or lower RISKAPI_DISK_LEAST."
    return Check("disk", free >= least_mb, f"{free:,} MB are free.", mend)
