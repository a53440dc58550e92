"""Masses of states and spends per root combination and weak point."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from riskapi.domain.outlook import MassTable, mass_table, mixing_of
from tests.domain.weighed import full, plain

OUTLOOK = plain().basis.outlook
TABLE = OUTLOOK.table
NAMES = [wp.id for wp in OUTLOOK.lanes.weak_points]


def test_without_a_recorded_history_the_masses_sum_to_one() -> None:
    assert TABLE.masses.sum(axis=1) == pytest.approx(1.0, abs=2e-4)


def test_counts_sum_to_masses() -> None:
    for spend in OUTLOOK.spends:
        for horizon in range(len(OUTLOOK.horizons)):
            assert spend.events[:, horizon, :3].sum(axis=(2, 3)) == pytest.approx(spend.state, abs=1e-10)
        assert spend.planned[:, :3].sum(axis=2) == pytest.approx(spend.state, abs=1e-10)


def test_only_faulty_ones_are_found_faulty() -> None:
    assert (TABLE.found[:, :2] == 0.0).all()
    single = [w for w, name in enumerate(NAMES) if name != "coil"]
    assert TABLE.found[single, 2] == pytest.approx(TABLE.masses[single, 2])
    coil = NAMES.index("coil")
    assert (TABLE.found[coil, 2] > TABLE.masses[coil, 2]).all()  # of four copies several may be


def test_quiet_means_neither_faulty_nor_failing() -> None:
    assert (TABLE.quiet[:, 2] == 0.0).all()
    assert (TABLE.quiet <= TABLE.masses + 1e-15).all()
    assert (TABLE.masses[:, :2] - TABLE.quiet[:, :2] <= TABLE.failures[:, :2] + 1e-9).all()


def test_discounting_lowers_what_comes_later() -> None:
    for later, now in ((TABLE.present, TABLE.failures), (TABLE.planned_present, TABLE.planned)):
        assert (later <= now + 1e-12).all()
        assert later.sum() < now.sum()
        assert later.sum() > now.sum() * 1.02**-3


def test_only_the_belt_is_renewed_as_planned() -> None:
    busy = [name for name, row in zip(NAMES, TABLE.planned, strict=True) if row.sum() > 0.0]
    assert busy == ["belt"]


def test_a_weak_point_that_may_be_absent_is_sound_and_quiet_with_that_chance() -> None:
    row = OUTLOOK.lanes.mixes[0]
    halved = tuple(replace(mix, lanes=tuple((i, 0.5 * weight) for i, weight in mix.lanes)) for mix in row)
    lanes = replace(OUTLOOK.lanes, mixes=(halved,), roots=OUTLOOK.lanes.roots[:1])
    half = mass_table(replace(OUTLOOK, lanes=lanes, kept=replace(OUTLOOK.kept, mixing=mixing_of(lanes))))
    for field in fields(MassTable):
        whole = getattr(TABLE, field.name)[..., :1]
        absent = np.array([field.name in ("masses", "quiet"), False, False], dtype=float)[None, :, None]
        assert getattr(half, field.name) == pytest.approx(0.5 * whole + 0.5 * absent), field.name


def test_the_recorded_history_has_a_likelihood() -> None:
    """A told renewal of the turbo and a documented one of the seal: chances, so masses never exceed one by much."""
    masses = full().basis.outlook.table.masses.sum(axis=1)
    assert (masses > 0.0).all()
    assert masses.max() < 1.001
