"""The table of DEVELOPERS.md, made from harm-events.yaml: run it to renew the table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

_HERE = Path(__file__).resolve().parent
DEVELOPERS = _HERE.parents[1] / "DEVELOPERS.md"
_START, _END = "<!-- harm table -->", "<!-- end of harm table -->"


def _answer(answer: dict[str, Any]) -> str:
    if "rule" in answer:
        return f"rule `{answer['rule']}` ({answer['level']})"
    if "statement" in answer:
        return f"statement `{answer['statement']}`"
    if "fact" in answer:
        return f"fact `{answer['fact']}` is {answer['answer']}"
    if "refused" in answer:
        return "the file is refused"
    return "no statement says it"


def table(events: dict[str, list[dict[str, Any]]]) -> str:
    """The table in Markdown, one row an event."""
    rows = ["| event | answered by | tests |", "| --- | --- | --- |"]
    for event, answers in events.items():
        said = "; ".join(dict.fromkeys(_answer(answer) for answer in answers))
        rows.append(f"| `{event}` | {said} | `test_harm_events.py -k {event}` |")
    return "\n".join(rows)


def current() -> str:
    """The table as it should stand."""
    text = (_HERE / "harm-events.yaml").read_text(encoding="utf-8")
    return table(yaml.load(text, Loader=yaml.BaseLoader))


def printed(text: str) -> str:
    """The table as it stands in a text."""
    return text.split(_START)[1].split(_END)[0].strip()


def renew() -> None:
    """Write the table into DEVELOPERS.md."""
    text = DEVELOPERS.read_text(encoding="utf-8")
    head, tail = text.split(_START)[0], text.split(_END)[1]
    DEVELOPERS.write_text(f"{head}{_START}\n{current()}\n{_END}{tail}", encoding="utf-8")


if __name__ == "__main__":
    renew()
