"""What `riskapi doctor`, `backup` and `restore` do: for whoever runs the service."""

from __future__ import annotations

import platform
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path

import click
from sqlalchemy import Engine, func, select
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from riskapi import __version__
from riskapi.catalogue.load import load_pack
from riskapi.commands.screen import waiting
from riskapi.errors import RiskapiError
from riskapi.storage import open_database
from riskapi.storage.backup import back_up
from riskapi.storage.backup import restore as read_back
from riskapi.storage.deliveries import Pulse
from riskapi.storage.models import AssessmentRow, SealKeyRow
from riskapi.storage.price_feeds import PriceFeeds
from riskapi.web import checkup
from riskapi.web.checkup import Check
from riskapi.web.settings import Settings

_OLDEST_PYTHON = (3, 11)
FEED_SILENT = timedelta(days=2)


def doctor() -> None:
    """Show the settings and look whether everything is as it should be; exit status 1 where it is not."""
    settings = Settings.from_environment()
    click.echo(f"riskapi {__version__}")
    for name, value in settings.summary():
        click.echo(f"  {name:<24}{value}")
    checks = list(examine(settings))
    for each in checks:
        click.echo(f"{'well' if each.well else 'NOT WELL':<10}{each.name:<12}{each.told} {each.mend}".rstrip())
    if not all(each.well for each in checks):
        sys.exit(1)


def backup(file: Path) -> None:
    """Write everything in the database to a new FILE, while the service runs."""
    settings = Settings.from_environment()
    with waiting("progress_backup"):
        rows = back_up(open_database(settings.database_url), file)
    click.echo(f"{rows:,} rows in {file}")


def restore(file: Path) -> None:
    """Read a FILE that 'riskapi backup' wrote into an empty database, SQLite or PostgreSQL; all or nothing."""
    settings = Settings.from_environment()
    with waiting("progress_restore"):
        rows = read_back(open_database(settings.database_url), file)
    click.echo(f"{rows:,} rows from {file}")


def examine(settings: Settings) -> Iterator[Check]:
    """Every check, one after the other."""
    yield _python()
    yield _packages()
    yield _pack(settings)
    try:
        engine = open_database(settings.database_url)
    except (RiskapiError, OSError) as error:
        yield Check("database", False, str(error))
        return
    found = checkup.database(engine)
    yield from found
    if all(each.well for each in found):
        for look in (_writable, _clock, _seal_key, _worker):
            yield _looked(look, engine)
        if settings.price_feed is not None:
            yield _feed(engine, settings.price_feed)
    yield checkup.disk(engine, settings.disk_least)
    engine.dispose()


def _looked(look: Callable[[Engine], Check], engine: Engine) -> Check:
    try:
        return look(engine)
    except SQLAlchemyError as error:
        return Check(look.__name__.strip("_"), False, f"The database refused it ({type(error).__name__}).")


def _python() -> Check:
    well = sys.version_info >= _OLDEST_PYTHON
    return Check("python", well, platform.python_version(), "" if well else "Install Python 3.11 or newer.")


def _packages() -> Check:
    missing = [name for name in _needed() if not _installed(name)]
    told = f"Missing: {', '.join(missing)}." if missing else "All are installed."
    return Check("packages", not missing, told, "Install riskapi again." if missing else "")


def _needed() -> list[str]:
    try:
        stated = requires("riskapi") or []
    except PackageNotFoundError:  # run from the sources
        return []
    return [
        "".join(c if c.isalnum() or c in "-_." else " " for c in line).split()[0] for line in stated if ";" not in line
    ]


def _installed(name: str) -> bool:
    try:
        return bool(version(name))
    except PackageNotFoundError:
        return False


def _pack(settings: Settings) -> Check:
    try:
        pack = load_pack(Path(settings.knowledge) if settings.knowledge else None)
    except (RiskapiError, OSError) as error:
        return Check("pack", False, str(error).splitlines()[0], "'riskapi knowledge check' names every fault.")
    return Check("pack", True, f"Version {pack.version}, digest {pack.digest[:12]}.")


def _writable(engine: Engine) -> Check:
    """A write that is rolled back."""
    with Session(engine.execution_options(immediate=True)) as session:
        session.add(SealKeyRow(id="doctor", public_key=b"", created_at=datetime.now(UTC)))
        session.flush()
        session.rollback()
    return Check("writable", True, "Rows can be written.")


def _clock(engine: Engine) -> Check:
    """Whether the clock has not been set back behind what is kept."""
    with Session(engine) as session:
        newest = session.scalar(select(func.max(AssessmentRow.created_at)))
    now = datetime.now(UTC)
    well = newest is None or newest <= now + timedelta(minutes=5)
    mend = "" if well else f"The newest assessment is of {newest}: set the clock."
    return Check("clock", well, f"{now:%Y-%m-%d %H:%M} UTC.", mend)


def _seal_key(engine: Engine) -> Check:
    with Session(engine) as session:
        keys = session.scalar(select(func.count()).select_from(SealKeyRow).where(SealKeyRow.retired_at.is_(None))) or 0
    return Check("seal key", True, "There is one." if keys else "None yet; the first seal makes one.")


def _worker(engine: Engine) -> Check:
    alive = Pulse(engine).alive(datetime.now(UTC))
    told = f"Running: {', '.join(alive)}." if alive else "None was seen in the last two minutes."
    return Check("worker", bool(alive), told, "" if alive else "'riskapi serve' and 'riskapi worker' start one.")


def _feed(engine: Engine, url: str) -> Check:
    kept = PriceFeeds(engine).get(url)
    if kept is None:
        return Check("price feed", False, "It has never answered.", "Look at the worker's log.")
    silent = datetime.now(UTC) - kept.checked_at
    mend = "" if silent < FEED_SILENT else "Look at the worker's log."
    return Check("price feed", silent < FEED_SILENT, f"It answered last at {kept.checked_at:%Y-%m-%d %H:%M} UTC.", mend)
