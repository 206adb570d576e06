"""What tests keep on disk: made once, never stale, whole or made again, thrown away in time."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import disk_cache
import pytest
from disk_cache import digest_of, folder_digest, from_disk, prune


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder in place of the one that runs share."""
    monkeypatch.setattr(disk_cache, "FOLDER", tmp_path / "kept")
    return tmp_path / "kept"


class Maker:
    """Counts how often it was asked to make its value."""

    def __init__(self, value: object) -> None:
        self.value, self.calls = value, 0

    def __call__(self) -> object:
        self.calls += 1
        time.sleep(0.05)
        return self.value


def test_a_value_is_made_once() -> None:
    make = Maker({"handout.pdf": b"%PDF"})
    assert [from_disk("a", make) for _ in range(2)] == [make.value] * 2
    assert make.calls == 1
    other = Maker("other")
    assert from_disk("b", other) == "other"


def test_many_who_want_it_at_once_get_what_one_made() -> None:
    make = Maker("value")
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(lambda _: from_disk("a", make), range(4))) == ["value"] * 4
    assert make.calls == 1


DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda data: b"",
    "cut off": lambda data: data[:-1],
    "a byte changed": lambda data: data[:40] + bytes([255 - data[40]]) + data[41:],
    "shifted": lambda data: data[1:],
}


@pytest.mark.parametrize("kind", DAMAGE)
def test_a_damaged_value_is_made_again(kind: str, folder: Path) -> None:
    from_disk("a", Maker("the value as it should be"))
    (file,) = folder.glob("*.pickle")
    file.write_bytes(DAMAGE[kind](file.read_bytes()))
    again = Maker("the value as it should be")
    assert from_disk("a", again) == again.value
    assert again.calls == 1
    assert from_disk("a", again) == again.value
    assert again.calls == 1


def test_what_cannot_be_made_is_not_kept(folder: Path) -> None:
    with pytest.raises(ZeroDivisionError):
        from_disk("a", lambda: 1 / 0)
    assert list(folder.glob("*.pickle")) == []
    assert from_disk("a", lambda: 1) == 1


def test_digests_tell_apart_what_differs(tmp_path: Path) -> None:
    texts = [("ab", "c"), ("a", "bc"), ("abc",), ("abc", ""), ()]
    assert len({digest_of(*parts) for parts in texts}) == len(texts)
    assert digest_of("é") == digest_of("é".encode())
    content = tmp_path / "content"
    (content / "inner").mkdir(parents=True)
    file = content / "inner" / "a.yaml"
    file.write_text("one")
    before = folder_digest(content)
    assert folder_digest(content) == before
    assert folder_digest(content, ["inner"]) == digest_of()
    file.write_text("two")
    changed = folder_digest(content)
    file.rename(content / "a.yaml")
    assert len({before, changed, folder_digest(content)}) == 3


def test_what_was_not_used_goes_and_the_latest_stays(folder: Path) -> None:
    folder.mkdir()
    for number, days in enumerate([0, 1, 2, 30]):
        file = folder / f"{number}.pickle"
        file.write_bytes(bytes(100))
        os.utime(file, (time.time() - days * 24 * 3600,) * 2)
    prune(folder, most_bytes=1000, most_days=7)
    assert sorted(file.stem for file in folder.iterdir()) == ["0", "1", "2"]
    prune(folder, most_bytes=250, most_days=7)
    assert sorted(file.stem for file in folder.iterdir()) == ["0", "1"]


def test_a_value_that_is_read_counts_as_used(folder: Path) -> None:
    from_disk("a", Maker("value"))
    (file,) = folder.glob("*.pickle")
    os.utime(file, (0, 0))
    from_disk("a", Maker("value"))
    prune(folder)
    assert file.exists()
