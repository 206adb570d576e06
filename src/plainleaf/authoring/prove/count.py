"""How many legal classes there are in all, counted exactly and without listing them."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.authoring.prove.clauses import Clause
from plainleaf.authoring.prove.search import Search

_Clauses = frozenset[Clause]


def count_classes(search: Search) -> int:
    """The number of combinations of all facts' answers that the constraints allow.

    Splits on the fact that most clauses ask, counts parts that share no fact apart, and keeps
    what is counted, so that the work grows with the constraints and not with the number.
    """
    sizes = [len(words) for words in search.coding.words]
    opened = dict(enumerate(search.coding.full))
    return _Counter(sizes).count(frozenset(search.rules), opened)


class _Counter:
    def __init__(self, sizes: Sequence[int]) -> None:
        self.sizes = sizes
        self.kept: dict[tuple[_Clauses, tuple[tuple[int, int], ...]], int] = {}

    def count(self, clauses: _Clauses, opened: dict[int, int]) -> int:
        """Combinations of the facts in `opened` (number → open answers as bits)."""
        whole = 1
        for part, numbers in _parts(clauses, opened):
            whole *= self._part(part, {number: opened[number] for number in numbers})
            if whole == 0:
                break
        return whole

    def _part(self, clauses: _Clauses, opened: dict[int, int]) -> int:
        if not clauses:
            whole = 1
            for bits in opened.values():
                whole *= bits.bit_count()
            return whole
        key = (clauses, tuple(sorted(opened.items())))
        if key not in self.kept:
            self.kept[key] = self._split(clauses, opened)
        return self.kept[key]

    def _split(self, clauses: _Clauses, opened: dict[int, int]) -> int:
        asked = [number for clause in clauses for number, _ in clause]
        number = max(opened, key=asked.count)
        rest = {n: bits for n, bits in opened.items() if n != number}
        whole = 0
        for place in range(self.sizes[number]):
            bit = 1 << place
            if opened[number] & bit:
                remaining = _given(clauses, number, bit)
                if remaining is not None:
                    whole += self.count(remaining, rest)
        return whole


def _given(clauses: _Clauses, number: int, bit: int) -> _Clauses | None:
    """The clauses that are left once a fact is settled; None where one cannot hold."""
    remaining = []
    for clause in clauses:
        mine = dict(clause).get(number)
        if mine is None:
            remaining.append(clause)
        elif not mine & bit:
            shorter = tuple(literal for literal in clause if literal[0] != number)
            if not shorter:
                return None
            remaining.append(shorter)
    return frozenset(remaining)


def _parts(clauses: _Clauses, opened: dict[int, int]) -> list[tuple[_Clauses, frozenset[int]]]:
    """Clauses and facts in groups that share no fact."""
    group = {number: number for number in opened}

    def top(number: int) -> int:
        while group[number] != number:
            group[number] = group[group[number]]
            number = group[number]
        return number

    for clause in clauses:
        first = top(clause[0][0])
        for number, _ in clause[1:]:
            group[top(number)] = first
    members: dict[int, set[int]] = {}
    for number in opened:
        members.setdefault(top(number), set()).add(number)
    held: dict[int, list[Clause]] = {}
    for clause in clauses:
        held.setdefault(top(clause[0][0]), []).append(clause)
    return [(frozenset(held.get(key, ())), frozenset(n)) for key, n in members.items()]
