"""What the findings changed: drawn for the strongest, told for all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from riskapi.domain.assessment import Checked
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.edition_texts import tell
from riskapi.report.picture_pages import shifts
from riskapi.report.sections import Block, Column, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.verdicts import measured_words
from riskapi.report.view import View

Weights = tuple[tuple[float, str], ...]  # decibans, name of the weak point

NAMES_PER_FINDING = 3
TOGETHER = 3  # unremarkable results of one act from which they share a row


def findings_section(view: View) -> Section:
    """Each finding that counted, with the weak points it speaks for and against; unremarkable results of one act in one
    row, the quiet ones in one line."""
    checked = view.assessment.coverage.checked
    if not checked:
        return Section("findings", say("h_findings"), (Text(say("findings_none")),))
    told = tuple((item, _weights(view, item)) for item in checked)
    columns = (Column(say("col_finding"), 0.4), Column(say("col_meaning"), 0.6))
    rows = tuple(_finding_rows(view, tuple((item, weights) for item, weights in told if weights)))
    quiet = _quiet(view, tuple(item for item, weights in told if not weights))
    picture = shifts(view)
    blocks: list[Block] = [] if picture is None else [Text(tell("shifts_intro")), picture]
    blocks += [Text(say("findings_intro")), Table(columns, rows)] if rows else []
    if quiet:
        blocks.append(Text(say("findings_quiet", checks=", ".join(quiet))))
    return Section("findings", say("h_findings"), tuple(blocks))


def _finding_rows(view: View, told: tuple[tuple[Checked, Weights], ...]) -> Iterator[tuple[str, str]]:
    """A row a finding; where several unremarkable results are of one act, one row for them, after the act itself."""
    plain: dict[str, list[tuple[Checked, Weights]]] = {}
    for item, weights in told:
        act = view.pack.check(item.check).part_of
        if act is not None and _unremarkable(view, item):
            plain.setdefault(act, []).append((item, weights))
    seen: set[str] = set()
    for item, weights in told:
        act = view.pack.check(item.check).part_of
        together = plain.get(act or "", [])
        if len(together) < TOGETHER or not _unremarkable(view, item):
            yield _finding_words(view, item), _meanings(weights)
        elif act is not None and act not in seen:
            seen.add(act)
            name = words.check_name(view.pack, act)
            count = fmt.number(_unremarkable_of(view, act))
            yield tell("finding_together", act=name, count=count), _meanings(_merged(together))


def _unremarkable(view: View, item: Checked) -> bool:
    """Whether this is the first of the results of its check, which is the one of a sound engine."""
    check = view.pack.check(item.check)
    return item.result in (check.results[0].id, check.results[0].name)


def _unremarkable_of(view: View, act: str) -> int:
    """How many unremarkable results the act gave, those without weight too."""
    checked = view.assessment.coverage.checked
    return sum(view.pack.check(item.check).part_of == act and _unremarkable(view, item) for item in checked)


def _merged(together: list[tuple[Checked, Weights]]) -> Weights:
    """All weights of these findings, each weak point once with its loudest."""
    loudest: dict[str, float] = {}
    for _, weights in together:
        for alone, name in weights:
            if abs(alone) > abs(loudest.get(name, 0.0)):
                loudest[name] = alone
    return _sorted((alone, name) for name, alone in loudest.items())


def _quiet(view: View, items: tuple[Checked, ...]) -> tuple[str, ...]:
    """Names of checks without weight; a result read off another act is covered by that act."""
    names = (view.pack.check(item.check).name for item in items if view.pack.check(item.check).part_of is None)
    return tuple(dict.fromkeys(names))


def _finding_words(view: View, item: Checked) -> str:
    origin = f", {say(f'by_{item.observed_by}')}" if item.observed_by in {"seller", "papers"} else ""
    note = view.note(item.check)
    quoted = f" {say('quoted', text=note)}" if note else ""
    return f"{words.check_name(view.pack, item.check)}: {result_words(view, item)}{origin}{quoted}"


def result_words(view: View, item: Checked) -> str:
    """The result, with what was read and the limit that makes it so."""
    result = words.result_name(view.pack, item.check, item.result)
    if any(each.codes for each in view.pack.check(item.check).results):
        codes = "" if _told_by_its_act(view, item, result) else fmt.plain(item.reading, 120)
        return say("reading_codes", result=result, reading=codes) if codes else result
    if item.reading and not _told_by_its_act(view, item, result):
        result = say("reading", result=result, reading=measured_words(fmt.plain(item.reading, 120), item))
    return result


def _told_by_its_act(view: View, item: Checked, result: str) -> bool:
    """Whether this is one of several results of one act, and the unremarkable one: the act shows the reading."""
    check = view.pack.check(item.check)
    return check.part_of is not None and result == check.results[0].name


def _weights(view: View, item: Checked) -> Weights:
    """How much the finding by itself weighs on each weak point [decibans], loudest first."""
    said = words.result_name(view.pack, item.check, item.result)
    return _sorted(
        (entry.alone, point.name)
        for point in view.assessment.weak_points
        for entry in point.evidence
        if entry.check == item.check
        and abs(entry.alone) >= words.NO_WEIGHT
        and words.result_name(view.pack, entry.check, entry.result) == said
    )


def _sorted(weights: Iterable[tuple[float, str]]) -> Weights:
    return tuple(sorted(weights, key=lambda pair: (-abs(pair[0]), pair[1])))


def _meanings(weights: Weights) -> str:
    """'Strongly for: chain tensioner. A little against: ...', strongest first."""
    groups: dict[str, dict[str, None]] = {}
    for alone, name in weights:
        groups.setdefault(words.short_weight_words(alone), {})[name] = None
    return " ".join(_meaning(how, list(names)) for how, names in groups.items())


def _meaning(how: str, names: list[str]) -> str:
    shown = ", ".join(names[:NAMES_PER_FINDING])
    rest = len(names) - NAMES_PER_FINDING
    if rest > 0:
        shown = f"{shown} {say('finding_others', count=fmt.number(rest))}"
    return f"{say('finding_says', words=fmt.capital(how), names=shown)}."
