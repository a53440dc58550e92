"""The checklist on paper, to be filled in by hand at the car; and a sheet for the telephone before the visit."""

from __future__ import annotations

from riskapi.domain.case import NOT_CHECKED, Case
from riskapi.domain.checklist import Checklist, Look, Question
from riskapi.domain.knowledge import Check, Measure, Pack
from riskapi.report import checklist_checks, checklist_content
from riskapi.report import format as fmt
from riskapi.report.checklist_texts import tell as list_words
from riskapi.report.clipboard_texts import tell
from riskapi.report.language import DEFAULT, speaking
from riskapi.report.sections import Answer, Blanks, Block, Bullets, Code, Entry, Facts, Report, Section, Text
from riskapi.report.texts import say
from riskapi.report.translate import in_words, pack_in_words

USUAL_CYLINDERS = 4
CODES = 6  # lines for trouble codes
OWN_LINES = 6  # empty lines for remarks at the end

Page = checklist_content.Page


def clipboard_report(
    checklist: Checklist, case: Case, pack: Pack, *, language: str = DEFAULT, link: str = ""
) -> Report:
    """The blank list, in the order of the visit; `link` is the address of the same list for a phone.

    Raises NotFound when the pack lacks a check or weak point that it names.
    """
    with speaking(language):
        page = Page(in_words(checklist, pack), case, pack_in_words(pack))
        sections = (_head(page, link), _checks(page), _remarks(page), _cautions(page))
        foot = list_words("foot", scope=say("scope_foot"))
        return _report(page, (tell("title"), tell("subtitle"), foot), language, sections)


def call_sheet(checklist: Checklist, case: Case, pack: Pack, *, language: str = DEFAULT) -> Report:
    """What to ask on the telephone, what to ask to be left as it is, and which papers to have sent."""
    with speaking(language):
        page = Page(in_words(checklist, pack), case, pack_in_words(pack))
        sections = (_call(page), _leave(page), _questions(page), _papers(page))
        foot = tell("call_foot", scope=say("scope_foot"))
        return _report(page, (tell("call_title"), tell("call_subtitle"), foot), language, sections)


def _report(page: Page, head: tuple[str, str, str], language: str, sections: tuple[Section, ...]) -> Report:
    """`head`: title, subtitle, running foot."""
    title, subtitle, foot = head
    return Report(title, subtitle, checklist_content.subject(page), language, foot, sections)


# ---- the clipboard ---------------------------------------------------------------------------------------------


def _head(page: Page, link: str) -> Section:
    limits, listed = page.checklist.limits, page.checklist
    rows = (
        (list_words("engine"), fmt.capital(checklist_content.engine(page))),
        (list_words("place"), fmt.plain(listed.place or "", 120)),
        (list_words("time"), list_words("no_time") if limits.minutes is None else fmt.minutes(limits.minutes)),
        (list_words("equipment"), list_words(f"equipment_{limits.equipment}")),
        (list_words("consent"), list_words(f"consent_{limits.consent}")),
    )
    written = ("by", "day", "odometer", "start", "end", "vin_papers", "outside", "light", "vin_body")
    blocks: tuple[Block, ...] = (
        Facts(tuple(row for row in rows if row[1]), abreast=2),
        Code(link, tell("link")) if link else Text(tell("no_link"), "small"),
        Blanks(tuple(tell(f"write_{name}") for name in written), abreast=3),
        Text(say("caution_first"), "small"),
        Text(tell("how_to")),
    )
    return Section("head", tell("h_head"), blocks)


def _checks(page: Page) -> Section:
    looks = page.checklist.looks
    blocks: list[Block] = []
    for place, look in enumerate(looks, 1):
        set_up = checklist_checks.set_up_of(look, page.pack)
        if set_up is not None and look.opens_set_up:
            blocks.append(_set_up(set_up.name, set_up.minutes, set_up.consent, set_up.cautions))
        blocks.append(_entry(page, look, place))
    return Section("checks", list_words("h_list"), tuple(blocks) or (Text(list_words("nothing")),))


def _set_up(name: str, minutes: float, consent: str, cautions: tuple[str, ...]) -> Entry:
    first = list_words("set_up_first", name=name, minutes=fmt.minutes(minutes))
    lines = (*_consent(consent), *_careful(cautions))
    return Entry(first, "", lines, _agreed(consent))


def _agreed(consent: str) -> tuple[Answer, ...]:
    """What shows that it was agreed to: nothing, a word, or a signature."""
    if consent == "written":
        return (Answer(tell("agreed_in_writing"), lines=1),)
    return (Answer(tell("agreed"), (tell("yes"), tell("no"))),) if consent == "ask" else ()


def _entry(page: Page, look: Look, place: int) -> Entry:
    check = page.pack.check(look.check)
    name = list_words("one", place=fmt.number(place), name=check.name)
    short = look.tier == "ten_minutes" and any(tier.name != look.tier for tier in page.checklist.tiers)
    marks = [tell("beside_core")] * check.core + [tell("beside_short")] * short
    beside = " \u00b7 ".join((*marks, fmt.minutes(look.minutes)))
    limits = checklist_checks.thresholds(check, page.pack)
    lines = [("", check.how), *(((f"{list_words('one_thresholds')}:", limits),) if limits else ())]
    lines += [*_consent(check.consent), *_careful(check.cautions)]
    return Entry(name, beside, tuple(lines), tuple(_answers(page, look, check)))


def _consent(consent: str) -> tuple[tuple[str, str], ...]:
    told = fmt.sentence(list_words(f"needs_{consent}")) if consent != "none" else ""
    return ((f"{list_words('one_consent')}:", told),) if told else ()


