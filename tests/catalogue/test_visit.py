"""The visit in checks.yaml: what is read of it; its faults are in packs/broken.yaml."""

from __future__ import annotations

from pathlib import Path

from riskapi.catalogue.load import pack_as_written
from riskapi.domain.knowledge import VisitWords, When

GOOD = pack_as_written(Path(__file__).parent / "packs" / "good")


def test_the_section_is_read() -> None:
    (request,), (paper,), (thing,) = GOOD.visit.requests, GOOD.visit.papers, GOOD.visit.bring
    assert (request.id, request.text, request.why) == (
        "leave_it_cold",
        "Please leave it cold.",
        "A cold start tells most.",
    )
    assert paper.when == When((("cam_drive", ("belt",)),))
    assert thing.uses == ("generic_scan_tool", "misfire_codes")
    assert {word.source for word in (request, paper, thing)} == {"judgement"}


def test_a_check_may_be_asked_and_ordered() -> None:
    check = GOOD.check("misfire_codes")
    assert (check.ask, check.told_by) == ("Is a warning lamp on?", "seller")
    assert (check.before, check.after) == (("cold_start_sound",), ("cap_look",))
    assert (GOOD.check("cap_look").ask, GOOD.check("cap_look").told_by) == ("", "self")


def test_conditions_say_what_they_come_before_and_what_shows_them() -> None:
    cold = next(word for word in GOOD.conditions if word.id == "engine_cold")
    assert (cold.before, cold.shown_by) == (("engine_hot",), "cap_look")


def test_a_pack_without_the_section_has_no_words() -> None:
    assert VisitWords() == VisitWords((), (), ())
