"""checks.yaml: what an inspector can do, how it is read, and the set-ups that checks share."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from riskapi.catalogue.expected import CHANCE, MINUTES, Expected
from riskapi.catalogue.nodes import Entry, Item
from riskapi.domain.case import OBSERVED_BY
from riskapi.domain.knowledge import CARES, CONSENTS, EQUIPMENT, Check, CheckResult, Measure, SetUp, TraitWord
from riskapi.domain.units import UnitError, dimension_of

TIERS = ("ten_minutes", "forty_five_minutes", "workshop")
REDUCTIONS = ("value", "lowest_share", "lowest", "highest", "low_neighbours")
ROOTS = ("care", "revision")
CODE = re.compile(r"[PCBU][0-3][0-9A-F]{3}")  # the shape given by SAE J2012 / ISO 15031-6

TraitValues = tuple[tuple[str, float], ...]  # each with how common it is
Table = tuple[tuple[float, ...], ...]


def read_set_ups(root: Entry) -> Iterator[SetUp]:
    for identifier, entry in root.get("set_ups").entry().records("set-up"):
        yield SetUp(
            id=identifier,
            name=entry.need("name").text(),
            minutes=entry.need("minutes").figure(MINUTES),
            consent=entry.need("consent").choice(CONSENTS),
            equipment=entry.need("equipment").choice(EQUIPMENT),
            cautions=entry.get("cautions").texts(),
            source=entry.source,
        )


def read_checks(root: Entry, levels: Mapping[str, int], words: Iterable[TraitWord] | None = ()) -> Iterator[Check]:
    """The checks in the order of the file, which is that of a visit. `levels`: as for weak points; `words`: traits,
    None when their file cannot be read."""
    values = None
    if words is not None:
        values = {word.name: tuple(zip(word.values, word.base_rates, strict=True)) for word in words if word.values}
    for order, (identifier, entry) in enumerate(root.need("checks").entry().records("check")):
        yield _check(identifier, order, entry, levels, values)


def _check(
    identifier: str, order: int, entry: Entry, levels: Mapping[str, int], values: Mapping[str, TraitValues] | None
) -> Check:
    symptom, root = _reads(entry, values)
    results = _results(entry)
    top = levels.get(symptom or "")
    trait_values = () if values is None else values.get(root or "", ())
    rows = len(CARES) if root == "care" else len(trait_values) or (None if top is None else top + 1)
    from_case, measure = entry.get("from_case"), entry.get("measure")
    return Check(
        id=identifier,
        name=entry.need("name").text(),
        tier=entry.need("tier").choice(TIERS),
        order=order,
        symptom=symptom,
        root=root,
        set_up=entry.get("set_up").reference_or_none("set-up"),
        equipment=entry.need("equipment").choice(EQUIPMENT),
        consent=entry.need("consent").choice(CONSENTS),
        minutes=entry.need("minutes").figure(MINUTES),
        price=entry.get("price").money() if entry.get("price").present else 0.0,
        how=entry.need("how").text(),
        needs=entry.get("needs").references("condition"),
        results=results,
        table=() if root == "revision" else _table(entry, rows, len(results)),
        features=_features(entry, results) if root == "revision" else (),
        measure=_measure(measure.entry(), len(results)) if measure.present else None,
        part_of=entry.get("part_of").reference_or_none("check"),
        from_case=from_case.choice(("moves_under_own_power",)) if from_case.present else None,
        core=entry.get("core").flag(),
        cautions=entry.get("cautions").texts(),
        source=entry.source,
        ask=entry.get("ask").text(),
        told_by=entry.get("told_by").choice(OBSERVED_BY) or "self",
        before=entry.get("before").identifiers(),
        after=entry.get("after").identifiers(),
        trait_values=trait_values,
    )


def _reads(entry: Entry, traits: Iterable[str] | None) -> tuple[str | None, str | None]:
    """(symptom, root): exactly one of them is given."""
    symptom, root = entry.get("symptom"), entry.get("root")
    if entry.item.present and symptom.present == root.present:
        entry.item.fault("a check reads a symptom or a root, one of the two.", "Give either 'symptom' or 'root'.")
    if not root.present:
        return symptom.reference_or_none("symptom"), None
    return symptom.reference_or_none("symptom"), root.text() if traits is None else root.choice((*ROOTS, *traits))


def _results(entry: Entry) -> tuple[CheckResult, ...]:
    named = entry.need("results")
    words = {identifier: item.text() for identifier, item in named.entry().named_ids()}
    if named.present and len(words) < 2:
        named.fault("a check needs at least two results.", "Name them in order, the best first.")
    codes = _codes(entry.get("codes").entry(), words)
    return tuple(CheckResult(identifier, name, codes.get(identifier, ())) for identifier, name in words.items())


def _codes(entry: Entry, results: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    codes = {}
    for result, item in entry.pairs():
        _known_result(result, results, item)
        codes[result] = item.texts()
        for code in item.items():
            if not CODE.fullmatch(code.text()):
                code.fault(f"{code.text()!r} is no generic trouble code.", "Write it like P0300.")
    return codes


def _known_result(result: str, results: Mapping[str, str] | Sequence[str], item: Item) -> None:
    if results and result not in results:
        item.fault(f"the check has no result {result!r}.", f"Its results are {', '.join(results)}.")


def _features(entry: Entry, results: tuple[CheckResult, ...]) -> tuple[tuple[str, ...], ...]:
    listed: dict[str, tuple[str, ...]] = {}
    for result, item in entry.need("features").entry().pairs():
        _known_result(result, [known.id for known in results], item)
        listed[result] = item.references("revision")
        for other, revisions in listed.items():
            twice = sorted(set(revisions) & set(listed[result])) if other != result else []
            if twice:
                item.fault(f"{twice[0]!r} is listed under {other!r} too.", "A revision has one of the results.")
    return tuple(listed.get(result.id, ()) for result in results)


# ---- reading tables and measures -----------------------------------------------------------------


def _table(entry: Entry, rows: int | None, results: int) -> Table:
    """P(result | row); the identity when omitted."""
    item = entry.get("table")
    if not item.present:
        return _identity(entry, rows, results)
    listed = item.items()
    if rows is not None and len(listed) != rows:
        item.fault(f"the table has {len(listed)} rows and needs {rows}.", "Give one row for each level, lowest first.")
    return tuple(_row(row, results) for row in listed)


def _identity(entry: Entry, rows: int | None, results: int) -> Table:
    if rows is not None and results and rows != results:
        what = f"without a table {rows} levels need as many results; there are {results}."
        entry.item.fault(what, "Add a 'table', one row for each level.")
    return tuple(tuple(float(row == column) for column in range(results)) for row in range(rows or 0))


def _row(item: Item, results: int) -> tuple[float, ...]:
    chances = tuple(cell.figure(CHANCE) for cell in item.items())
    if results and len(chances) != results:
        item.fault(f"the row has {len(chances)} chances for {results} results.", "Give one chance for each result.")
    elif abs(sum(chances) - 1.0) > 1e-9:
        item.fault(f"the row sums to {sum(chances) * 100:g} %.", "The chances of a row sum to 100 %.")
    return chances


def _measure(entry: Entry, results: int) -> Measure:
    reduce = entry.need("reduce").choice(REDUCTIONS)
    unit = _unit(entry.need("unit"))
    bound = Expected({"lowest_share": "1", "low_neighbours": "count"}.get(reduce, unit or "x"))
    bounds = entry.need("bounds")
    values = tuple(item.figure(bound) for item in bounds.items()) if unit else ()
    low, high = _range(entry.need("range"), unit)
    if unit:
        _judge_bounds(bounds, values, results)
    floor = entry.need("floor_share") if reduce == "low_neighbours" else entry.get("floor_share")
    return Measure(
        reduce=reduce,
        unit=unit,
        bounds=values,
        descending=entry.get("descending").flag(),
        low=low,
        high=high,
        floor_share=floor.figure(CHANCE, blank=0.0),
        source=entry.source,
    )


def _unit(item: Item) -> str:
    unit = item.text()
    try:
        dimension_of(unit) if unit else None
    except UnitError as error:
        item.fault(str(error), error.mend)
        return ""
    return unit


def _judge_bounds(item: Item, bounds: tuple[float, ...], results: int) -> None:
    if results and item.present and len(bounds) != results - 1:
        item.fault(f"{len(bounds)} bounds for {results} results.", "Give one bound between each two results.")
    if any(upper <= lower for lower, upper in pairwise(bounds)):
        item.fault("the bounds do not ascend.", "Put them in ascending order; use 'descending: yes' to turn results.")


def _range(item: Item, unit: str) -> tuple[float, float]:
    ends = item.items()
    if item.present and len(ends) != 2:
        item.fault("a range has two ends.", "Write [lowest, highest].")
    if len(ends) != 2 or not unit:
        return 0.0, 0.0
    low, high = (end.figure(Expected(unit)) for end in ends)
    if high <= low:
        item.fault("the range ends before it begins.", "Write [lowest, highest].")
    return low, high
