"""What a picture tells better: weak points by chance and cost, what moves the cost, what findings changed, leaks."""

from __future__ import annotations

import math

from riskapi.domain.assessment import Checked, Evidence, WeakPointResult
from riskapi.domain.knowledge import Check, Symptom, TraitValue
from riskapi.domain.sensitivity import Bar
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.edition_texts import tell
from riskapi.report.sections import (
    Block,
    Move,
    Moves,
    Photo,
    Photos,
    Plane,
    PlanePoint,
    Section,
    Share,
    Shares,
    Shift,
    Shifts,
    Spot,
    Text,
    ZoneMap,
)
from riskapi.report.sensitivity import name_of, side_words
from riskapi.report.view import View

NAMED, MOVES, SHIFTS = 12, 7, 8  # weak points named on the plane, bars, findings drawn
SEEN_MOVE = 0.01  # change of a chance from which it is drawn


def plane(view: View) -> Plane:
    """Every weak point that may cost something, the costliest by name."""
    points = tuple(
        PlanePoint(item.name, item.failure_probability, item.expected_cost / item.failure_probability)
        for item in view.assessment.weak_points
        if item.failure_probability > 0.0 and item.expected_cost > 0.0
    )
    across = tell("plane_across", years=fmt.years(view.years))
    return Plane(points, NAMED, view.currency, across, tell("plane_upward"))


def outcomes(view: View) -> tuple[Block, ...]:
    """A hundred such cars: no surprise, within the budget, above it."""
    zero, above = view.assessment.cost.unplanned.p_zero, view.assessment.risk.score / 100.0
    within = max(0.0, 1.0 - zero - above)
    budget = view.exact(view.assessment.risk.repair_budget)
    parts = (
        Share(zero, tell("share_none", count=fmt.of_hundred(zero))),
        Share(within, tell("share_within", count=fmt.of_hundred(within), budget=budget)),
        Share(above, tell("share_above", count=fmt.of_hundred(above), budget=budget)),
    )
    intro = tell("shares_intro", years=fmt.years(view.years))
    return Text(intro), Shares(parts)


def moves_section(view: View) -> Section | None:
    """What moves the average cost; None where it was not computed or nothing moves it."""
    found = view.at_hand.moves
    if found is None or not found.bars:
        return None
    items = tuple(_move(view, bar) for bar in found.bars[:MOVES] if bar.width >= 1.0)
    if not items:
        return None
    blocks: list[Block] = [
        Text(tell("moves_intro")),
        Moves(found.mean, tell("moves_mean", mean=view.money(found.mean)), items),
    ]
    rest = len(found.bars) - len(items)
    if rest > 0:
        blocks.append(Text(tell("moves_rest", count=fmt.number(rest)), "small"))
    return Section("moves", tell("h_moves"), tuple(blocks))


def _move(view: View, bar: Bar) -> Move:
    if bar.what == "lifetime":
        low, high = (tell(f"moves_{side.value}") for side in (bar.low, bar.high))
    else:
        low, high = (side_words(bar, side, view.pack, view.currency) for side in (bar.low, bar.high))
    return Move(name_of(bar, view.pack), low, high, bar.low.cost, bar.high.cost)


# ---- what the findings changed ---------------------------------------------------------------------------------


def shifts(view: View) -> Shifts | None:
    """Of each finding the weak point that it moves most, the loudest findings first; None where none is to be seen."""
    strongest: dict[str, tuple[Evidence, WeakPointResult]] = {}
    for item in view.assessment.weak_points:
        for entry in item.evidence:
            known = strongest.get(entry.check)
            if known is None or abs(entry.alone) > abs(known[0].alone):
                strongest[entry.check] = entry, item
    drawn = [_shift(view, entry, item) for entry, item in strongest.values() if abs(entry.alone) >= words.NO_WEIGHT]
    drawn = [shift for shift in drawn if abs(shift.after - shift.before) >= SEEN_MOVE]
    drawn.sort(key=lambda shift: (-abs(shift.after - shift.before), shift.finding, shift.weak_point))
    return Shifts(tuple(drawn[:SHIFTS])) if drawn else None


