"""The service history as it was stated: what the lifetimes were reckoned from."""

from __future__ import annotations

from riskapi.domain.case import HistoryEntry
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.sections import Column, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.view import View

OF_WEAK_POINTS = ("renewed", "never_renewed", "failed")


def history_section(view: View) -> Section:
    """Each line of the history by date, with what it rests on."""
    entries = sorted(view.case.history, key=lambda entry: (entry.on, entry.pointer))
    if not entries:
        return Section("history", say("h_history"), (Text(say("history_none")),))
    columns = (
        Column(say("col_date"), 0.19),
        Column(say("col_odometer"), 0.14, "right"),
        Column(say("col_work"), 0.5),
        Column(say("col_evidence"), 0.17),
    )
    return Section("history", say("h_history"), (Table(columns, tuple(_row(view, entry) for entry in entries)),))


def _row(view: View, entry: HistoryEntry) -> tuple[str, ...]:
    odometer = "" if entry.odometer_km is None else fmt.distance(entry.odometer_km)
    work = fmt.capital(_work(view, entry))
    note = fmt.plain(entry.note)
    told = f"{work}. {say('quoted', text=note)}" if note else work
    return fmt.day(entry.on), odometer, told, say(f"evidence_{entry.evidence}")


def _work(view: View, entry: HistoryEntry) -> str:
    if entry.work == "checked" and entry.item is not None:
        check = words.check_name(view.pack, entry.item)
        return check if entry.result is None else f"{check}: {words.result_name(view.pack, entry.item, entry.result)}"
    item = _item(view, entry)
    return item if item and entry.work == "other" else say(f"work_{entry.work}", item=item)


def _item(view: View, entry: HistoryEntry) -> str:
    """The weak point by name, with the part revision where the papers tell it; any other item as it was stated."""
    if entry.item is None or entry.work not in OF_WEAK_POINTS:
        return fmt.plain(entry.item or "", 200)
    point = view.pack.weak_point(entry.item)
    part = next((part.name for part in point.parts if part.id == entry.part), None)
    return point.name if part is None else say("item_fitted", name=point.name, part=part)
