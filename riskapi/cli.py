"""The command `riskapi`.

Exit status: 0 done; 1 the input is at fault, and standard error says what, where and how to mend it, every fault
at once; 2 wrong usage; 3 a fault of the program itself. Files are written whole or not at all.

The modules cli_*.py only declare commands: what each takes, and what its help says. What it does is in
riskapi/commands/, and is imported when it runs, so that a shell that completes words waits for nothing else.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from importlib import import_module
from typing import Any

import click
from click.shell_completion import CompletionItem

from riskapi import __version__

COMMANDS = {
    "assess": ("cli_assess", "Assess the car that the file CASE describes ('-' reads standard input)."),
    "backup": ("cli_operate", "Write everything in the database to a new FILE, while the service runs."),
    "checklist": ("cli_assess", "What to look at on the car that the file CASE describes."),
    "completion": (
        "cli_completion",
        "Print the script with which the SHELL completes commands.",
    ),
    "demo": ("cli_assess", "A full run on a shipped sample case."),
    "doctor": ("cli_operate", "Show the settings and look whether everything is as it should be."),
    "engines": (
        "cli_engines",
        "List the engine families, or the revisions of a FAMILY.",
    ),
    "erase": ("cli_erase", "Erase what is personal of the cars of these assessments."),
    "keys": ("cli_keys", "Make and withdraw the keys that programs and people show to the service."),
    "knowledge": ("cli_knowledge", "Work on a knowledge pack."),
    "outcomes": ("cli_outcomes", "Print every outcome that was told to the service."),
    "reprint": ("cli_kept", "Print the assessment ID again, byte for byte, from what is kept."),
    "rescore": ("cli_kept", "Assess the car of the assessment ID again with the knowledge pack in use."),
    "restore": ("cli_operate", "Read a FILE that 'riskapi backup' wrote into an empty database."),
    "retain": ("cli_erase", "Erase what is personal and older than RISKAPI_RETENTION_DAYS."),
    "seal-keys": ("cli_seal", "The keys that seal PDFs."),
    "sensitivity": ("cli_what_if", "What moves the expected cost of the car in the file CASE most."),
    "serve": ("cli_serve", "Serve over HTTP."),
    "verify": ("cli_seal", "Has the PDF FILE changed since it was sealed?"),
    "what-if": ("cli_what_if", "Other plans, prices or budget for the car in the file CASE."),
    "worker": ("cli_worker", "Do in the background what requests leave to be done."),
}
"""Every command: the module that declares it, under its name with '-' as '_', and what a list says of it."""


class Commands(click.Group):
    """Commands that are imported when they are asked for, and that end with a message and an exit status, never with a
    traceback."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 (click's signature)
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"riskapi.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, cmd_name.replace("-", "_"))
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl([(name, told) for name, (_, told) in COMMANDS.items()])

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        return [*_begun(incomplete), *click.Command.shell_complete(self, ctx, incomplete)]

    def invoke(self, ctx: click.Context) -> Any:
        from riskapi.commands.faults import ending
        from riskapi.commands.screen import screen_of
        from riskapi.report.screen import on_screen

        with ending(ctx):
            with on_screen(screen_of(sys.stdout, os.environ)):
                done = super().invoke(ctx)
            sys.stdout.flush()
            return done


def _begun(incomplete: str) -> Iterator[CompletionItem]:
    for name, (_, told) in COMMANDS.items():
        if name.startswith(incomplete):
            yield CompletionItem(name, help=told)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="riskapi")
def main() -> None:
    """From a used car's engine, its history and what was found on it to a score, a cost, a price and a PDF.

    \b
    Try it:      riskapi demo
    Before:      riskapi checklist case.json --pdf checklist.pdf
    Assess:      riskapi assess case.json --pdf report.pdf
    Browse:      riskapi engines
    Serve:       riskapi serve --port 8000

    The knowledge pack is the one that came with the program, or the folder that RISKAPI_KNOWLEDGE names.
    Exit status: 0 done, 1 the input is at fault, 2 wrong usage, 3 a fault of the program itself.
    """
