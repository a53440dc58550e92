"""`riskapi completion`: what a shell needs to complete commands, options, engines and sample cases.

A key stroke waits for this, so the pack is not loaded, only the names of its engines are read.
"""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from riskapi.samples import sample_names

SHELLS = ("bash", "zsh", "fish")
_NAME, _VARIABLE = "riskapi", "_RISKAPI_COMPLETE"


@click.command()
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion(ctx: click.Context, shell: str) -> None:
    """Print the script with which the SHELL completes commands, options, engines, revisions and sample cases.

    \b
    riskapi completion bash >> ~/.bashrc
    riskapi completion zsh >> ~/.zshrc
    riskapi completion fish > ~/.config/fish/completions/riskapi.fish
    """
    made = get_completion_class(shell)
    if made is None:
        raise click.UsageError(f"{shell} is not known here.")
    click.echo(made(ctx.find_root().command, {}, _NAME, _VARIABLE).source())


def families(_ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Ids of engine families that begin so."""
    return [family for family in _engines() if family.startswith(begun)]


def revisions(ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Ids of revisions of the family typed before that begin so."""
    typed = {ctx.params.get("family"), *ctx.args}  # before the value of an option it is among args
    known = [revision for family, its in _engines().items() if family in typed for revision in its]
    return [revision for revision in known if revision.startswith(begun)]


def samples(_ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Names of shipped sample cases that begin so."""
    return [name for name in sample_names() if name.startswith(begun)]


def _engines() -> dict[str, tuple[str, ...]]:
    from riskapi.catalogue.folder import engine_names

    return engine_names()
