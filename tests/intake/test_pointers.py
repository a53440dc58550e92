from __future__ import annotations

import pytest

from riskapi.errors import Fault
from riskapi.intake.pointers import in_order, pointer


@pytest.mark.parametrize(
    ("path", "expected"),
    [  # the examples of RFC 6901, section 5
        ((), ""),
        (("foo",), "/foo"),
        (("foo", 0), "/foo/0"),
        (("",), "/"),
        (("a/b",), "/a~1b"),
        (("c%d",), "/c%d"),
        (("m~n",), "/m~0n"),
    ],
)
def test_pointers_of_rfc_6901(path: tuple[str | int, ...], expected: str) -> None:
    assert pointer(path) == expected


def test_faults_come_in_number_order_and_once() -> None:
    faults = [Fault(place, "wrong", "mend") for place in ("/a/10", "/a/9", "/a", "/a/9")]
    assert [fault.place for fault in in_order(faults)] == ["/a", "/a/9", "/a/10"]
