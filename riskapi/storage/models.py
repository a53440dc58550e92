"""All tables. What was assessed is only ever added to: no such row is updated or deleted.

models_accounts       account     whose records they are
                      api_key     what an account shows; its expiry and revocation are the only things that change
                      session     browsers that showed a key, until they sign out
                      setting     what an installation made up for itself
models_assessments    knowledge   the files of a knowledge pack, once per digest
                      recall      knowledge packs that are no longer to be relied on
                      assessment  one case with its result
                      belonging   which account an assessment belongs to
                      written     what an idempotency key made, so that a request sent twice makes it once
                      document    what was printed from an assessment (report.pdf, ...), byte for byte
                      car         one car in one account
                      car_mark    keyed digests by which a car is known again
                      version     which assessment of its car this is
                      identity    personal data, apart, until someone asks to have it erased
                      photo       pictures that findings name
                      outcome     what happened afterwards
models_publications   publication, dispute, seal_key
models_events         webhook, event, delivery, price_feed, worker
"""

from __future__ import annotations

from riskapi.storage.models_accounts import AccountRow, KeyRow, SessionRow, SettingRow
from riskapi.storage.models_assessments import (
    AssessmentRow,
    BelongingRow,
    CarMarkRow,
    CarRow,
    DocumentRow,
    IdentityRow,
    KnowledgeRow,
    OutcomeRow,
    PhotoRow,
    RecallRow,
    VersionRow,
    WrittenRow,
)
from riskapi.storage.models_base import DIGEST_LENGTH, ID_LENGTH, Base, UtcTime, new_id
from riskapi.storage.models_events import DeliveryRow, EventRow, PriceFeedRow, WebhookRow, WorkerRow
from riskapi.storage.models_publications import DisputeRow, PublicationRow, SealKeyRow

__all__ = [
    "DIGEST_LENGTH",
    "ID_LENGTH",
    "AccountRow",
    "AssessmentRow",
    "Base",
    "BelongingRow",
    "CarMarkRow",
    "CarRow",
    "DeliveryRow",
    "DisputeRow",
    "DocumentRow",
    "EventRow",
    "IdentityRow",
    "KeyRow",
    "KnowledgeRow",
    "OutcomeRow",
    "PhotoRow",
    "PriceFeedRow",
    "PublicationRow",
    "RecallRow",
    "SealKeyRow",
    "SessionRow",
    "SettingRow",
    "UtcTime",
    "VersionRow",
    "WebhookRow",
    "WorkerRow",
    "WrittenRow",
    "new_id",
]
