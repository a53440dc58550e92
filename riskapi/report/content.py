"""Assessment, case and pack -> the report as ordered sections of plain text and chart data, without any drawing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.identity import NOBODY, Identity
from riskapi.domain.knowledge import Pack
from riskapi.report import (
    after_pages,
    closing_pages,
    detail_pages,
    findings_page,
    first_page,
    history_page,
    identity_page,
    inspector_pages,
    picture_pages,
    plan_pages,
    price_page,
    reasons_page,
)
from riskapi.report import format as fmt
from riskapi.report.contract import contract_section
from riskapi.report.edition import BUYER, NOTHING, AtHand, Edition
from riskapi.report.edition_texts import tell
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
    edition: Edition = BUYER,
    at_hand: AtHand = NOTHING,
) -> Report:
    """The whole report in a language of LANGUAGES, for whom `edition` says, with the identity as far as it may be told.
    `recalled`: why the pack is no longer to be relied on, '' where it is.

    Raises NotFound when the pack lacks a weak point, check or family the assessment names.
    """
    inspector = edition.kind == "inspector"
    with speaking(language):
        known = in_words(assessment, pack), case, pack_in_words(pack)
        view = View(*known, assessment_id, created_at, identity, recalled, edition, at_hand)
        return Report(
            title=tell("inspector_title") if inspector else say("title"),
            subtitle=tell("inspector_subtitle") if inspector else say("subtitle"),
            subject=_subject(view),
            language=language,
            foot=say("foot", id=fmt.plain(assessment_id)[:SHORT_ID], scope=say("scope_foot")),
            sections=_sections(view),
            letterhead=edition.letterhead,
        )


def _sections(view: View) -> tuple[Section, ...]:
    """Those that there are, the first behind the mark of a recall."""
    wanted = _for_client(view) if view.edition.kind == "inspector" else _for_buyer(view)
    first, *others = (section for section in wanted if section is not None)
    return (_marked(view, first), *others)


def _marked(view: View, section: Section) -> Section:
    if not view.recalled:
        return section
    mark = Text(say("recalled", reason=fmt.sentence(fmt.plain(view.recalled))), "alarm")
    return replace(section, blocks=(mark, *section.blocks))


def _for_buyer(view: View) -> tuple[Section | None, ...]:
    """What to do first, then the detail; without advice and price where it was asked for so."""
    return (
        *(_verdict(view) if view.edition.price else (first_page.chances_section(view),)),
        reasons_page.known_section(view),
        identity_page.identity_section(view),
        history_page.history_section(view),
        detail_pages.weak_points_section(view),
        findings_page.findings_section(view),
        picture_pages.zones_section(view),
        picture_pages.photos_section(view),
        closing_pages.uncovered_section(view),
        *_money(view),
        *_closing(view),
    )


def _for_client(view: View) -> tuple[Section | None, ...]:
    """What an inspector was asked, what he saw, and his signature; from a page of its own on what is calculated."""
    first, *others = _reckoned(view)
    identity = identity_page.identity_section(view)
    return (
        inspector_pages.order_section(view),
        inspector_pages.not_seen_section(view),
        inspector_pages.seen_section(view),
        picture_pages.zones_section(view),
        inspector_pages.signature_section(view),
        None if first is None else replace(first, starts_page=True),
        *others,
        replace(identity, starts_page=False),
        history_page.history_section(view),
        detail_pages.weak_points_section(view),
        findings_page.findings_section(view),
        *_money(view),
        *_closing(view),
    )


def _reckoned(view: View) -> tuple[Section | None, ...]:
    """Advice, price and reasons where they are wanted; danger stands on the first page already."""
    if not view.edition.price:
        return first_page.chances_section(view), reasons_page.known_section(view)
    advice, *others = _verdict(view)
    danger = view.assessment.decision.advice == "do_not_drive"
    return (first_page.chances_section(view) if danger else advice, *others, reasons_page.known_section(view))


def _verdict(view: View) -> tuple[Section | None, ...]:
    return (
        first_page.advice_section(view),
        price_page.price_section(view),
        reasons_page.reasons_section(view),
        reasons_page.next_section(view),
    )


def _money(view: View) -> tuple[Section | None, ...]:
    """What it may cost and what is done about it; advice and prices only where they are wanted."""
    years = (detail_pages.years_section(view), picture_pages.moves_section(view))
    if not view.edition.price:
        return (*years, plan_pages.watch_section(view), closing_pages.planned_section(view))
    return (
        price_page.price_items_section(view),
        plan_pages.plan_section(view),
        closing_pages.planned_section(view),
        *years,
        plan_pages.watch_section(view),
        after_pages.after_section(view),
        plan_pages.before_sale_section(view),
        contract_section(view),
    )


def _closing(view: View) -> tuple[Section | None, ...]:
    return (
        closing_pages.hazards_section(view),
        closing_pages.assumptions_section(view),
        closing_pages.sources_section(view),
        closing_pages.scope_section(view),
    )


def _subject(view: View) -> str:
    parts = [fmt.capital(identity_page.engine_name(view)), fmt.distance(view.case.vehicle.odometer_km)]
    if view.assessment.reference:
        parts.append(fmt.plain(view.assessment.reference, 60))
    parts.append(fmt.day(view.assessment.as_of))
    return " \u00b7 ".join(parts)
