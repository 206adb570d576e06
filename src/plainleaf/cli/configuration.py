"""Which teaching folder and which settings of the facility a command works with.

An option of the command line counts first, then the environment, then the nearest `plainleaf.toml`
from the working folder upward, then the one in the user's configuration folder, then what ships
with the program. Nothing else in the program reads the environment or such a file.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

import platformdirs

from plainleaf.inputs.files import Unreadable
from plainleaf.inputs.strict_yaml import read_text
from plainleaf.vocabulary.errors import ConfigurationError, Fault

FILE = "plainleaf.toml"
# Key of the file → name in the environment.
KEYS = {"policy": "PLAINLEAF_POLICY", "teaching": "PLAINLEAF_TEACHING"}


@dataclass(frozen=True)
class Chosen:
    """A path and who named it: an option, a name of the environment, or a line of a file."""

    path: Path
    file: str
    line: int = 0

    @property
    def by(self) -> str:
        """Who named it, for people."""
        return f"{self.file}:{self.line}" if self.line else self.file

    def fault(self, wrong: str, instead: str) -> ConfigurationError:
        """An error at the place that named the path."""
        return ConfigurationError([Fault(self.file, self.line, wrong, instead)])


def chosen_paths(
    options: Mapping[str, Path | None], environment: Mapping[str, str], folder: Path | None
) -> dict[str, Chosen]:
    """Key → the path that counts; a key that nobody named is not there.

    Args:
        folder: The working folder; None where there is none any more.
    Raises:
        ConfigurationError: A file cannot be taken as it stands, or a path is not there.
    """
    file = _nearest(folder)
    chosen = {} if file is None else _of_file(file)
    chosen |= {
        key: Chosen(Path(environment[name]), name)
        for key, name in KEYS.items()
        if environment.get(name)
    }
    chosen |= {key: Chosen(path, f"--{key}") for key, path in options.items() if path is not None}
    for key, one_path in chosen.items():
        _must_be_there(key, one_path)
    return chosen


def _must_be_there(key: str, chosen: Chosen) -> None:
    path = chosen.path
    try:
        there = path.is_dir() if key == "teaching" else path.exists()
    except (OSError, ValueError):
        there = False
    if not there:
        wrong = "is no folder that is there" if key == "teaching" else "is not there"
        kind = "folder of teaching content" if key == "teaching" else "policy file"
        raise chosen.fault(f"{path} {wrong}.", f"Name the {kind} that is meant.")


def _nearest(folder: Path | None) -> Path | None:
    """The file that counts: nearest above the working folder, else the user's own."""
    above = [] if folder is None else [folder, *folder.parents]
    for place in (*above, *_users_own()):
        file = place / FILE
        if _there(file):
            return file
    return None


def _there(file: Path) -> bool:
    try:
        return file.exists() or file.is_symlink()
    except OSError:
        return False


def _users_own() -> Iterator[Path]:
    try:
        yield Path(platformdirs.user_config_dir("plainleaf"))
    except RuntimeError:  # a user without a home
        return


def _of_file(file: Path) -> dict[str, Chosen]:
    try:
        text = read_text(file)
    except Unreadable as error:
        raise ConfigurationError([error.fault]) from error
    data, faults = _parsed(text, file), []
    chosen: dict[str, Chosen] = {}
    for key, value in data.items():
        line = _line_of(key, text)
        if key not in KEYS:
            close = get_close_matches(key, KEYS, n=1)
            hint = f"Did you mean '{close[0]}'? " if close else ""
            instead = f"{hint}Write one of: {', '.join(KEYS)}."
            faults.append(Fault(str(file), line, f"'{key}' is not known.", instead))
        elif not isinstance(value, str) or not value:
            instead = f'Write {key} = "path/to/it".'
            faults.append(Fault(str(file), line, f"{key} is not the name of a file.", instead))
        else:
            chosen[key] = Chosen(file.parent / value, str(file), line)
    if faults:
        raise ConfigurationError(faults)
    return chosen


def _parsed(text: str, file: Path) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\(at line (\d+)", str(error))
        line = int(place[1]) if place else len(text.splitlines())
        problem = str(error).split(" (at ")[0]
        wrong = f"cannot be read as TOML ({problem})."
        instead = 'Write lines such as policy = "policy.yaml".'
        raise ConfigurationError([Fault(str(file), line, wrong, instead)]) from error
    except RecursionError as error:
        raise ConfigurationError([Fault(str(file), 1, "is nested too deeply.")]) from error


def _line_of(key: str, text: str) -> int:
    """The line on which a key of the file stands first; the reader of TOML does not tell it."""
    written = re.compile(rf"\s*\[*\s*[\"']?{re.escape(key)}[\"']?\s*[.=\]]")
    lines = (number for number, line in enumerate(text.splitlines(), 1) if written.match(line))
    return next(lines, 1)
