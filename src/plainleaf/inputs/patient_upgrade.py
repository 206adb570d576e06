"""A patient file of format 1 written in format 2, with a blank wherever format 2 asks more.

Nothing is filled in: what format 1 says in other words stands inside the blank, and a person
decides. The reader of format 2 refuses each blank with its line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import yaml

from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import Node
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.opening_hours import HOURS_PATTERN
from plainleaf.vocabulary.patient_file import AS_NEEDED, FORMAT_2
from plainleaf.vocabulary.patient_file.format_2_orders import DRAINAGE, VENTING
from plainleaf.vocabulary.patient_file.scalars_2 import AT_MOST, SIGNER
from plainleaf.vocabulary.settling import SETTLED_BY

Data = dict[str, Any]
_NUMBER = re.compile(r"[0-9:]+|\+[0-9].*")
_SIGNED = "name and credential"
_DAY = "<year-month-day>"


def upgraded(root: Node) -> str:
    """The text of the file in format 2.

    Raises:
        PatientError: It is no sound file of format 1.
    """
    if read_patient(root).format != 1:
        raise PatientError([root.fault("is of format 2 already.", "Nothing is to be done.")])
    old = _plain(root)
    whole = {
        "format": "2",
        "patient": _patient(old["patient"]),
        "learners": [_learner(learner) for learner in old["learners"]],
        "interpreter": old.get("interpreter"),
        "other_lines": _lines(old.get("other_lines")),
        "tube": _tube(old["tube"]),
        "feeding": [_feed(feed) for feed in old.get("feeding", [])],
        **_outlets(old["tube"]["ports"]),
        "water": _water(old["water"]),
        "medicines": [_medicine(line) for line in old.get("medicines", [])],
        **_stops(old.get("if_feeding_stops")),
        "contacts": _contacts(old["contacts"]),
        "visits": [_visit(visit) for visit in old.get("visits", [])] or None,
        "dates": old.get("dates"),
        "ordered": {"by": "<prescriber, with credential>", "date": _DAY},
        "settled": [_settled(line) for line in old.get("accepted", [])] or None,
        "prepared": {"by": _signer(old["prepared"]["by"]), "at": old["prepared"]["on"]},
    }
    order = [key.name for key in FORMAT_2.root.keys]
    return _dump({key: whole[key] for key in order if whole.get(key) is not None})


def _plain(node: Node) -> Any:
    """The data of a node, without keys that hold nothing."""
    if isinstance(node.value, Mapping):
        pairs = ((key, _plain(inner)) for key, inner in node.value.items())
        return {key: value for key, value in pairs if value is not None}
    if isinstance(node.value, tuple):
        return [_plain(inner) for inner in node.value]
    return node.value


# --- blanks --------------------------------------------------------------------------------------


def _blank(asks: str, says: str | None = None) -> str:
    """A blank, with what format 1 says of it."""
    words = f"{says}: {asks}" if says else asks
    return f"<{words.replace('<', '(').replace('>', ')')}>"


def _word(text: str, words: Sequence[str], asks: str) -> str:
    return text if text in words else _blank(asks, text)


def _signer(text: str | None) -> str:
    if text is not None and re.fullmatch(SIGNER.pattern, text):
        return text
    return _blank(_SIGNED, text)


def _signed(old: Data) -> Data:
    return {"by": _signer(old["by"]), "date": old["on"]}


def _with(old: Data, **changes: Any) -> Data:
    """The old keys with some changed; None takes one out."""
    return {key: value for key, value in {**old, **changes}.items() if value is not None}


# --- blocks --------------------------------------------------------------------------------------


def _patient(old: Data) -> Data:
    return _with(
        old,
        weight=old.get("weight", "<weight with kg>"),
        setting=_blank(f"list of: {', '.join(words_2.SETTINGS)}"),
        by_mouth="nothing" if old["by_mouth"] == "nothing"
        else _blank(f"list of: {', '.join(words_2.BY_MOUTH)}", old["by_mouth"]),
    )  # fmt: skip


def _learner(old: Data) -> Data:
    return _with(
        old,
        relation=_word(old["relation"], words_2.RELATIONS, "relation"),
        duties="all" if old.get("hands_on") == "true" else "none",
        hands_on=None,
    )


def _lines(old: list[str] | None) -> Any:
    if old is None:
        return "<[] for none, or a list>"
    return [_word(line, words_2.OTHER_LINES, "which line") for line in old]


def _tube(old: Data) -> Data:
    changes: Data = {flag: old.get(flag) if old.get(flag) == "true" else None
                     for flag in ("turn_daily", "push_in_weekly")}  # fmt: skip
    if old["build"] == "standard" and "mark_at_skin" not in old:
        changes["mark_at_skin"] = "<mark with cm, or outside_length instead>"
    if old["held_by"] == "balloon" and "balloon_fill" not in old:
        changes["balloon_fill"] = "<water with mL>"
    if "balloon_port_color" in old:
        color = old["balloon_port_color"]
        changes["balloon_port_color"] = _word(color, words_2.COLORS, "color")
    if "opening_healed" in old:
        changes["opening_healed"] = _signed(old["opening_healed"])
    if "may_put_back" in old:
        changes["may_put_back"] = {"who": "<list of learners>", **_signed(old["may_put_back"])}
    if "position_checked" in old:
        how = _word(old["position_checked"]["how"], words_2.POSITION_CHECKS, "by which check")
        changes["position_checked"] = {**_signed(old["position_checked"]), "how": how}
    return _with(old, **changes)


def _outlets(ports: Mapping[str, Sequence[str]]) -> Data:
    """The blocks of a port that drains or vents."""
    blocks = {"drainage": DRAINAGE, "venting": VENTING}
    return {
        use: {key.name: port if key.name == "through" else f"<{key.means}>"
              for key in block.keys if key.required}
        for use, block in blocks.items()
        for port, uses in ports.items()
        if use in uses
    }  # fmt: skip


def _feed(old: Data) -> Data:
    formula = old.get("formula")
    if formula is not None and formula["system"] == "powder":
        formula = _with(formula, recipe="<how it is mixed: take, makes, fridge, hang, by, date>")
    elif formula is not None and "container" not in formula:
        formula = {**formula, "container": "<size with mL>"}
    signer = _signer(old["ordered_by"]) if "ordered_by" in old else None
    blended = "true" if old.get("blended") == "true" else None
    return _with(old, formula=formula, ordered_by=signer, blended=blended)


def _water(old: Data) -> Data:
    changes: Data = {}
    if "every" in old and "starts" not in old:
        changes["starts"] = "<hour:minute>"
    if "extra" in old:
        changes["extra"] = {**old["extra"], "why": "<flush or drink>"}
    return _with(old, **changes)


def _medicine(old: Data) -> Data:
    changes: Data = {
        "form": _word(old["form"], words_2.FORMS, "form of the list"),
        "route": old.get("through", "<route>"),
        "through": None,
        "crush": None,
        **_preparing(old),
    }
    as_needed = old["times"] == AS_NEEDED
    if as_needed or "for" in old:
        listed = old.get("for") in words_2.PRN_FOR
        changes["for"] = [old["for"]] if listed else _blank("list of reasons", old.get("for"))
    if as_needed or "at_most" in old:
        most = old.get("at_most")
        fits = most is not None and re.fullmatch(AT_MOST.pattern, most)
        changes["at_most"] = most if fits else _blank("6 doses in 24 h", most)
    return _with(old, **changes)


def _preparing(old: Data) -> Data:
    """How a medicine is made ready: what format 1 says in words is asked from the lists."""
    says = "; ".join(
        text for text in (f"crush {old['crush']}" if "crush" in old else "", old.get("prepare"))
        if text
    )  # fmt: skip
    if old.get("crush") == "pharmacist-approved" and "prepare" not in old:
        return {"prepare": "crush", "in": "<amount mL water>"}
    if says or ("through" in old and old["form"] not in words_2.LIQUID_FORMS):
        return {"prepare": _blank("how it is made ready", says or None)}
    return {}


def _stops(old: str | None) -> Data:
    if old is None:
        return {}
    sugar = ("below", "give", "route", "recheck", "tries", "then_call")
    return {
        "low_sugar": {key: f"<{key}>" for key in sugar},
        "if_feeding_stops": {
            "after": "<off for so long>",
            "check": _blank(f"list of: {', '.join(words_2.STOPS_CHECK)}", old),
            "call": "<a key of contacts>",
        },
    }


def _contacts(old: Data) -> Data:
    others = [_contact(contact) for contact in old.get("others", [])] or None
    lines = {key: _contact(value) for key, value in old.items() if key != "others"}
    if list(old["emergency"]) == ["phone"]:
        lines["emergency"] = old["emergency"]["phone"]
    return _with(lines, others=others)


def _contact(old: Data) -> Data:
    hours = old.get("hours")
    if hours is None or re.fullmatch(HOURS_PATTERN, hours):
        return old
    return {**old, "hours": _blank("as in Mon-Fri 08:00-16:00", hours)}


def _visit(old: Data) -> Data:
    kind = _word(old["what"], words_2.VISITS, "which kind of visit")
    return _with({"kind": kind, "how": f"<{', '.join(words_2.VISIT_HOW)}>"} | old, what=None)


def _settled(old: Data) -> Data:
    decided = {"finding": old["finding"], "about": old.get("about"), "do": "<outcome>",
               "note": old["reason"]}  # fmt: skip
    settling = SETTLED_BY.get(old["finding"])
    other = _blank(_SIGNED) if settling is not None and settling.both else None
    signed = {"by": _signer(old["by"]), "with": other, "date": old["on"]}
    return _with(signed, decided=[_with(decided)])


# --- text ----------------------------------------------------------------------------------------


class _Dumper(yaml.SafeDumper):
    """Writes every text as it is; those that a reader of YAML may take for numbers in quotes."""

    def ignore_aliases(self, data: object) -> bool:
        """Nothing is written once and named again."""
        return True


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
    style = '"' if _NUMBER.fullmatch(text) and len(text) > 1 else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)
_Dumper.yaml_implicit_resolvers = {}
_DUMP: Callable[..., str] = yaml.dump


def _dump(data: Data) -> str:
    return _DUMP(data, Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=1000)
