"""Every published harm event and what answers it, as a table: run it to see the table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

_HERE = Path(__file__).resolve().parent


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
    """The table of all events."""
    text = (_HERE / "harm-events.yaml").read_text(encoding="utf-8")
    return table(yaml.load(text, Loader=yaml.BaseLoader))


if __name__ == "__main__":
    print(current())
