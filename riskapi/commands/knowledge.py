"""What `riskapi knowledge` does: is a pack in order, and what changed from one to another."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from riskapi import service
from riskapi.catalogue.difference import compare, in_words
from riskapi.catalogue.fold import fold_single_readers
from riskapi.catalogue.load import counts, pack_as_written
from riskapi.commands.faults import sentences
from riskapi.commands.screen import counted
from riskapi.domain.assessment import Assessment
from riskapi.domain.display import display_texts, missing_texts
from riskapi.domain.knowledge import Pack
from riskapi.errors import KnowledgeError, RiskapiError
from riskapi.intake import read_case
from riskapi.report.format import money_exact, number
from riskapi.samples import sample_cases
from riskapi.storage import migrate, open_database
from riskapi.storage.operator import owner_of
from riskapi.storage.recalls import recall as mark_recalled
from riskapi.storage.recalls import recalls

SMALLEST_MOVE = 0.05  # of a score [0..100]


def check(directory: Path | None) -> None:
    """Check the knowledge pack in DIR (by default the one in use)."""
    pack = pack_as_written(directory)
    click.echo(counts(pack))
    for language in pack.languages:
        missing, total = len(missing_texts(pack, language)), len(display_texts(pack))
        if missing:
            click.echo(f"languages/{language}.po: {missing} of {total} texts are missing", err=True)


def diff(old: Path, new: Path) -> None:
    """Say what changed from the pack in OLD to the pack in NEW, and which way the risk moved."""
    written = _written(old), _written(new)
    packs = fold_single_readers(written[0]), fold_single_readers(written[1])
    click.echo(f"{packs[0].version} ({packs[0].digest[:12]}) -> {packs[1].version} ({packs[1].digest[:12]})")
    for line in in_words(compare(*written)):
        click.echo(line)
    if packs[0].digest != packs[1].digest:
        click.echo("Sample cases: score, expected surprise repairs")
        for line in [f"  {name}: {moved(data, packs)}" for name, data in counted(sample_cases(), "progress_samples")]:
            click.echo(line)


def recall(digest: str, reason: str) -> None:
    """Recall the pack with this DIGEST (or its first 8 digits and more): it is no longer to be relied on."""
    engine = open_database()
    migrate(engine)
    made = mark_recalled(engine, digest, reason, datetime.now(UTC))
    affected = next(each.assessments for each in recalls(engine) if each.digest == made.digest)
    click.echo(f"{made.version} ({made.digest[:12]}) is recalled: {made.reason}")
    for identifier in affected:
        click.echo(f"{identifier}  {owner_of(engine, identifier).name}")
    click.echo(f"{len(affected)} assessments were made with it.")


def _written(folder: Path) -> Pack:
    try:
        return pack_as_written(folder)
    except KnowledgeError as error:
        error.add_note(str(folder))
        raise


def moved(data: bytes, packs: tuple[Pack, Pack]) -> str:
    """Score and expected cost of one case with both packs, or which pack cannot read it and why."""
    done: list[Assessment] = []
    for side, pack in zip(("old", "new"), packs, strict=True):
        try:
            done.append(service.assess(read_case(data, pack), pack))
        except RiskapiError as error:
            first = sentences(error)[0]
            return f"the {side} pack cannot read it: {first}"
    old, new = (assessment.risk.score for assessment in done)
    costs = " -> ".join(money_exact(each.cost.unplanned.mean, each.cost.currency) for each in done)
    return f"score {number(old, 1)} -> {number(new, 1)} ({way(old, new)}), cost {costs}"


def way(old: float, new: float) -> str:
    """Which way a score [0..100] moved; less than 0.05 is no move."""
    if abs(new - old) < SMALLEST_MOVE:
        return "unmoved"
    return "riskier" if new > old else "less risky"
