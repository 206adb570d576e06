"""Whatever stands in a record, it is read whole or refused in one line that keeps its secrets."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_records import packet_data, teaching_data

from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.record.record_file import RecordKind, record_bytes
from plainleaf.teach_back.teaching_record import TEACHING_RECORD
from plainleaf.vocabulary.errors import RecordError

Place = tuple[str | int, ...]
SECRET = "a secret of the patient"
ODD = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.just(10**400), st.just(-(10**400)),
    st.text(max_size=30), st.just(SECRET), st.just([]), st.just({}), st.just([SECRET]),
    st.just({SECRET[:8]: 1}), st.just("x" * 300_000), st.just("2026-13-45"), st.just("\ud83d"),
)  # fmt: skip
RECORDS: list[tuple[RecordKind[Any], dict[str, Any]]] = [
    (PACKET_RECORD, packet_data()), (TEACHING_RECORD, teaching_data()),
]  # fmt: skip


def places(data: Any, above: Place = ()) -> Iterator[Place]:
    """Every place of a record, inner ones too."""
    entries = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in entries:
        yield (*above, key)
        if isinstance(value, dict | list):
            yield from places(value, (*above, key))


@cache
def places_of(file: str) -> list[Place]:
    return [place for kind, data in RECORDS if kind.file == file for place in places(data)]


@pytest.mark.parametrize(("kind", "data"), RECORDS, ids=[kind.file for kind, _ in RECORDS])
@settings(max_examples=60, deadline=None)
@given(draw=st.data())
def test_anything_anywhere_is_read_or_refused_in_a_line(
    kind: RecordKind[Any], data: dict[str, Any], draw: st.DataObject
) -> None:
    *way, last = draw.draw(st.sampled_from(places_of(kind.file)))
    changed = deepcopy(data)
    inner: Any = changed
    for part in way:
        inner = inner[part]
    if draw.draw(st.integers(0, 5)) == 0:
        del inner[last]
    else:
        inner[last] = draw.draw(ODD)
    with TemporaryDirectory() as folder:
        path = Path(folder, "given.json")
        path.write_text(json.dumps(changed), encoding="ascii")
        try:
            _, record = kind.read(path)
        except RecordError as error:
            line = str(error)
            assert line.startswith(str(path)) and "\n" not in line and len(line) < 700
            assert SECRET not in line
            return
    assert json.loads(record_bytes(record)) == changed
