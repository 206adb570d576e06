"""What only format 2 orders of a medicine, written into the medicines of a class."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from plainleaf.authoring.prove.persona import so
from plainleaf.vocabulary import terms

Data = dict[str, Any]
_Known = Mapping[str, str]


def as_ordered(medicines: list[Data], answers: _Known, day: str) -> list[Data]:
    """The medicines with a scale, steps, days, holds and names as the class has them."""
    lines = list(medicines)
    if so(answers, "dose_by_sugar"):
        _change(lines, _injected, lambda line: _instead_of_dose(line, _scale(answers)))
    if so(answers, "dose_by_date"):
        _change(lines, _timed, lambda line: _instead_of_dose(line, _steps(line, day)))
    if so(answers, "hold_makes_less"):
        _change(lines, _timed, lambda line: {**line, **_HOLD_OF_A_RUN})
    elif so(answers, "feeding_off_medicines"):
        _change(lines, _leaves_feeding, lambda line: {**line, "hold_after": "1 h"})
    if so(answers, "hazardous_at_home"):
        _change(lines, _by_tube, lambda line: _named(line, "mycophenolate"))
    if so(answers, "laxative_settled"):
        _change(lines, lambda _: True, lambda line: _named(line, "polyethylene glycol 3350"))
    return [*lines, *_not_daily(medicines, answers, day)]


def _change(
    lines: list[Data], fits: Callable[[Data], bool], changed: Callable[[Data], Data]
) -> None:
    """Change the last line that fits."""
    for number in reversed(range(len(lines))):
        if fits(lines[number]):
            lines[number] = changed(lines[number])
            return


def _by_tube(line: Data) -> bool:
    return line["route"] in terms.PORTS


def _injected(line: Data) -> bool:
    return bool(line["route"] == "injection")


def _timed(line: Data) -> bool:
    return isinstance(line["times"], list) and "scale" not in line


# From any time of the morning it reaches each of the invented pump runs.
_HOLD_OF_A_RUN = {"hold_before": "8 h", "hold_after": "8 h"}


def _leaves_feeding(line: Data) -> bool:
    """Whether a hold around it moves no feeding of the day."""
    return not _by_tube(line) or not isinstance(line["times"], list)


def _instead_of_dose(line: Data, doses: Data) -> Data:
    return {key: value for key, value in line.items() if key != "dose"} | doses


def _scale(answers: _Known) -> Data:
    low = "low-sugar plan" if so(answers, "low_sugar_plan") else "no dose"
    return {"scale": {"below 70 mg/dL": low, "70 mg/dL or more": "3 units"}}


def _steps(line: Data, day: str) -> Data:
    return {"from": day, "steps": [{"for": "5 d", "dose": line["dose"]}, {"dose": line["dose"]}]}


def _named(line: Data, name: str) -> Data:
    """A line of a medicine by its name, or of two where it has a name of the table already."""
    invented = line["name"].startswith("Example")
    return {**line, "name": name if invented else f"{line['name']} with {name}"}


def _not_daily(lines: list[Data], answers: _Known, day: str) -> Iterator[Data]:
    """A line more, which is on no ordinary day."""
    if so(answers, "not_daily_medicines"):
        kept = {k: v for k, v in lines[-1].items() if k not in ("for", "at_most", "times")}
        yield {**kept, "name": "example weekly", "every": "7 d", "next": f"{day} 05:10"}
