"""What only the operator of an installation asks, on its own machine: across all accounts."""

from __future__ import annotations

from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.errors import NotFound
from riskapi.storage.accounts import Account
from riskapi.storage.cars import versions_of
from riskapi.storage.identities import known_car, marks_of, matching_key
from riskapi.storage.models import AccountRow, AssessmentRow, BelongingRow


def owner_of(engine: Engine, assessment_id: str) -> Account:
    """Whose assessment this is. Raises NotFound."""
    wanted = select(AccountRow).join(BelongingRow, BelongingRow.account_id == AccountRow.id)
    with Session(engine) as session:
        row = session.scalar(wanted.where(BelongingRow.assessment_id == assessment_id))
        if row is None:
            raise NotFound("assessment", assessment_id)
        return _account(row)


def assessments_of_vin(engine: Engine, vin: str) -> list[str]:
    """One assessment of every car with this VIN, in whichever account."""
    key, found = matching_key(engine), []
    with Session(engine) as session:
        for account_id in session.scalars(select(AccountRow.id).order_by(AccountRow.id)):
            car_id = known_car(session, account_id, marks_of(key, account_id, vin, None))
            latest = [] if car_id is None else versions_of(session, car_id, account_id)[-1:]
            found += [version.assessment_id for version in latest]
    return found


def all_assessments(engine: Engine) -> list[tuple[str, Account]]:
    """Ids of all assessments with their accounts, oldest first."""
    joined = select(AssessmentRow.id, AccountRow).select_from(AssessmentRow).join(BelongingRow)
    wanted = joined.join(AccountRow, AccountRow.id == BelongingRow.account_id)
    with Session(engine) as session:
        rows = session.execute(wanted.order_by(AssessmentRow.created_at, AssessmentRow.id))
        return [(identifier, _account(row)) for identifier, row in rows]


def _account(row: AccountRow) -> Account:
    return Account(row.id, row.name, row.role, row.trial)
