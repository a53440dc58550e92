"""Faults, and what else an error has to say, in the language spoken."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import Sentence, Written, told
from riskapi.errors import Fault
from riskapi.report.translate import text_in_words

KINDS = {
    "access step": told("access step"),
    "account": told("account"),
    "address": told("address"),
    "assessment": told("assessment"),
    "check": told("check"),
    "dispute": told("dispute"),
    "disputes of one publication": told("disputes of one publication"),
    "engine family": told("engine family"),
    "identity": told("identity"),
    "key": told("key"),
    "knowledge pack": told("knowledge pack"),
    "operation": told("operation"),
    "photo": told("photo"),
    "publication": told("publication"),
    "revision": told("revision"),
    "source": told("source"),
    "special tool": told("special tool"),
    "symptom": told("symptom"),
    "weak point": told("weak point"),
    "webhook": told("webhook"),
}
"""What errors call the kinds of things they are about."""


def kind_word(kind: str) -> Sentence | Written:
    """What a kind of things is called."""
    return KINDS.get(kind, Written(kind))


def faults_in_words(faults: Iterable[Fault], pack: Pack | None) -> tuple[Fault, ...]:
    """The faults in the language spoken now, their places as they were; without the words of a pack where there is
    none at hand."""
    return tuple(
        replace(fault, message=text_in_words(fault.message, pack), mend=text_in_words(fault.mend, pack))
        for fault in faults
    )