def _careful(cautions: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    told = " ".join(fmt.sentence(text) for text in cautions)
    return ((f"{list_words('one_cautions')}:", told),) if told else ()


def _answers(page: Page, look: Look, check: Check) -> list[Answer]:
    """A signature where one is needed, conditions, result, what else the same act shows, and why not."""
    named = {word.id: word.name for word in page.pack.conditions}
    yes_no = (tell("yes"), tell("no"))
    set_up = checklist_checks.set_up_of(look, page.pack)
    signed = set_up is not None and set_up.consent == "written"  # on the set-up's own line
    answers = [*_agreed(check.consent)] if check.consent == "written" and not signed else []
    answers += [Answer(named[name], yes_no) for name in check.needs]
    answers.append(_result(page, check, _measure(page.pack, check)))
    for name in look.reads[1:]:
        other = page.pack.check(name)
        if not any(result.codes for result in other.results) and other.measure is None:
            answers.append(Answer(other.name, tuple(result.name for result in other.results)))
    answers.append(Answer(tell("not_checked"), tuple(say(f"reason_{reason}") for reason in NOT_CHECKED)))
    return answers


def _result(page: Page, check: Check, measure: Measure | None) -> Answer:
    words = tuple(result.name for result in check.results)
    if _reads_codes(page.pack, check):
        return Answer(tell("codes"), words, CODES)
    if measure is None:
        return Answer(tell("result"), words)
    count = 1 if measure.reduce == "value" else _cylinders(page)
    name = tell("measured") if count == 1 else tell("per_cylinder")
    return Answer(name, words, count, fmt.measured(1.0, measure.unit)[1])


def _measure(pack: Pack, check: Check) -> Measure | None:
    """Its own measure, or that of the first check that is part of the same act."""
    parts = (item.measure for item in pack.checks if item.part_of == check.id and item.measure is not None)
    return check.measure or next(parts, None)


def _reads_codes(pack: Pack, check: Check) -> bool:
    return any(result.codes for item in pack.checks if check.id in (item.id, item.part_of) for result in item.results)


def _cylinders(page: Page) -> int:
    """How many cylinders the likeliest revision has, or the engine as stated."""
    stated = page.case.vehicle.engine.traits.get("cylinders")
    found = page.checklist.identification
    if stated is None and found.family is not None and found.candidates:
        likeliest = max(found.candidates, key=lambda item: item.probability).revision
        revisions = [r for r in page.pack.family(found.family).revisions if r.id == likeliest]
        stated = revisions[0].traits.get("cylinders") if revisions else None
    return int(stated) if isinstance(stated, int | float) else USUAL_CYLINDERS


def _remarks(page: Page) -> Section:
    blocks: list[Block] = [Text(tell("remarks")), Blanks(("",) * OWN_LINES, abreast=1)]
    if page.checklist.unseen:
        names = ", ".join(item.name for item in page.checklist.unseen)
        blocks.append(Text(tell("unseen", names=names)))
    return Section("remarks", tell("h_remarks"), tuple(blocks))


def _cautions(page: Page) -> Section:
    told = tuple(fmt.sentence(text) for text in page.checklist.cautions)
    return Section("cautions", list_words("h_cautions"), (Bullets(told, small=True), Text(say("scope"), "small")))


# ---- the telephone ---------------------------------------------------------------------------------------------


def _call(page: Page) -> Section:
    rows = (
        (list_words("engine"), fmt.capital(checklist_content.engine(page))),
        (list_words("odometer"), fmt.distance(page.case.vehicle.odometer_km)),
    )
    written = tuple(tell(f"call_{name}") for name in ("day", "number", "visit", "where"))
    return Section("call", tell("h_call"), (Facts(rows, abreast=2), Blanks(written), Text(tell("call_intro"))))


def _leave(page: Page) -> Section:
    """Requests; what ends with a question mark is asked instead."""
    agreed = (tell("agreed_yes"), tell("agreed_no"))
    entries = tuple(
        Entry(item.text, "", _why(item.why), (Answer(tell("told"), agreed),))
        for item in page.checklist.questions
        if item.check is None and not item.text.endswith("?")
    )
    return Section("leave", tell("h_leave"), entries or (Text(list_words("nothing")),))


def _why(text: str) -> tuple[tuple[str, str], ...]:
    return (("", fmt.sentence(text)),) if text else ()


def _questions(page: Page) -> Section:
    of_checks = [item for item in page.checklist.questions if item.check is not None]
    open_ones = [item for item in page.checklist.questions if item.check is None and item.text.endswith("?")]
    blocks: list[Block] = [Entry(item.text, "", _why(item.why), (Answer(tell("told"), lines=1),)) for item in open_ones]
    blocks += [Text(list_words("ask_checks")), *(_question(page, item) for item in of_checks)]
    return Section("questions", tell("h_questions"), tuple(blocks))


def _question(page: Page, item: Question) -> Entry:
    check = page.pack.check(item.check or "")
    words = tuple(result.name for result in check.results)
    return Entry(item.text, "", (), (Answer(tell("told"), (*words, tell("unknown"))),))


def _papers(page: Page) -> Section:
    sent = (tell("sent"), tell("shown_there"), tell("not_there"))
    listed = [(item.text, item.why) for item in page.checklist.papers]
    listed += [(tell("invoice", name=item.name), "") for item in page.checklist.invoices]
    entries = [
        Entry(text, "", (("", fmt.sentence(why)),) if why else (), (Answer(tell("paper"), sent),))
        for text, why in listed
    ]
    return Section("papers", list_words("h_papers"), (Text(list_words("papers_intro")), *entries))
