"""Between a request and what is kept: assessments are made, followed up and printed again, for the web and the command
line alike.

desk        what is at hand: the knowledge pack in use, the repository, packs of earlier assessments
personal    VIN, plate, names and addresses on their way apart and back
making      from a case to a kept assessment
following   findings that were added, and what newer knowledge says: the next version
again       the same assessment again, from what is kept of it, or a plain refusal
shelf       prices of the price feed, as they were fetched last
printing    report, audit and calendar: made when first asked for, then kept
"""

from __future__ import annotations

from riskapi.desk.again import Again, again
from riskapi.desk.desk import Desk, open_desk
from riskapi.desk.following import Rescored, add_findings, rescore
from riskapi.desk.making import assess_only, make_assessment
from riskapi.desk.printing import AUDIT, REPORT, WATCH, Printed, printed, printed_for

__all__ = [
    "AUDIT",
    "REPORT",
    "WATCH",
    "Again",
    "Desk",
    "Printed",
    "Rescored",
    "add_findings",
    "again",
    "assess_only",
    "make_assessment",
    "open_desk",
    "printed",
    "printed_for",
    "rescore",
]
