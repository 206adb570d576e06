"""A patient file in JSON, as the nodes that YAML gives."""

from __future__ import annotations

import json
import re

from plainleaf.inputs.strict_yaml import Node, Unreadable, parse
from plainleaf.vocabulary.errors import Fault

# A letter beyond the first plane, written as the two halves that JSON allows and YAML does not.
_HALVES = re.compile(
    r"(?<!\\)((?:\\\\)*)(\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2})"
)


def parse_json(text: str, file: str) -> Node:
    """The JSON document in a text, every value with its line.

    JSON is a subset of YAML but for tabs between values and letters written in two halves; both
    are put as YAML writes them, on the same line.

    Raises:
        Unreadable: Not JSON, empty, or a form that is refused here.
    """
    try:
        json.loads(text)
    except json.JSONDecodeError as error:
        fault = Fault(
            file,
            error.lineno,
            f"cannot be read as JSON ({error.msg}).",
            "Check the commas, quotes and brackets of this line and the one above.",
        )
        raise Unreadable(fault) from error
    except RecursionError as error:
        raise Unreadable(Fault(file, 1, "is nested too deeply.")) from error
    whole = _HALVES.sub(lambda match: match[1] + json.loads(f'"{match[2]}"'), text)
    return parse(whole.replace("\t", " "), file)
