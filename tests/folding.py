"""One test for a rule that is asked of many small cases; every case that breaks it is named."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any


def each(cases: Mapping[str, tuple[Any, ...]]) -> Callable[[Callable[..., None]], Any]:
    """Make a rule a test that asks it of all cases, and fails with all that break it.

    Args:
        cases: Name → what the rule is called with. There must be some.
    """
    assert cases

    def folded(rule: Callable[..., None]) -> Callable[[], None]:
        def test() -> None:
            broken = [f"{name}: {wrong}" for name, wrong in _broken(rule, cases.items())]
            assert not broken, "\n".join((f"{len(broken)} of {len(cases)} cases:", *broken))

        test.__name__, test.__doc__ = rule.__name__, rule.__doc__
        return test

    return folded


def _broken(
    rule: Callable[..., None], cases: Iterable[tuple[str, tuple[Any, ...]]]
) -> Iterable[tuple[str, str]]:
    for name, case in cases:
        try:
            rule(*case)
        except Exception as error:  # whatever goes wrong belongs to its case
            yield name, f"{type(error).__name__}: {error}"
