"""The README: what it tells to run is there and runs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from builders import ROOT
from packets import FILES
from test_packet_commands import commands

from plainleaf.cli.main import main
from plainleaf.packet.papers import PAPERS, table
from plainleaf.teach_back.record_papers import RECORD_PAPERS

README = (ROOT / "README.md").read_text(encoding="utf-8")
CODE = [*re.findall(r"^```sh\n(.*?)^```", README, re.S | re.M), *re.findall(r"`([^`\n]+)`", README)]
CALLS = [call for code in CODE for call in re.findall(r"(?:^|/|\s)plainleaf ([a-z]\S*.*)", code)]


def test_every_command_of_the_readme_is_one() -> None:
    named = {call.split()[0] for call in CALLS}
    assert named
    assert named <= set(commands())


def test_every_command_is_in_the_readme() -> None:
    assert set(commands()) == {call.split()[0] for call in CALLS}


def test_every_option_of_the_readme_is_one() -> None:
    known = {
        option
        for parser in commands().values()
        for action in parser._actions
        for option in action.option_strings
    }
    written = {word for call in CALLS for word in re.findall(r"--[a-z]+(?:-[a-z]+)*", call)}
    written |= {word for code in CODE for word in re.findall(r"^(--[a-z]+(?:-[a-z]+)*)", code)}
    assert written <= known


def test_every_file_of_the_readme_is_there() -> None:
    for name in re.findall(r"(?:examples|teaching)/[a-z/-]+\.yaml", README):
        assert (ROOT / name).is_file(), name


def test_the_example_of_the_readme_builds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    calls = [call.split() for call in CALLS if call.startswith("build examples/")]
    assert calls
    for call in calls:
        at = call.index("--out") + 1
        call[at] = str(tmp_path / call[at])
        assert main(call) == 0, capsys.readouterr().err
        assert tuple(sorted(path.name for path in Path(call[at]).iterdir())) == FILES


@pytest.mark.parametrize(
    ("name", "wanted"), [("packet", table(PAPERS)), ("record", table(RECORD_PAPERS))]
)
def test_the_tables_of_files_are_those_of_the_registers(name: str, wanted: str) -> None:
    written = re.search(rf"<!-- {name} table -->\n(.*?)\n<!-- end", README, re.S)
    assert written
    assert written[1] == wanted
