"""Who says which teaching and which settings: option, environment, file, then what ships."""

from __future__ import annotations

from pathlib import Path

import pytest

from plainleaf.cli.configuration import FILE, Chosen, chosen_paths
from plainleaf.vocabulary.errors import ConfigurationError

NOBODY: dict[str, Path | None] = {"policy": None, "teaching": None}


@pytest.fixture
def places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with policy files by name, a ward below it, and a user's own folder beside."""
    for name in ("option", "environment", "ward", "house", "own"):
        (tmp_path / f"{name}.yaml").write_text("")
    (tmp_path / "house" / "ward" / "bed").mkdir(parents=True)
    (tmp_path / "config" / "plainleaf").mkdir(parents=True)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return tmp_path


def _names(folder: Path, policy: str) -> Path:
    file = folder / FILE
    file.write_text(f"# Ward 3\npolicy = '{policy}'\n", encoding="utf-8")
    return file


def test_the_nearest_word_counts(places: Path) -> None:
    bed = places / "house" / "ward" / "bed"
    environment: dict[str, str] = {}
    options = dict(NOBODY)

    def counts() -> Chosen | None:
        return chosen_paths(options, environment, bed).get("policy")

    assert counts() is None
    own = _names(places / "config" / "plainleaf", "../../own.yaml")
    assert counts() == Chosen(own.parent / "../../own.yaml", str(own), 2)
    house = _names(places / "house", "../house.yaml")
    assert counts() == Chosen(house.parent / "../house.yaml", str(house), 2)
    ward = _names(places / "house" / "ward", "../../ward.yaml")
    assert counts() == Chosen(ward.parent / "../../ward.yaml", str(ward), 2)
    environment["PLAINLEAF_POLICY"] = str(places / "environment.yaml")
    assert counts() == Chosen(places / "environment.yaml", "PLAINLEAF_POLICY")
    options["policy"] = places / "option.yaml"
    assert counts() == Chosen(places / "option.yaml", "--policy")


def test_each_key_has_its_own_order(places: Path) -> None:
    (places / "words").mkdir()
    _names(places, "house.yaml")
    chosen = chosen_paths(NOBODY, {"PLAINLEAF_TEACHING": str(places / "words")}, places)
    assert {key: one.path.name for key, one in chosen.items()} == {
        "policy": "house.yaml",
        "teaching": "words",
    }


def test_a_working_folder_that_is_gone_and_an_empty_name_say_nothing(places: Path) -> None:
    assert chosen_paths(NOBODY, {"PLAINLEAF_POLICY": ""}, None) == {}


# The file, the line of the fault, and what the message says.
REFUSED: dict[str, tuple[str, int, str]] = {
    "unknown key": (
        "# a\n\npolice = 'a.yaml'\n",
        3,
        "'police' is not known. Did you mean 'policy'",
    ),
    "unknown table": ("\n[tool.x]\na = 1\n", 2, "'tool' is not known. Write one of: policy, teach"),
    "wrong type": ("policy = 3\n", 1, "policy is not the name of a file. Write policy ="),
    "empty": ("\nteaching = ''\n", 2, "teaching is not the name of a file."),
    "dotted": ("policy.file = 'a'\n", 1, "policy is not the name of a file."),
    "not there": ("\n\n\npolicy = 'no.yaml'\n", 4, "no.yaml is not there. Name the policy file"),
    "no folder": ("teaching = 'ward.yaml'\n", 1, "ward.yaml is no folder that is there. Name the"),
    "zero byte": ('policy = "a\\u0000b"\n', 1, "is not there."),
    "not TOML": ("policy = 'ward.yaml'\nteaching: x\n", 2, "cannot be read as TOML (Expected '='"),
    "twice": (
        "policy = 'a'\npolicy = 'b'\n",
        2,
        "cannot be read as TOML (Cannot overwrite a value",
    ),
    "no end": ("policy = '''a\n\n", 2, "cannot be read as TOML"),
    "too deep": ("policy = " + "[" * 50_000, 1, "is nested too deeply."),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_is_refused_with_its_line(name: str, places: Path) -> None:
    text, line, says = REFUSED[name]
    file = places / FILE
    file.write_text(text, encoding="utf-8")
    with pytest.raises(ConfigurationError) as error:
        chosen_paths(NOBODY, {}, places)
    (fault,) = error.value.faults
    assert (fault.file, fault.line) == (str(file), line)
    assert says in str(fault)


def test_all_faults_of_a_file_come_at_once(places: Path) -> None:
    (places / FILE).write_text("colour = 1\npolicy = 2\n", encoding="utf-8")
    with pytest.raises(ConfigurationError) as error:
        chosen_paths(NOBODY, {}, places)
    assert [fault.line for fault in error.value.faults] == [1, 2]


def test_a_folder_in_place_of_the_file_is_refused(places: Path) -> None:
    (places / FILE).mkdir()
    with pytest.raises(ConfigurationError, match="is a folder"):
        chosen_paths(NOBODY, {}, places)


@pytest.mark.parametrize(("key", "kind"), [("policy", "policy file"), ("teaching", "folder of")])
def test_what_option_and_environment_name_must_be_there(key: str, kind: str, places: Path) -> None:
    for options, environment, name in (
        ({**NOBODY, key: places / "no"}, {}, f"--{key}"),
        (NOBODY, {f"PLAINLEAF_{key.upper()}": str(places / "no")}, f"PLAINLEAF_{key.upper()}"),
    ):
        with pytest.raises(ConfigurationError) as error:
            chosen_paths(options, environment, places)
        assert str(error.value).startswith(f"{name}: {places / 'no'} is no")
        assert f"there. Name the {kind}" in str(error.value)
