"""The field of a vehicle identification number. What was written is personal data, so no fault repeats it."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError

from riskapi.domain.sentence import in_a_row, told
from riskapi.domain.vin import LENGTH, flaws
from riskapi.intake.fields import Pattern
from riskapi.intake.words import Wrong


class Vin(Pattern):
    """A VIN by the structure of ISO 3779; its check digit is no matter of form (see riskapi/domain/vin.py)."""

    def __init__(self, **kwargs: Any) -> None:
        shape = told("{length:d} capital letters and digits without I, O and Q (ISO 3779)", length=LENGTH)
        super().__init__(pattern=f"[A-HJ-NPR-Z0-9]{{{LENGTH}}}", shape=shape, limit=LENGTH, **kwargs)

    def read(self, value: Any) -> str:
        wrong = flaws(value) if isinstance(value, str) else (told("It is no text."),)
        if wrong:
            mend = told("Write {shape}; leave it out where it cannot be read whole.", shape=self.shape)
            raise ValidationError(Wrong(in_a_row(told("This is no VIN."), *wrong), mend))
        return str(value)
