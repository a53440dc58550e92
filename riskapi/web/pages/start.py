"""The first page: which car it is. A plain form; its query is the address of the checklist."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from flask import Response, request

from riskapi.domain.knowledge import EQUIPMENT
from riskapi.errors import Fault
from riskapi.report.faults import faults_in_words
from riskapi.report.language import spoken_units
from riskapi.web.pages import form
from riskapi.web.pages.routes import page, routes
from riskapi.web.pages.words import local_pack
from riskapi.web.state import state

FIRST_TRAITS = ("fuel", "cylinders", "displacement_l", "induction", "fuel_injection", "cam_drive")


@routes.get("/")
def start() -> Response:
    """Describe the car; a query fills the form in."""
    return start_page(form.asked_from(request.args), ())


def start_page(asked: form.Asked, faults: Sequence[Fault], status: int = 200) -> Response:
    """The form with what was asked in it and what is wrong with it beside the fields."""
    pack = local_pack()
    at_field: dict[str, list[Fault]] = {}
    for fault in faults_in_words(faults, state().pack):
        told = replace(fault, mend=form.without_json(fault.mend))
        at_field.setdefault(form.field_of(fault.place), []).append(told)
    traits = {word.name: word for word in pack.traits}
    first = [traits[name] for name in FIRST_TRAITS if name in traits]
    return page(
        "start.html",
        status,
        asked=asked,
        faults=at_field,
        families=pack.families,
        first_traits=first,
        more_traits=[word for word in pack.traits if word.name not in FIRST_TRAITS],
        equipment=EQUIPMENT,
        tiers=form.TIERS,
        units=spoken_units(),
        currency=pack.defaults.currency,
    )
