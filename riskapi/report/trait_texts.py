"""Traits and their values in words, in every language; the pack has them as ids."""

from __future__ import annotations

from collections.abc import Mapping

from riskapi.domain.knowledge import TraitValue
from riskapi.report import format as fmt
from riskapi.report.german.trait_texts import TRAIT_TEXTS as GERMAN
from riskapi.report.language import Texts

TRAIT_TEXTS: Mapping[str, str] = {
    # ---- traits
    "fuel": "fuel",
    "cylinders": "cylinders",
    "displacement_l": "displacement in litres",
    "induction": "induction",
    "fuel_injection": "injection",
    "cam_drive": "cam drive",
    "vvt": "cam adjustment",
    "interference": "valves can meet pistons",
    "valve_lash": "valve lash",
    "balance_shafts": "balance shafts driven by",
    "block_material": "block",
    "coolant_pump_housing": "coolant pump housing",
    "coolant_pump_drive": "coolant pump driven by",
    "timing_cover": "timing cover",
    "oil_cooler": "oil cooler",
    "particulate_filter": "particulate filter",
    "exhaust_gas_recirculation": "exhaust gas recirculation",
    "urea_dosing": "urea dosing",
    "installation": "engine lies",
    "coolant_pump_access": "coolant pump sits",
    "injector_position": "injectors sit",
    "cam_drive_side": "cam drive sits",
    "fuel_pump_follower": "fuel pump follower",
    "oil_pump_driven_by": "oil pump driven by",
    "cam_bearings": "cam bearings",
    "sump": "sump",
    "flaps_in_intake": "flaps in the intake",
    "oil_pump": "oil pump",
    # ---- values
    "petrol": "petrol",
    "diesel": "diesel",
    "natural": "natural",
    "turbocharged": "turbocharger",
    "supercharged": "supercharger",
    "port": "into the port",
    "direct": "direct",
    "port_and_direct": "both",
    "chain": "chain",
    "belt": "belt",
    "belt_in_oil": "belt in oil",
    "gears": "gears",
    "none": "none",
    "intake": "inlet side",
    "intake_and_exhaust": "both sides",
    "yes": "yes",
    "no": "no",
    "hydraulic": "hydraulic",
    "mechanical": "mechanical",
    "iron": "iron",
    "aluminium": "aluminium",
    "polymer": "plastic",
    "metal": "metal",
    "accessory_belt": "accessory belt",
    "balance_shaft_belt": "belt of the balance shaft",
    "electric": "electric",
    "pressed_steel": "pressed steel",
    "cast": "cast",
    "on_filter_housing": "at the filter housing",
    "separate": "separate",
    "transverse": "across",
    "longitudinal": "lengthwise",
    "under_manifold": "under the manifold",
    "front": "at the front",
    "gearbox_end": "at the gearbox",
    "side": "at the side",
    "central": "central",
    "flat": "flat",
    "roller": "roller",
    "crankshaft": "crankshaft",
    "in_head": "in the head",
    "in_ladder": "in a ladder",
    "in_cover": "in the cover",
    "one_piece": "one piece",
    "two_piece": "two pieces",
    "fixed": "fixed",
    "controlled": "controlled",
}

_words = Texts(en=TRAIT_TEXTS, de=GERMAN)


def trait_word(name: str) -> str:
    """'cam drive' for 'cam_drive', 'Steuertrieb' in German; a trait or value of a pack's own by its id."""
    return _words(name) if name in _words else name.replace("_", " ")


def trait_heading(name: str) -> str:
    """The name of a trait as a label: 'Cam drive'."""
    return fmt.capital(trait_word(name))


def trait_value(value: TraitValue | None) -> str:
    """A value in words; numbers with the separators of the language; '' for none."""
    if value is None:
        return ""
    return trait_word(value) if isinstance(value, str) else fmt.written(float(value), "g")


def is_trait_word(name: str) -> bool:
    """Whether this is a trait or a value that the table knows."""
    return name in _words
