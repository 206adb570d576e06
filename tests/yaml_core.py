"""YAML as an editor reads it: the core schema of YAML 1.2, in which a date is a text.

`yes`, `on` and `18:00` are texts there too; only `true`, `false`, `null` and numbers are not.
"""

from __future__ import annotations

import re
from typing import Any

import yaml


class _Core(yaml.SafeLoader):
    """A loader with the resolvers of the core schema alone."""

    yaml_implicit_resolvers = {}  # noqa: RUF012


for _tag, _pattern, _first in (
    ("null", r"~|null|Null|NULL|", "~nN\0"),
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789"),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    _Core.add_implicit_resolver(
        f"tag:yaml.org,2002:{_tag}", re.compile(rf"^(?:{_pattern})$"), list(_first)
    )


def read_core(text: str) -> Any:
    """The data of a YAML text."""
    return yaml.load(text, Loader=_Core)
