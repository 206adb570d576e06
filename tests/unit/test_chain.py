"""The chain of packets: what is replaced is named, checked, and told in record and version."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from builders import ROOT, library
from packets import decision_from, settled_text
from sample_records import packet_data

from plainleaf.compose.word import Wording
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.load_inputs import Replaced
from plainleaf.packet.papers.paper import marks
from plainleaf.packet.record.packet_digests import digests_of, packet_version, person_digest
from plainleaf.packet.record.replaces import replaced_data, replacing
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import RecordError, ReplaceError

TEMPLATES = ROOT / "templates"
OLD = {"prepared.on": "2026-03-04 09:00", "water.daily": "50 mL"}


def case(**changes: Any) -> Decision:
    return decision_from(settled_text(changes or None))


def record(one: Decision, **changes: Any) -> dict[str, Any]:
    """A packet.json with the keys of this decision that the chain reads."""
    digests = digests_of(one, TEMPLATES)
    own = {
        "version": packet_version(digests, one.language, one.inputs.replaces),
        "language": one.language,
        "made": one.patient.prepared_on.isoformat(timespec="minutes"),
        "person": person_digest(one.patient),
        "replaces": replaced_data(one.inputs.replaces),
        "digests": digests,
    }
    return packet_data(**(own | changes))


def saved(folder: Path, data: Any, name: str = "old.json") -> Path:
    path = folder / name
    path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    return path


def test_the_earlier_packet_is_named_by_version_date_and_digest(tmp_path: Path) -> None:
    old = case(**OLD)
    path = saved(tmp_path, record(old))
    new, says = replacing(case(), path, TEMPLATES)
    assert new.inputs.replaces == Replaced(
        packet_version(digests_of(old, TEMPLATES), "en"), datetime(2026, 3, 4, 9),
        sha256(path.read_bytes()).hexdigest(),
    )  # fmt: skip
    assert says == f"Replaces version {new.inputs.replaces.version} of 2026-03-04."
    assert replaced_data(new.inputs.replaces) == {
        "version": new.inputs.replaces.version, "made": "2026-03-04T09:00",
        "sha256": sha256(path.read_bytes()).hexdigest(),
    }  # fmt: skip


def test_the_version_follows_what_is_replaced(tmp_path: Path) -> None:
    """Other words stand on the paper, so it is another version; the same twice is the same."""
    digests = digests_of(case(), TEMPLATES)
    path = saved(tmp_path, record(case(**OLD)))
    versions = [
        packet_version(digests, "en", replacing(case(), path, TEMPLATES)[0].inputs.replaces)
        for _ in range(2)
    ]
    assert versions[0] == versions[1]
    assert versions[0] != packet_version(digests, "en")


def test_the_very_same_packet_replaces_nothing(tmp_path: Path) -> None:
    new, says = replacing(case(), saved(tmp_path, record(case())), TEMPLATES)
    assert new.inputs.replaces is None
    assert says.endswith("is this very packet: nothing is replaced.")


def test_built_again_it_still_says_what_it_replaced(tmp_path: Path) -> None:
    first = saved(tmp_path, record(case(**OLD)), "first.json")
    second, _ = replacing(case(), first, TEMPLATES)
    again, _ = replacing(case(), saved(tmp_path, record(second), "second.json"), TEMPLATES)
    assert again.inputs.replaces == second.inputs.replaces
    assert record(again) == record(second)


def test_another_language_is_another_packet(tmp_path: Path) -> None:
    first = case()
    old = replace(first, inputs=replace(first.inputs, language="es"))
    path = saved(tmp_path, record(case(), language="es"))
    assert old.language == "es"
    assert replacing(case(), path, TEMPLATES)[0].inputs.replaces is not None


def test_a_mended_name_is_still_the_same_patient(tmp_path: Path) -> None:
    path = saved(tmp_path, record(case(**OLD, **{"patient.name": "Walter Branvold"})))
    assert replacing(case(), path, TEMPLATES)[0].inputs.replaces is not None


@pytest.mark.parametrize(
    "change", [{"patient.record_number": "DEMO-0234"}, {"patient.born": "1949-11-03"}]
)
def test_another_patient_is_refused_and_not_named(change: dict[str, str], tmp_path: Path) -> None:
    path = saved(tmp_path, record(case(**OLD, **change)))
    with pytest.raises(ReplaceError, match="is the packet of another patient") as error:
        replacing(case(), path, TEMPLATES)
    for secret in ("Walter", "0233", "0234", "1949"):
        assert secret not in str(error.value)


def test_a_newer_packet_is_refused(tmp_path: Path) -> None:
    newer = saved(tmp_path, record(case(**{"prepared.on": "2026-03-04 15:01"})))
    with pytest.raises(ReplaceError, match=r"2026-03-04 15:01, later than prepared\.on, 2026"):
        replacing(case(), newer, TEMPLATES)
    same = saved(tmp_path, record(case(**{"water.daily": "50 mL"})))
    assert replacing(case(), same, TEMPLATES)[0].inputs.replaces is not None


BROKEN: list[tuple[str, Any, str]] = [
    ("not JSON", "{", "is not JSON"),
    ("too deep", "[" * 100_000, "is nested too deeply"),
    ("a list", [], "is no packet.json"),
    ("an older program", {"version": "1", "made": "2026-03-04T09:00"}, "lacks format, stopped"),
    ("a date that is none", {"made": "soon"}, "is not a whole packet.json"),
    ("a date with zone", {"made": "2026-03-04T09:00Z"}, "is not a whole packet.json"),
    ("a version that is none", {"version": 7}, "is not a whole packet.json"),
    ("a chain that is broken", {"replaces": {"version": "0" * 10}}, r"lacks replaces\.made"),
    ("a chain of words", {"replaces": "x"}, "is not a whole packet.json"),
]


@pytest.mark.parametrize(("name", "data", "says"), BROKEN, ids=[row[0] for row in BROKEN])
def test_a_file_that_is_no_record_is_refused(
    name: str, data: Any, says: str, tmp_path: Path
) -> None:
    if isinstance(data, dict) and name != "an older program":
        data = record(case(**OLD), **data)
    with pytest.raises(RecordError, match=says) as error:
        replacing(case(), saved(tmp_path, data), TEMPLATES)
    assert "old.json" in str(error.value)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="cannot be read"):
        replacing(case(), tmp_path / "nowhere.json", TEMPLATES)


def test_the_head_of_every_page_says_it_in_the_handouts_language(tmp_path: Path) -> None:
    new, _ = replacing(case(), saved(tmp_path, record(case(**OLD))), TEMPLATES)
    words = Wording(library(), Catalog("en", {}))
    assert marks(new, words).startswith(
        "Replaces the sheet of March\u00a04, 2026. Throw the old one away. DRAFT"
    )
    assert "Replaces" not in marks(case(), words)
