"""The last pages: what was not looked at, hazards, planned work, assumptions, sources and scope."""

from __future__ import annotations

from riskapi.domain.assessment import PlannedItem, Uncounted, WeakPointResult
from riskapi.domain.case import NOT_CHECKED
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.sections import Block, Bullets, Column, Facts, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.view import View

HAZARD_TOLD = 0.01  # chance of not being sound from which a dangerous weak point has a line of its own


def uncovered_section(view: View) -> Section:
    """What was not checked and why, and what was done but does not count and why."""
    coverage = view.assessment.coverage
    blocks: list[Block] = []
    if coverage.not_checked:
        blocks += [Text(say("not_checked_intro")), _uncounted_table(view, coverage.not_checked)]
    else:
        blocks.append(Text(say("not_checked_none")))
    if coverage.void:
        blocks += [Text(say("void_intro")), _uncounted_table(view, coverage.void)]
    return Section("uncovered", say("h_uncovered"), tuple(blocks))


def _uncounted_table(view: View, items: tuple[Uncounted, ...]) -> Table:
    columns = (Column(say("col_check"), 0.44), Column(say("col_reason"), 0.56))
    rows = tuple((words.check_name(view.pack, item.check), _why(view, item)) for item in items)
    return Table(columns, rows)


def _why(view: View, item: Uncounted) -> str:
    note = view.note(item.check)
    return f"{reason_words(view, item.reason)} {say('quoted', text=note) if note else ''}".strip()


def reason_words(view: View, reason: str) -> str:
    """The reason in words: one of the case's four, a condition of the pack, or a text as it stands."""
    if not reason.strip():
        return fmt.sentence(say("reason_unstated"))
    if reason in NOT_CHECKED:
        return fmt.sentence(say(f"reason_{reason}"))
    condition = next((word for word in view.pack.conditions if word.id == reason), None)
    return fmt.sentence(fmt.plain(reason if condition is None else condition.if_not or condition.name))


def hazards_section(view: View) -> Section:
    """What can endanger people, and the cautions of what was found and what was looked at."""
    cautions = _widest(view.assessment.cautions)
    blocks: list[Block] = [Text(say("caution_first")), *_hazards(view)]
    if cautions:
        blocks.append(Bullets(tuple(_caution(view, text) for text in cautions), small=True))
    return Section("hazards", say("h_hazards"), tuple(blocks))


def _widest(cautions: tuple[str, ...]) -> tuple[str, ...]:
    """Each caution once, without those that a longer one says too, word for word."""
    bare: dict[str, str] = {}
    for text in cautions:
        bare.setdefault(text.strip().rstrip(".").casefold(), text)
    bare.pop("", None)
    return tuple(text for said, text in bare.items() if not any(said in other for other in bare if other != said))


def _hazards(view: View) -> tuple[Block, ...]:
    """Dangerous weak points, likeliest first; those under 1 in 100 together in one line."""
    dangerous = [item for item in view.assessment.weak_points if item.hazard != "none"]
    if not dangerous:
        return (Text(say("hazard_none")),)
    dangerous.sort(key=lambda item: (-words.not_sound(item.state), item.id))
    told = [item for item in dangerous if words.not_sound(item.state) >= HAZARD_TOLD]
    rest = [item.name for item in dangerous if words.not_sound(item.state) < HAZARD_TOLD]
    lines = [_hazard_line(item) for item in told]
    if rest:
        lines.append(say("hazard_rest", names=", ".join(rest)))
    return (Bullets(tuple(lines), small=True),)


def _hazard_line(item: WeakPointResult) -> str:
    count = fmt.of_hundred(words.not_sound(item.state))
    return say("hazard_today", name=item.name, hazard=words.hazard_words(item.hazard), count=count)


def _caution(view: View, text: str) -> str:
    """A caution with the weak point or check that it belongs to; a caution of several stands alone."""
    origins = [item.name for item in view.assessment.weak_points if text in item.cautions]
    origins += [check.name for check in view.pack.checks if text in check.cautions]
    said = fmt.sentence(fmt.plain(text))
    return say("caution_from", caution=said, origin=origins[0]) if len(origins) == 1 else said


