"""What commands report as data, shared by several: keys of `--json`, which stay as they are.

`format` counts up when a key changes its meaning or goes. Keys may be added. The README lists them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from typing import Any

from plainleaf.vocabulary.errors import Fault

FORMAT = 1
Data = dict[str, Any]


def fault_data(fault: Fault) -> Data:
    """One fault of a file; `line` is null where it is the file's as a whole."""
    return {
        "file": fault.file,
        "line": fault.line or None,
        "wrong": fault.wrong,
        "instead": fault.instead or None,
    }


def faults_data(faults: Iterable[Fault]) -> Data:
    """Every fault of files that were looked through."""
    return {"format": FORMAT, "faults": [fault_data(fault) for fault in faults]}


def written_data(files: Mapping[str, bytes], out: Path, remarks: Sequence[str]) -> Data:
    """Files that were written, name → SHA-256, and what to know about them."""
    return {
        "format": FORMAT,
        "written": True,
        "folder": str(out),
        "files": {name: sha256(files[name]).hexdigest() for name in sorted(files)},
        "remarks": list(remarks),
    }
