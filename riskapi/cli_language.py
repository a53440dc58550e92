"""The options --language and --units of the command line."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import click

from riskapi.report.language import DEFAULT, LANGUAGES, Units, speaking, units_of

Command = Callable[..., Any]


class _Units(click.ParamType[Units]):
    """'mi,psi,qt' -> Units."""

    name = "units"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Units:
        try:
            return value if isinstance(value, Units) else units_of(str(value))
        except ValueError as error:
            self.fail(f"{error}.", param, ctx)


def spoken_in(command: Command) -> Command:
    """A command that speaks the language and the units asked for, also when it fails; it gets `language` too."""

    @wraps(command)
    def run(*args: Any, units: Any, language: str, **options: Any) -> Any:
        from riskapi.commands.faults import ending

        with speaking(language, units), ending(click.get_current_context()):
            return command(*args, language=language, **options)

    ask_units = click.option(
        "--units",
        type=_Units(),
        default="km,bar,L",
        show_default=True,
        help="Units told: km or mi, bar or psi, L or qt, with commas between.",
    )
    ask_language = click.option(
        "--language",
        type=click.Choice(LANGUAGES),
        default=DEFAULT,
        show_default=True,
        help="Language of what is written for people, faults too; JSON is English.",
    )
    return ask_language(ask_units(run))
