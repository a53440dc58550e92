"""How long what is personal is kept: a setting, counted from the day an assessment was made or a photo was sent.

The default is 400 days: the last question after a purchase comes after twelve months, and a month is left to answer it.
"""

from __future__ import annotations

import os
from datetime import datetime, timedelta

from sqlalchemy import Engine

from riskapi.errors import Fault, InputError
from riskapi.storage.erasing import Erased, compact, erase_older

SETTING = "RISKAPI_RETENTION_DAYS"
DEFAULT_DAYS = 400
LONGEST_DAYS = 36_500


def retention_days() -> int:
    """For how many days identities and photos are kept. Raises InputError."""
    stated = os.environ.get(SETTING, str(DEFAULT_DAYS))
    if not (stated.isascii() and stated.isdecimal() and 1 <= int(stated) <= LONGEST_DAYS):
        mend = f"Set a whole number of days from 1 to {LONGEST_DAYS}, or leave it out for {DEFAULT_DAYS}."
        raise InputError([Fault(SETTING, "This is no number of days.", mend)])
    return int(stated)


def retain(engine: Engine, now: datetime, *, whole: bool = False) -> Erased:
    """Erase what has been kept long enough; `whole` as in `compact`. Raises InputError."""
    done = erase_older(engine, now - timedelta(days=retention_days()), now)
    if done != Erased() or whole:
        compact(engine, whole=whole)
    return done
