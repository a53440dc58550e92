"""The vehicle identification number (VIN): its structure, check digit and model year, without any table of makers.

Structure by ISO 3779: 17 characters, capital letters and digits without I, O and Q. Check digit (position 9) and model
year (positions 7 and 10) by 49 CFR 565. Both bind only where the car's market uses them: elsewhere position 9 may hold
anything and position 10 need not be a year. So a check digit that does not fit is a fact to ask about, never a fault.

Every function but `flaws` and `tail` takes a VIN without flaws. What the model needs of a VIN are its `VinClues`, which
tell nobody which car it is: so it computes the same where the VIN itself is not at hand, or was erased.
"""

from __future__ import annotations

import string
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from riskapi.domain.sentence import Sentence, Written, told

LENGTH = 17
PAPERS, BODY, CONTROL_UNIT = PLACES = ("papers", "body", "control_unit")  # where a VIN is read
ALPHABET = frozenset(string.digits + string.ascii_uppercase) - frozenset("IOQ")
CHECK_POSITION, CYCLE_POSITION, YEAR_POSITION = 9, 7, 10  # counted from 1

# 49 CFR 565.15(c): value of each character, weight of each position
_VALUES = {
    **{digit: int(digit) for digit in string.digits},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
    "P": 7,
    "R": 9,
}
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)

_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"  # 1980 to 2009, and again 2010 to 2039
_FIRST_YEAR = 1980
_CYCLE = len(_YEAR_CODES)  # [years]


@dataclass(frozen=True, slots=True)
class VinClues:
    """What the VIN that was read at one of PLACES tells of the engine.

    `number` says which of the different VINs read on this car it is, from 0; `years` are both model years that its
    position 10 can mean, () where it is no code of a year; `lettered`: position 7 is a letter.
    """

    place: str
    number: int
    check_digit_fits: bool
    years: tuple[int, ...]
    lettered: bool


def clues_of(read: Mapping[str, str]) -> tuple[VinClues, ...]:
    """The clues of the VINs that were read, by place, in the order of PLACES."""
    places = [place for place in PLACES if place in read]
    numbers = list(dict.fromkeys(read[place] for place in places))
    return tuple(
        VinClues(
            place=place,
            number=numbers.index(read[place]),
            check_digit_fits=check_digit_fits(read[place]),
            years=year_codes(read[place]),
            lettered=read[place][CYCLE_POSITION - 1].isalpha(),
        )
        for place in places
    )


def flaws(vin: str) -> tuple[Sentence, ...]:
    """What keeps this from being a VIN by ISO 3779, as sentences that do not repeat it; () when nothing does."""
    found = []
    if len(vin) != LENGTH:
        found.append(told("It has {count:d} characters, a VIN has {length:d}.", count=len(vin), length=LENGTH))
    wrong = [position for position, character in enumerate(vin, start=1) if character not in ALPHABET]
    if wrong and len(wrong) <= LENGTH:
        places = tuple(Written(str(position)) for position in wrong)
        found.append(told("No VIN has the character at position {places}.", places=places))
    elif wrong:
        found.append(told("It has characters that no VIN has."))
    return tuple(found)


def weighted_sum(vin: str) -> int:
    """Sum of value times weight over all positions; position 9 has the weight 0 (49 CFR 565.15(c))."""
    return sum(weight * _VALUES[character] for weight, character in zip(_WEIGHTS, vin, strict=True))


def check_digit(vin: str) -> str:
    """The digit (or X for ten) that 49 CFR 565.15(c) wants at position 9: the weighted sum modulo 11."""
    return "0123456789X"[weighted_sum(vin) % 11]


def check_digit_fits(vin: str) -> bool:
    """Whether position 9 is the check digit of the rest.

    A fit proves little: two characters of the same value (A, J and 1; B, K, S and 2; ...) can be exchanged unnoticed.
    """
    return vin[CHECK_POSITION - 1] == check_digit(vin)


def model_years(vin: str, first_registered: date | None = None) -> tuple[int, ...]:
    """The model years that position 10 can mean, oldest first; () when it is no code of a year.

    Each code means two years, 30 apart. A year that begins more than a year after the first registration is left out
    (a model year may begin in the calendar year before it). Of what is left, position 7 decides: a letter means 2010
    or later, a digit 2009 or earlier. That rule is for cars and light trucks of markets under 49 CFR 565 alone.
    """
    return _likely(year_codes(vin), vin[CYCLE_POSITION - 1].isalpha(), first_registered)


def year_codes(vin: str) -> tuple[int, ...]:
    """Both model years that position 10 can mean, oldest first; () when it is no code of a year."""
    place = _YEAR_CODES.find(vin[YEAR_POSITION - 1])
    return () if place < 0 else (_FIRST_YEAR + place, _FIRST_YEAR + _CYCLE + place)


def model_year(clues: VinClues, first_registered: date | None = None) -> int | None:
    """The model year where the rules of `model_years` leave exactly one, else None."""
    years = _likely(clues.years, clues.lettered, first_registered)
    return years[0] if len(years) == 1 else None


def _likely(both: tuple[int, ...], lettered: bool, first_registered: date | None) -> tuple[int, ...]:
    latest = date.max.year if first_registered is None else first_registered.year + 1
    left = tuple(year for year in both if year <= latest)
    preferred = tuple(year for year in left if (year >= _FIRST_YEAR + _CYCLE) == lettered)
    return preferred or left


def tail(vin: str) -> str:
    """The last four characters: all that is ever shown of a VIN, which is personal data."""
    return vin[-4:]
