"""Assessment, case and pack -> the report as ordered sections of plain text and chart data, without any drawing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.identity import NOBODY, Identity
from riskapi.domain.knowledge import Pack
from riskapi.report import after_pages, closing_pages, detail_pages, first_page, history_page, plan_pages
from riskapi.report import format as fmt
from riskapi.report.contract import contract_section
from riskapi.report.language import DEFAULT, speaking
from riskapi.report.sections import Report, Section, Text
from riskapi.report.texts import say
from riskapi.report.translate import in_words, pack_in_words
from riskapi.report.view import View

SHORT_ID = 8  # characters of the assessment id on every page


def build_report(
    assessment: Assessment,
    case: Case,
    pack: Pack,
    *,
    assessment_id: str,
    created_at: datetime,
    language: str = DEFAULT,
    identity: Identity = NOBODY,
    recalled: str = "",
) -> Report:
    """The whole report in a language of LANGUAGES, with the identity as far as it may be shown. `recalled`: why the
    pack is no longer to be relied on, '' where it is.

    Raises NotFound when the pack lacks a weak point, check or family the assessment names.
    """
    with speaking(language):
        known = in_words(assessment, pack), case, pack_in_words(pack)
        view = View(*known, assessment_id, created_at, identity, recalled)
        return Report(
            title=say("title"),
            subtitle=say("subtitle"),
            subject=_subject(view),
            language=language,
            foot=say("foot", id=fmt.plain(assessment_id)[:SHORT_ID], scope=say("scope_foot")),
            sections=_sections(view),
        )


def _marked(view: View, section: Section) -> Section:
    """The first section, behind the mark of a recall."""
    if not view.recalled:
        return section
    mark = Text(say("recalled", reason=fmt.sentence(fmt.plain(view.recalled))), "alarm")
    return replace(section, blocks=(mark, *section.blocks))


def _sections(view: View) -> tuple[Section, ...]:
    sections = (
        _marked(view, first_page.advice_section(view)),
        first_page.price_section(view),
        first_page.reasons_section(view),
        first_page.next_section(view),
        first_page.known_section(view),
        detail_pages.identity_section(view),
        history_page.history_section(view),
        detail_pages.weak_points_section(view),
        detail_pages.years_section(view),
        first_page.price_items_section(view),
        plan_pages.plan_section(view),
        plan_pages.watch_section(view),
        after_pages.after_section(view),
        plan_pages.before_sale_section(view),
        contract_section(view),
        detail_pages.findings_section(view),
        closing_pages.uncovered_section(view),
        closing_pages.hazards_section(view),
        closing_pages.planned_section(view),
        closing_pages.assumptions_section(view),
        closing_pages.sources_section(view),
        closing_pages.scope_section(view),
    )
    return tuple(section for section in sections if section is not None)


def _subject(view: View) -> str:
    parts = [fmt.capital(detail_pages.engine_name(view)), fmt.distance(view.case.vehicle.odometer_km)]
    if view.assessment.reference:
        parts.append(fmt.plain(view.assessment.reference, 60))
    parts.append(fmt.day(view.assessment.as_of))
    return " \u00b7 ".join(parts)
