"""The version of the installed program."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError
from importlib.metadata import version as installed_version


def program_version() -> str:
    """The version of the installed program; 0 where it runs from its source alone."""
    try:
        return installed_version("plainleaf")
    except PackageNotFoundError:
        return "0"
