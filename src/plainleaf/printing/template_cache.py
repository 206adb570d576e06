"""Templates compiled once and kept: compiling them takes longer than filling them."""

from __future__ import annotations

import pickle
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

import jinja2
from jinja2.bccache import Bucket

_OPTIONS: dict[str, Any] = {
    "autoescape": True,
    "trim_blocks": True,
    "lstrip_blocks": True,
    "keep_trailing_newline": False,
}


class _Kept(jinja2.FileSystemBytecodeCache):
    """Compiled templates in a folder, by name and text; where they cannot be kept, they are not."""

    def load_bytecode(self, bucket: Bucket) -> None:
        """Look for one; what is damaged counts for nothing."""
        try:
            super().load_bytecode(bucket)
        except (OSError, EOFError, ValueError, pickle.UnpicklingError):
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep one."""
        with suppress(OSError):
            Path(self.directory).mkdir(parents=True, exist_ok=True)
            super().dump_bytecode(bucket)


def environment(templates: Path, kept: Path | None) -> jinja2.Environment:
    """What reads and fills the templates of a folder; a name that nothing stands for is an error.

    Args:
        kept: Folder for compiled templates, for this user alone, because they are run as they are
            found; without it they are compiled each time.
    """
    cache = None
    if kept is not None:
        # Other options or another engine compile the same text to something else.
        made_by = f"{jinja2.__version__} {sorted(_OPTIONS.items(), key=str)}"
        cache = _Kept(str(kept / sha256(made_by.encode()).hexdigest()[:12]))
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(templates),
        bytecode_cache=cache,
        undefined=jinja2.StrictUndefined,
        **_OPTIONS,
    )
