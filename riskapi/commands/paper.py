"""What the command line needs to print: pictures from a folder, a letterhead from a file, an edition."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

from riskapi.domain.case import Case
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.errors import InputError, PhotoError, RiskapiError
from riskapi.intake.paper import read_letterhead
from riskapi.intake.photo import read_photo
from riskapi.report.edition import Edition
from riskapi.report.sections import Letterhead

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")


def photos_of(case: Case, folder: Path) -> dict[str, bytes]:
    """The pictures that the findings name, from files with their names in the folder, as they are kept elsewhere too.

    Raises InputError with every picture that is not there or cannot be read.
    """
    found, faults = {}, []
    for name in dict.fromkeys(name for finding in case.findings for name in finding.photos):
        path = next((p for p in (folder / f"{Path(name).name}{ending}" for ending in ENDINGS) if p.is_file()), None)
        if path is None:
            picture = Written(name)
            mend = told(
                "Put it there as {picture}.jpg, .png or .webp, or take its name out of the finding.", picture=picture
            )
            faults.append(at_fault(str(folder), told("There is no picture {picture}.", picture=picture), mend))
            continue
        try:
            found[name] = read_photo(path.read_bytes()).content
        except PhotoError as error:
            faults += [replace(fault, place=str(path)) for fault in error.faults]
    if faults:
        raise InputError(faults)
    return found


def letterhead_of(path: Path) -> Letterhead:
    """The letterhead in a JSON file; its logo is a file beside it. Raises CaseError, Unreadable, InputError."""
    try:
        paper = read_letterhead(path.read_bytes())
    except RiskapiError as error:
        error.add_note(str(path))
        raise
    logo = None
    if paper.logo is not None:
        place = path.parent / paper.logo
        try:
            logo = read_photo(place.read_bytes()).content
        except PhotoError as error:
            raise InputError(replace(fault, place=str(place)) for fault in error.faults) from None
    return Letterhead(paper.name or "", paper.lines, logo)


def edition_of(kind: str, without_price: bool, letterhead: Path | None) -> Edition:
    """The edition that the options ask for."""
    return Edition(kind, not without_price, None if letterhead is None else letterhead_of(letterhead))


def link_of(case: Case, stated: str | None) -> str:
    """The address of the same checklist for a phone: as stated, else at the service that the public reaches, else none.

    Raises InputError."""
    if stated is not None or not os.environ.get("RISKAPI_PUBLIC_URL"):
        return stated or ""
    from riskapi.web.public_url import public_url  # noqa: PLC0415 (no other command needs the web server)
    from riskapi.web.visit_address import visit_address  # noqa: PLC0415

    address = public_url()
    return visit_address(address, case) if address else ""
