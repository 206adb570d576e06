"""Who settled a finding of a file of format 2, or the whole line that would settle it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from plainleaf.rules.findings import Finding
from plainleaf.vocabulary.settling import OUTCOMES, SETTLED_BY

_PLAIN = re.compile("[A-Za-z][A-Za-z0-9._-]*(?: [A-Za-z0-9._-]+)*")


def settling_lines(finding: Finding) -> Iterator[str]:
    """Who settled it; of an open question its code, who may settle it, and what to write."""
    settled = finding.settled
    if settled is not None:
        outcomes = " and ".join(line.do for line in settled.decisions)
        signers = f"{settled.by} with {settled.other}" if settled.other else settled.by
        yield f"Settled by {signers} on {settled.on.isoformat()}: {outcomes}"
    elif finding.blocks and finding.acceptable:
        settling = SETTLED_BY[finding.id]
        yield f"Code {finding.code}. To be settled by {settling.words}, with one of these lines:"
        yield "settled:"
        yield "  - by: NAME, CREDENTIAL"
        yield from ["    with: NAME, CREDENTIAL"] if settling.both else []
        yield from ("    date: DATE", "    decided:")
        yield from (f"      - {{{_line(finding, do)}}}" for do in settling.outcomes)


def _line(finding: Finding, do: str) -> str:
    about = f"about: {_quoted(finding.subject)}, " if finding.subject else ""
    needs = "".join(f"{key}: <…>, " for key in OUTCOMES[do].needs)
    return f"finding: {finding.id}, {about}do: {do}, {needs}code: {finding.code}"


def _quoted(name: str) -> str:
    """A name as YAML reads it back inside braces."""
    return name if _PLAIN.fullmatch(name) else json.dumps(name, ensure_ascii=False)
