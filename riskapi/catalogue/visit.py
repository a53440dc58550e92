"""The visit in checks.yaml: what to ask for, what papers to see, what to bring; and whether the order can be kept."""

from __future__ import annotations

from collections.abc import Iterator

from riskapi.catalogue.crosscheck import find_cycle, nearest
from riskapi.catalogue.ledger import Ledger
from riskapi.catalogue.nodes import Entry
from riskapi.domain.knowledge import EQUIPMENT, Pack, VisitWord, VisitWords
from riskapi.domain.visit_order import arcs

KINDS = ("check", "set-up", "condition")


def read_visit_words(root: Entry) -> VisitWords:
    """The section `visit` of checks.yaml; empty when it is left out."""
    visit = root.get("visit").entry()
    requests, papers, bring = (tuple(_words(visit, key)) for key in ("requests", "papers", "bring"))
    return VisitWords(requests, papers, bring)


def _words(visit: Entry, key: str) -> Iterator[VisitWord]:
    for identifier, entry in visit.get(key).entry().records(f"visit {key}"):
        yield VisitWord(
            id=identifier,
            text=entry.need("text").text(),
            why=entry.get("why").text(),
            when=entry.get("when").when(),
            uses=entry.get("uses").identifiers(),
            source=entry.source,
        )


def check_visit(ledger: Ledger, pack: Pack) -> None:
    """What `before`, `after`, `shown_by` and `uses` name exists, and the order of the checks can be kept."""
    known = {identifier for kind in KINDS for identifier in ledger.defined.get(kind, {})}
    for check in pack.checks:
        for name in sorted({*check.before, *check.after} - known):
            what = f"there is no check, set-up or condition {name!r}."
            _fault(ledger, "check", check.id, what, nearest(name, known))
    _check_proofs(ledger, pack)
    _check_uses(ledger, pack, known | set(EQUIPMENT))
    cycle = find_cycle(arcs(pack.checks, pack.conditions))
    if cycle:
        what = f"no visit can keep this order: {' before '.join(cycle)}."
        _fault(ledger, "check", cycle[0], what, "Remove one 'before', 'after' or need.")


def _check_proofs(ledger: Ledger, pack: Pack) -> None:
    """Silent where no check could be read at all: that has a fault of its own."""
    checks = {check.id for check in pack.checks}
    for word in pack.conditions if checks else ():
        if word.shown_by is not None and word.shown_by not in checks:
            _fault(
                ledger, "condition", word.id, f"there is no check {word.shown_by!r}.", nearest(word.shown_by, checks)
            )


def _check_uses(ledger: Ledger, pack: Pack, known: set[str]) -> None:
    for kind, words in (("requests", pack.visit.requests), ("papers", pack.visit.papers), ("bring", pack.visit.bring)):
        for word in words:
            for name in sorted(set(word.uses) - known):
                what = f"there is no check, set-up or equipment {name!r}."
                _fault(ledger, f"visit {kind}", word.id, what, nearest(name, known))


def _fault(ledger: Ledger, kind: str, identifier: str, message: str, mend: str) -> None:
    spot = ledger.spot_of(kind, identifier)
    if spot is not None:
        ledger.fault(spot, message, mend)
