"""`riskapi completion`: what a shell needs to complete commands, options, engines and sample cases."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Pack
from riskapi.errors import RiskapiError
from riskapi.samples import sample_cases

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
    pack = _pack()
    return [] if pack is None else [each.id for each in pack.families if each.id.startswith(begun)]


def revisions(ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Ids of revisions of the family typed before that begin so."""
    pack, typed = _pack(), {ctx.params.get("family"), *ctx.args}  # before the value of an option it is among args
    known = [] if pack is None else [each for each in pack.families if each.id in typed]
    return [revision.id for each in known for revision in each.revisions if revision.id.startswith(begun)]


def sample_names() -> tuple[str, ...]:
    """Names of the shipped sample cases, as `riskapi demo` takes them."""
    return tuple(name.removesuffix(".json") for name, _ in sample_cases())


def samples(_ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Names of shipped sample cases that begin so."""
    return [name for name in sample_names() if name.startswith(begun)]


def _pack() -> Pack | None:
    """The pack in use; None where it is at fault, since a key stroke is no place to say so."""
    try:
        return load_pack()
    except (RiskapiError, OSError):
        return None