def planned_section(view: View) -> Section:
    """Work that falls due by its interval in the ownership period."""
    items = view.assessment.cost.planned_items
    years = fmt.years(view.years)
    if not items:
        return Section("planned", say("h_planned"), (Text(say("planned_none", years=years)),))
    columns = (
        Column(say("col_work"), 0.5),
        Column(say("col_times"), 0.24, "right"),
        Column(say("col_amount"), 0.26, "right"),
    )
    rows = tuple((_planned_name(view, item), fmt.times(item.times), view.exact(item.cost)) for item in items)
    total = (say("planned_total"), "", view.exact(sum(item.cost for item in items)))
    table = Table(columns, (*rows, total), total_row=True, abreast=2)
    return Section("planned", say("h_planned"), (Text(say("planned_intro")), table))


def _planned_name(view: View, item: PlannedItem) -> str:
    """What is done; a weak point is named by what goes wrong, so its planned operation is told instead."""
    parts = [part for point in view.pack.weak_points if point.id == item.id for part in point.parts]
    operation = next((part.planned.operation for part in parts if part.planned is not None), None)
    return item.name if operation is None else view.pack.operation(operation).name


def assumptions_section(view: View) -> Section:
    """What the case was silent about, and the simplifications of the model."""
    rows = tuple(
        (fmt.sentence(fmt.plain(item.text)), fmt.capital(_origin(view, item.source)))
        for item in view.assessment.assumptions
    )
    if not rows:
        return Section("assumptions", say("h_assumptions"), (Text(say("assumptions_none")),))
    columns = (Column(say("col_assumption"), 0.8), Column(say("col_source"), 0.2))
    return Section("assumptions", say("h_assumptions"), (Table(columns, rows),))


def _origin(view: View, identifier: str) -> str:
    """The kind of source in words; the citation itself where something was published; other texts as they stand."""
    source = next((source for source in view.pack.sources if identifier in {source.id, source.citation}), None)
    if source is None:
        return fmt.plain(identifier, 200)
    return fmt.plain(source.citation, 200) if source.kind in {"published", "standard"} else say(f"kind_{source.kind}")


def sources_section(view: View) -> Section | None:
    """The sources the weak points, checks and assumptions of this assessment rest on; None without any."""
    used = _sources_used(view)
    known = tuple(source for source in view.pack.sources if source.id in used)
    if not known:
        return None
    rows = tuple((fmt.capital(say(f"kind_{item.kind}")), fmt.sentence(fmt.plain(item.citation))) for item in known)
    blocks: list[Block] = [Text(fmt.sentence(fmt.plain(view.pack.note)))] if view.pack.note.strip() else []
    return Section("sources", say("h_sources"), (*blocks, Facts(rows)))


def _sources_used(view: View) -> set[str]:
    used = {item.source for item in view.assessment.assumptions} | {view.pack.defaults.source}
    for result in view.assessment.weak_points:
        point = view.pack.weak_point(result.id)
        used |= {point.source, *(part.source for part in point.parts), *(effect.source for effect in point.effects)}
    for done in view.assessment.coverage.checked:
        check = view.pack.check(done.check)
        used |= {check.source} | ({check.measure.source} if check.measure else set())
    return used


def scope_section(view: View) -> Section:
    """What the report covers, and what it was made from."""
    assessment = view.assessment
    scope = say(
        "scope_more",
        day=fmt.day(assessment.as_of),
        years=fmt.years(view.years),
        distance=fmt.distance(view.annual_distance, step=50),
    )
    made = say(
        "made",
        version=fmt.plain(assessment.knowledge_version, 40),
        digest=fmt.plain(assessment.knowledge_digest, 12).rstrip("\u2026"),
        created=fmt.instant_words(view.created_at),
        id=fmt.plain(view.assessment_id, 80),
    )
    origin = fmt.plain(assessment.risk.budget_origin).rstrip(".")
    budget = say("budget", budget=view.exact(assessment.risk.repair_budget), origin=origin)
    return Section("scope", say("h_scope"), (Text(say("scope")), Text(scope), Text(budget), Text(made, "small")))
