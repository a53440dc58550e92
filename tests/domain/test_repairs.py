"""Which operations an engine can need for a weak point, and what they need."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.knowledge import Operation, Pack, SpecialTool, Traits
from riskapi.domain.repairs import repairs_of
from riskapi.errors import NotFound
from tests.simulator import tiny

LOCK = SpecialTool("lock", "locking set", "Holds the cams", "test")
SMALL = tiny.pack()
INTERFERENCE, CLEAR = (Traits((("interference", answer),)) for answer in ("yes", "no"))


def equipped(operation: Operation) -> Operation:
    return replace(operation, special_tools=("lock",), cautions=("Mind it.",)) if operation.id == "chain" else operation


PACK = replace(SMALL, operations=tuple(equipped(item) for item in SMALL.operations), special_tools=(LOCK,))


def test_each_operation_once_with_its_tools_and_cautions() -> None:
    chain, head = repairs_of(PACK, PACK.weak_point("chain"), INTERFERENCE)
    assert (chain.operation, chain.special_tools, chain.cautions) == ("chain", (LOCK,), ("Mind it.",))
    assert (head.operation, head.special_tools, head.cautions) == ("head", (), ())


def test_what_the_traits_rule_out_is_no_repair() -> None:
    assert [repair.operation for repair in repairs_of(PACK, PACK.weak_point("chain"), CLEAR)] == ["chain"]
    assert len(repairs_of(PACK, PACK.weak_point("chain"), Traits())) == 2  # not stated is not no


def test_a_tool_that_the_pack_does_not_have_is_refused() -> None:
    lame: Pack = replace(PACK, special_tools=())
    with pytest.raises(NotFound, match="lock"):
        repairs_of(lame, lame.weak_point("chain"), CLEAR)
