"""What an inspector was asked, what he saw and did not see, and what his signature stands for."""

from __future__ import annotations

from riskapi.domain.assessment import Checked, Uncounted
from riskapi.domain.case import Finding as Stated
from riskapi.domain.identity import Person
from riskapi.report import closing_pages, first_page, words
from riskapi.report import format as fmt
from riskapi.report.checklist_texts import tell as list_words
from riskapi.report.edition_texts import tell
from riskapi.report.findings_page import result_words
from riskapi.report.identity_page import engine_name, identity_rows
from riskapi.report.sections import Block, Facts, Finding, Section, Signature, Text
from riskapi.report.texts import say
from riskapi.report.view import View


def order_section(view: View) -> Section:
    """Client, commission, where and in what light, with what; the car in two lines."""
    visit, known, head = view.case.visit, view.identity, view.edition.letterhead
    unstated = say("not_stated")
    consents = "; ".join(list_words(f"consent_{name}") for name in visit.consents)
    inspector = _name(known.inspector) or _text(None if head is None else head.name)
    rows = (
        (tell("order_client"), _name(known.client) or _text(visit.client) or unstated),
        (tell("order_commission"), _text(visit.commission) or unstated),
        (tell("order_inspector"), inspector or unstated),
        (say("id_reference"), _text(view.assessment.reference)),
        (tell("order_day"), fmt.day(view.assessment.as_of)),
        (list_words("place"), _text(visit.place) or unstated),
        (tell("order_light"), _text(visit.light) or unstated),
        (tell("order_weather"), _text(visit.weather)),
        (list_words("equipment"), unstated if visit.equipment is None else list_words(f"equipment_{visit.equipment}")),
        (list_words("time"), unstated if visit.minutes is None else fmt.minutes(visit.minutes)),
        (list_words("consent"), consents or unstated),
        (say("id_engine"), fmt.capital(engine_name(view))),
        (say("id_odometer"), fmt.distance(view.case.vehicle.odometer_km)),
        *(row for row in identity_rows(view) if row[0] in (say("id_vin"), say("id_plate"))),
    )
    blocks: tuple[Block, ...] = (
        Facts(tuple(row for row in rows if row[1]), abreast=2),
        Text(tell("order_valid", day=fmt.day(view.assessment.as_of)), "lead"),
        *first_page.alarm(view),
    )
    return Section("order", tell("h_order"), blocks)


def _name(person: Person | None) -> str:
    return "" if person is None else _text(person.name)


def _text(value: str | None) -> str:
    return fmt.plain(value or "", 160)


def not_seen_section(view: View) -> Section:
    """What was refused, not reachable, or does not count, before anything else is told."""
    found = closing_pages.uncovered_section(view)
    return Section("uncovered", tell("h_not_seen"), found.blocks)


# ---- what was seen ---------------------------------------------------------------------------------------------


def seen_section(view: View) -> Section:
    """Every check that was done, in the order of the visit, with its conditions, remarks and pictures."""
    coverage = view.assessment.coverage
    own = [item for item in coverage.checked if _stands_alone(view, item)]
    blocks: list[Block] = [Text(tell("seen_intro"))]
    blocks += [_seen(view, item) for item in own]
    blocks += [_void(view, item) for item in coverage.void]
    return Section("seen", tell("h_seen"), tuple(blocks) if own or coverage.void else (Text(say("findings_none")),))


def _stands_alone(view: View, item: Checked) -> bool:
    """Whether it is told by itself: not the unremarkable result that another act also gave."""
    check = view.pack.check(item.check)
    stated = any(finding.check == item.check for finding in view.case.findings)
    return check.part_of is None or stated or item.result not in (check.results[0].id, check.results[0].name)


def _seen(view: View, item: Checked) -> Finding:
    rows = [_conditions(view, item.check), _also(view, item.check)]
    rows += [tell(f"seen_by_{item.observed_by}") if item.observed_by != "self" else "", _note(view, item.check)]
    name = words.check_name(view.pack, item.check)
    return Finding(name, result_words(view, item), tuple(row for row in rows if row), view.photos(item.check, name))


def _void(view: View, item: Uncounted) -> Finding:
    name = words.check_name(view.pack, item.check)
    reason = tell("seen_void", reason=closing_pages.reason_words(view, item.reason))
    stated = _stated(view, item.check)
    result = words.result_name(view.pack, item.check, stated.result) if stated and stated.result else tell("zone_void")
    rows = (reason, _conditions(view, item.check), _note(view, item.check))
    return Finding(name, result, tuple(row for row in rows if row), view.photos(item.check, name))


def _stated(view: View, check: str) -> Stated | None:
    return next((finding for finding in view.case.findings if finding.check == check), None)


def _conditions(view: View, check: str) -> str:
    """The conditions that were stated, and that the others were taken to have held."""
    finding = _stated(view, check)
    known = {word.id: word.name for word in view.pack.conditions}
    stated = () if finding is None else finding.conditions
    told = [tell("held" if held else "not_held", name=known.get(name, name)) for name, held in stated]
    told += [_silent(view, name) for name in view.pack.check(check).needs if name not in dict(stated)]
    return tell("seen_conditions", conditions="; ".join(told)) if told else ""


def _silent(view: View, condition: str) -> str:
    """A condition that was not stated: what the check for it found, else that it was taken to have held."""
    word = next(word for word in view.pack.conditions if word.id == condition)
    shown = next((item for item in view.assessment.coverage.checked if item.check == word.shown_by), None)
    if shown is None:
        return tell("taken_as_held", name=word.name)
    result = words.result_name(view.pack, shown.check, shown.result)
    return tell("held_shown", name=word.name, check=words.check_name(view.pack, shown.check), result=result)


def _also(view: View, act: str) -> str:
    """How many unremarkable results the same act gave."""
    count = sum(
        view.pack.check(item.check).part_of == act and not _stands_alone(view, item)
        for item in view.assessment.coverage.checked
    )
    return tell("seen_also", count=fmt.number(count)) if count else ""


def _note(view: View, check: str) -> str:
    note = view.note(check)
    return tell("seen_note", note=say("quoted", text=note)) if note else ""


# ---- signature -------------------------------------------------------------------------------------------------


def signature_section(view: View) -> Section | None:
    """What the signature stands for, counted, and the lines for it; None where nothing was looked at or refused."""
    coverage = view.assessment.coverage
    if not (coverage.checked or coverage.not_checked or coverage.void):
        return None
    own = sum(item.observed_by == "self" for item in coverage.checked if _stands_alone(view, item))
    told = sum(item.observed_by != "self" for item in coverage.checked if _stands_alone(view, item))
    text = tell(
        "signature",
        count=fmt.number(own),
        told=tell("signature_told", count=fmt.number(told)) if told else "",
        day=fmt.day(view.assessment.as_of),
    )
    labels = (tell("sign_place"), tell("sign_name"), tell("sign_here"))
    return Section("signature", tell("h_signature"), (Signature(text, labels),))
