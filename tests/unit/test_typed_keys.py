"""A value that nothing prints is a stop, but for the few keys that print nowhere by design."""

from __future__ import annotations

from plainleaf.rules.typed_keys import PRINT_NOWHERE, TypedKey, not_printed, unprinted
from plainleaf.vocabulary.patient_file import FORMAT_2
from plainleaf.vocabulary.patient_file.leaf_shapes import leaf_shapes


def test_what_nothing_prints_is_named_with_its_place() -> None:
    keys = (
        TypedKey("medicines[0].between", ("medicines.table",)),
        TypedKey("medicines[2].between", ()),
        TypedKey("settled[0].decided[3].code", ()),
        TypedKey("format", ()),
    )
    assert list(unprinted(keys)) == ["medicines[2].between"]
    finding = not_printed("medicines[2].between")
    assert (finding.id, finding.level, finding.blocks) == ("typed-not-printed", "stop", True)
    assert finding.concerns == ("medicines[2].between",) and not finding.acceptable


def test_what_prints_nowhere_is_a_key_of_the_table_and_has_a_reason() -> None:
    shapes = leaf_shapes(FORMAT_2)
    assert all(key in shapes and reason for key, reason in PRINT_NOWHERE.items())
