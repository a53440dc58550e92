"""The trait vocabulary in words: the names of the traits and of their values, which the pack has as ids."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from riskapi.report.language import spoken

_Pair = tuple[str, str]  # English, German

_TRAITS: Mapping[str, _Pair] = MappingProxyType({
    "fuel": ("Fuel", "Kraftstoff"),
    "cylinders": ("Cylinders", "Zylinder"),
    "displacement_l": ("Displacement", "Hubraum"),
    "induction": ("Induction", "Aufladung"),
    "fuel_injection": ("Injection", "Einspritzung"),
    "cam_drive": ("Cam drive", "Steuertrieb"),
    "vvt": ("Cam adjustment", "Nockenwellenverstellung"),
    "interference": ("Valves can meet pistons", "Ventile können Kolben treffen"),
    "valve_lash": ("Valve lash", "Ventilspiel"),
    "balance_shafts": ("Balance shafts driven by", "Antrieb der Ausgleichswellen"),
    "block_material": ("Block", "Motorblock"),
    "coolant_pump_housing": ("Coolant pump housing", "Gehäuse der Kühlmittelpumpe"),
    "coolant_pump_drive": ("Coolant pump driven by", "Antrieb der Kühlmittelpumpe"),
    "timing_cover": ("Timing cover", "Steuerdeckel"),
    "oil_cooler": ("Oil cooler", "Ölkühler"),
    "particulate_filter": ("Particulate filter", "Partikelfilter"),
    "exhaust_gas_recirculation": ("Exhaust gas recirculation", "Abgasrückführung"),
    "urea_dosing": ("Urea dosing", "Harnstoffdosierung"),
    "installation": ("Engine lies", "Einbaulage"),
    "coolant_pump_access": ("Coolant pump sits", "Kühlmittelpumpe sitzt"),
    "injector_position": ("Injectors sit", "Einspritzventile sitzen"),
    "cam_drive_side": ("Cam drive sits", "Steuertrieb sitzt"),
    "fuel_pump_follower": ("Fuel pump follower", "Stößel der Kraftstoffpumpe"),
    "oil_pump_driven_by": ("Oil pump driven by", "Antrieb der Ölpumpe"),
    "cam_bearings": ("Cam bearings", "Nockenwellenlager"),
    "sump": ("Sump", "Ölwanne"),
    "flaps_in_intake": ("Flaps in the intake", "Klappen im Saugrohr"),
    "oil_pump": ("Oil pump", "Ölpumpe"),
})  # fmt: skip
_VALUES: Mapping[str, _Pair] = MappingProxyType({
    "petrol": ("petrol", "Benzin"),
    "diesel": ("diesel", "Diesel"),
    "natural": ("natural", "ohne Aufladung"),
    "turbocharged": ("turbocharger", "Turbolader"),
    "supercharged": ("supercharger", "Kompressor"),
    "port": ("into the port", "ins Saugrohr"),
    "direct": ("direct", "direkt"),
    "port_and_direct": ("both", "beides"),
    "chain": ("chain", "Kette"),
    "belt": ("belt", "Zahnriemen"),
    "belt_in_oil": ("belt in oil", "Zahnriemen im Ölbad"),
    "gears": ("gears", "Zahnräder"),
    "none": ("none", "keine"),
    "intake": ("inlet side", "Einlassseite"),
    "intake_and_exhaust": ("both sides", "beide Seiten"),
    "yes": ("yes", "ja"),
    "no": ("no", "nein"),
    "hydraulic": ("hydraulic", "hydraulisch"),
    "mechanical": ("mechanical", "mechanisch"),
    "iron": ("iron", "Grauguss"),
    "aluminium": ("aluminium", "Aluminium"),
    "polymer": ("plastic", "Kunststoff"),
    "metal": ("metal", "Metall"),
    "accessory_belt": ("accessory belt", "Keilrippenriemen"),
    "balance_shaft_belt": ("belt of the balance shaft", "Riemen der Ausgleichswelle"),
    "cam_drive": ("cam drive", "Steuertrieb"),
    "electric": ("electric", "elektrisch"),
    "pressed_steel": ("pressed steel", "Stahlblech"),
    "cast": ("cast", "Guss"),
    "on_filter_housing": ("at the filter housing", "am Filtergehäuse"),
    "separate": ("separate", "getrennt"),
    "transverse": ("across", "quer"),
    "longitudinal": ("lengthwise", "längs"),
    "under_manifold": ("under the manifold", "unter dem Saugrohr"),
    "front": ("at the front", "vorn"),
    "gearbox_end": ("at the gearbox", "am Getriebe"),
    "side": ("at the side", "seitlich"),
    "central": ("central", "mittig"),
    "flat": ("flat", "flach"),
    "roller": ("roller", "Rolle"),
    "crankshaft": ("crankshaft", "Kurbelwelle"),
    "in_head": ("in the head", "im Zylinderkopf"),
    "in_ladder": ("in a ladder", "im Lagerrahmen"),
    "in_cover": ("in the cover", "im Deckel"),
    "one_piece": ("one piece", "einteilig"),
    "two_piece": ("two pieces", "zweiteilig"),
    "fixed": ("fixed", "ungeregelt"),
    "controlled": ("controlled", "geregelt"),
})  # fmt: skip


def trait_name(name: str) -> str:
    """The trait in words; its id where a pack has one of its own."""
    return _word(_TRAITS, name)


def trait_value(value: str | float) -> str:
    """The value in words; numbers and values of a pack's own as they are."""
    return f"{value:g}" if isinstance(value, float | int) else _word(_VALUES, value)


def _word(table: Mapping[str, _Pair], name: str) -> str:
    pair = table.get(name)
    return name.replace("_", " ") if pair is None else pair[spoken() == "de"]
