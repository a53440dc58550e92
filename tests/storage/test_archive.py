from __future__ import annotations

import io
import zipfile

from hypothesis import given
from hypothesis import strategies as st

from riskapi.storage import pack_zip, unpack_zip

FILES = st.dictionaries(
    st.text("abc/", min_size=1, max_size=6).filter(lambda name: not name.endswith("/")), st.binary()
)


@given(FILES)
def test_what_goes_in_comes_out(files: dict[str, bytes]) -> None:
    assert unpack_zip(pack_zip(files)) == files


@given(FILES)
def test_the_same_files_give_the_same_bytes(files: dict[str, bytes]) -> None:
    assert pack_zip(dict(reversed(files.items()))) == pack_zip(files)


def test_it_is_a_zip_that_others_read() -> None:
    with zipfile.ZipFile(io.BytesIO(pack_zip({"b.txt": b"2", "a/c.txt": b"1"}))) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["a/c.txt", "b.txt"]
