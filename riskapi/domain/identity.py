"""Who and which car, apart from everything that is computed: nothing in the model reads this.

A case has no VIN, plate, name or address in it, only what a VIN tells of the engine (riskapi.domain.vin.VinClues). What
is here is printed for those who may see it, and can be erased without any figure changing.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Person:
    """A name and an address, as far as they are known."""

    name: str | None = None
    address: str | None = None


@dataclass(frozen=True, slots=True)
class Identity:
    """`vin` is that of the papers, the others as read on the car. `commitment` is the digest that commits to it in what
    is kept elsewhere. `erased`: there was an identity, and it was erased."""

    vin: str | None = None
    vin_body: str | None = None
    vin_control_unit: str | None = None
    plate: str | None = None
    client: Person | None = None
    seller: Person | None = None
    inspector: Person | None = None
    commitment: str | None = None
    erased: bool = False

    @property
    def any_vin(self) -> str | None:
        """The VIN of the papers, else as read on the car."""
        return self.vin or self.vin_body or self.vin_control_unit


NOBODY = Identity()
