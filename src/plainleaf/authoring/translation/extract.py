"""The English texts as a gettext template, by Babel with an extractor of ours.

The extractor is also registered for Babel's own commands as `plainleaf`.
"""

from __future__ import annotations

import io
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import IO, Any

from babel.messages.catalog import Catalog
from babel.messages.extract import extract as run_extractor

from plainleaf.authoring.translation.messages import messages_of
from plainleaf.authoring.translation.pofile import written
from plainleaf.inputs.files import LARGEST_TEXT, read_bytes

_Found = tuple[int, str, tuple[str, ...], list[str]]


def extract_yaml(
    fileobj: IO[bytes],
    keywords: Collection[str] | Mapping[str, object],
    comment_tags: Sequence[str],
    options: Mapping[str, object],
) -> Iterator[_Found]:
    """Babel's extraction interface for one YAML file of a teaching folder.

    Yields:
        Line, `pgettext` or `npgettext`, (id, text or singular and plural), lines for the
        translator.
    """
    for message in messages_of(fileobj.read().decode("utf-8"), getattr(fileobj, "name", "")):
        call = "npgettext" if len(message.source) > 1 else "pgettext"
        yield message.line, call, (message.id, *message.source), list(message.notes)


def template(teaching: Path) -> str:
    """A template of all messages of a teaching folder, with the line where each stands."""
    catalog = Catalog(project="plainleaf", fuzzy=False)
    extractor: Any = extract_yaml
    keywords: Any = {"pgettext": ((1, "c"), 2), "npgettext": ((1, "c"), 2, 3)}
    for file in (*sorted((teaching / "modules").glob("*.yaml")), teaching / "phrases.yaml"):
        place = file.relative_to(teaching).as_posix()
        stream = io.BytesIO(read_bytes(file, LARGEST_TEXT))
        extracted = run_extractor(extractor, stream, keywords, [], {})
        for line, message, comments, context in extracted:
            catalog.add(message, None, [(place, line)], auto_comments=comments, context=context)
    return written(catalog, "# The texts to translate.", places=True)