def _shift(view: View, entry: Evidence, item: WeakPointResult) -> Shift:
    before = words.not_sound(item.prior)
    after = _lifted(before, entry.alone)
    check, result = words.check_name(view.pack, entry.check), words.result_name(view.pack, entry.check, entry.result)
    told = tell("shift_words", before=fmt.of_hundred(before), after=fmt.of_hundred(after))
    return Shift(f"{check}: {result}", item.name, before, after, told)


def _lifted(share: float, decibans: float) -> float:
    """The chance whose odds are those of `share` times 10^(decibans / 10)."""
    odds = math.pow(10.0, decibans / 10.0) * share / max(1e-12, 1.0 - share)
    return odds / (1.0 + odds)


# ---- where fluids were seen ------------------------------------------------------------------------------------


def zones_section(view: View) -> Section | None:
    """Every place where this engine can leak, as it was seen; None where nobody looked at any."""
    told = [spot for spot in (_spot(view, symptom) for symptom in _zones(view)) if spot is not None]
    if all(spot.level is None for spot in told):
        return None
    lie = str(_trait(view, "installation") or "transverse")
    picture = ZoneMap(tuple(told), lie, tell("zones_caption"), _trait(view, "cam_drive_side") == "gearbox_end")
    blocks: list[Block] = [picture]
    unplaced = [f"{spot.name}: {spot.words}" for spot in told if spot.place is None]
    if unplaced:
        blocks.append(Text(tell("zones_elsewhere", places="; ".join(unplaced))))
    return Section("zones", tell("h_zones"), tuple(blocks))


def _zones(view: View) -> tuple[Symptom, ...]:
    """Zones that a weak point of this engine makes wet, or that were looked at."""
    points = [view.pack.weak_point(item.id) for item in view.assessment.weak_points]
    wanted = {effect.symptom for point in points for effect in point.effects}
    wanted |= {view.pack.check(item.check).symptom or "" for item in view.assessment.coverage.checked}
    return tuple(symptom for symptom in view.pack.symptoms if symptom.zone and symptom.id in wanted)


def _spot(view: View, symptom: Symptom) -> Spot | None:
    """How one zone was seen; None where no check reads it."""
    checks = [check for check in view.pack.checks if check.symptom == symptom.id]
    if not checks:
        return None
    done = [item for item in view.assessment.coverage.checked if item.check in {check.id for check in checks}]
    done.sort(key=lambda item: item.observed_by != "self")
    level = _level(view.pack.check(done[0].check), done[0]) if done else None
    told = _spot_words(view, checks, done)
    return Spot(symptom.name, symptom.place, symptom.zone or "", level, len(symptom.levels), told)


def _spot_words(view: View, checks: list[Check], done: list[Checked]) -> str:
    if done:
        return words.result_name(view.pack, done[0].check, done[0].result)
    void = {item.check for item in view.assessment.coverage.void}
    return tell("zone_void") if any(check.id in void for check in checks) else tell("zone_open")


def _level(check: Check, item: Checked) -> int | None:
    """The level that gives this result most surely."""
    names = [result.name for result in check.results]
    ids = [result.id for result in check.results]
    index = ids.index(item.result) if item.result in ids else names.index(item.result) if item.result in names else None
    if index is None:
        return None
    return max(range(len(check.table)), key=lambda level: (check.table[level][index], -level))


def photos_section(view: View) -> Section | None:
    """Every picture that was taken, with the check and its result; None without any."""
    photos: list[Photo] = []
    told = {item.check: item for item in view.assessment.coverage.checked}
    for check in dict.fromkeys(finding.check for finding in view.case.findings if finding.photos):
        name, item = words.check_name(view.pack, check), told.get(check)
        result = "" if item is None else words.result_name(view.pack, check, item.result)
        photos += view.photos(check, f"{name}: {result}" if result else name)
    return Section("photos", tell("h_photos"), (Photos(tuple(photos)),)) if photos else None


def _trait(view: View, name: str) -> TraitValue | None:
    """A trait as stated, else that of the likeliest revision."""
    vehicle = view.case.vehicle
    if name == "installation" and vehicle.installation is not None:
        return vehicle.installation
    stated = vehicle.engine.traits.get(name)
    found = view.assessment.identification
    if stated is not None or found.family is None or not found.candidates:
        return stated
    likeliest = max(found.candidates, key=lambda item: item.probability).revision
    revisions = [r for r in view.pack.family(found.family).revisions if r.id == likeliest]
    return revisions[0].traits.get(name) if revisions else None
