"""Stops a run at one of its operations on files, as a power cut would: nothing after it happens."""

from __future__ import annotations

import io
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from types import ModuleType
from typing import Any

import pytest

OPERATIONS: tuple[tuple[ModuleType, str], ...] = (
    *((os, name) for name in (
        "open", "write", "fsync", "rename", "replace", "unlink", "remove", "mkdir", "rmdir",
        "chmod", "link", "symlink", "truncate", "utime",
    )),
    (io, "open"),
)  # fmt: skip


class Killed(BaseException):
    """The run is dead; whatever it still tries to do fails in the same way."""


@dataclass
class Count:
    """Operations so far, and the one that is the last: it does not happen, or half of it does."""

    last: int | None
    done: int = 0

    def wrap(self, operation: Callable[..., Any]) -> Callable[..., Any]:
        """The operation, counted."""

        def counted(*arguments: Any, **options: Any) -> Any:
            self.done += 1
            if self.last is not None and self.done >= self.last:
                if self.done == self.last and operation.__name__ == "write":
                    number, data = arguments
                    operation(number, bytes(data)[: len(data) // 2])
                raise Killed
            return operation(*arguments, **options)

        return counted


@contextmanager
def stopped_at(last: int | None, *more: tuple[Any, str]) -> Iterator[Count]:
    """Within the block the run is dead from its operation `last` on; `more`: further operations."""
    count = Count(last)
    with pytest.MonkeyPatch.context() as patch:
        for module, name in (*OPERATIONS, *more):
            patch.setattr(module, name, count.wrap(getattr(module, name)))
        with suppress(Killed):
            yield count
