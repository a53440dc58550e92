"""What every view needs, made once when the application is created."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, cast

from flask import Flask, current_app

from riskapi.desk import Desk, open_desk
from riskapi.desk.recent import Recent
from riskapi.domain.glance import Standing
from riskapi.storage import Accounts
from riskapi.web.access import caller
from riskapi.web.public_url import public_url

STANDINGS_KEPT = 16  # per process, each of a few megabytes
_KEY = "riskapi"


@dataclass(frozen=True, slots=True)
class State(Desk):
    """The desk, the accounts, and what was computed of cars that are being looked at, by the digest of the case without
    its findings."""

    accounts: Accounts
    standings: Recent[str, Standing] = field(default_factory=lambda: Recent(STANDINGS_KEPT))


def make_state(config: Mapping[str, Any]) -> State:
    """Load the knowledge pack (config KNOWLEDGE), open the database (config DATABASE_URL) and read the public address
    (config PUBLIC_URL).

    Raises KnowledgeError or InputError with every fault.
    """
    folder = Path(config["KNOWLEDGE"]) if config.get("KNOWLEDGE") else None
    desk = open_desk(folder, config.get("DATABASE_URL"), config.get("PRICE_FEED"))
    kept = (desk.pack, desk.knowledge, desk.repository, Accounts(desk.repository.engine))
    return State(*kept, address=public_url(config.get("PUBLIC_URL")), feed=desk.feed)


def attach(app: Flask, state: State) -> None:
    """Make the state known to the views of this application."""
    app.extensions[_KEY] = state


def state_of(app: Flask) -> State:
    """The state of an application."""
    return cast(State, app.extensions[_KEY])


def state() -> State:
    """The state of the application that answers this request; its repository is that of the caller's account."""
    found, known = state_of(current_app), caller()
    return found if known is None else replace(found, repository=found.repository.of(known.account))
