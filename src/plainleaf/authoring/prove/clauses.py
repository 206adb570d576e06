"""Conditions as clauses: "this fact has one of these answers, or that one has …"."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from plainleaf.vocabulary.conditions import Condition

# Facts by number, with the answers (as bits) that make the clause true; one of them must hold.
Clause = tuple[tuple[int, int], ...]
# With more cases than this, those that others say already are looked for and dropped.
MANY_CASES = 64
# A condition with more cases than this is one that nobody can read.
MOST_CASES = 4096


class Coding:
    """Facts as numbers and their answers as bits; keeps the clauses of each condition."""

    def __init__(self, variables: Mapping[str, tuple[str, ...]]) -> None:
        self.names = tuple(variables)
        self.words = tuple(variables.values())
        self.full = tuple((1 << len(words)) - 1 for words in self.words)
        self._number = {name: number for number, name in enumerate(self.names)}
        self._kept: dict[tuple[Condition, bool], tuple[Clause, ...]] = {}

    def number(self, name: str) -> int:
        """The number of a fact."""
        return self._number[name]

    def bit(self, name: str, word: str) -> int:
        """The bit of one answer of a fact."""
        return 1 << self.words[self._number[name]].index(word)

    def word(self, number: int, bit: int) -> str:
        """The answer of a fact that a single bit stands for."""
        return self.words[number][bit.bit_length() - 1]

    def clauses(self, condition: Condition, holds: bool = True) -> tuple[Clause, ...]:
        """The clauses that together say that a condition holds, or that it does not.

        None at all: always so. An empty clause: never so.
        """
        key = (condition, holds)
        if key not in self._kept:
            self._kept[key] = tuple(dict.fromkeys(self._expand(condition, holds)))
        return self._kept[key]

    def _expand(self, condition: Condition, holds: bool) -> Iterator[Clause]:
        if condition.op == "is":
            yield from self._answer(condition, holds)
            return
        if condition.op == "not":
            yield from self.clauses(condition.parts[0], not holds)
            return
        parts = [self.clauses(part, holds) for part in condition.parts]
        if (condition.op == "all") == holds:
            for clauses in parts:
                yield from clauses
        elif all(parts):
            yield from self._either(parts, condition)

    def _answer(self, condition: Condition, holds: bool) -> Iterator[Clause]:
        number = self._number[condition.fact]
        bits = sum(
            1 << place
            for place, word in enumerate(self.words[number])
            if (word in condition.answers) == holds
        )
        if bits != self.full[number]:
            yield ((number, bits),) if bits else ()

    def _either(self, parts: list[tuple[Clause, ...]], condition: Condition) -> list[Clause]:
        """One of the parts holds: every way to take one clause of each."""
        product: list[Clause] = [()]
        for clauses in parts:
            merged = (self._merged(first, clause) for first in product for clause in clauses)
            product = list(dict.fromkeys(clause for clause in merged if clause is not None))
            if len(product) > MANY_CASES:
                product = _shortest(product)
            if len(product) > MOST_CASES:
                raise ValueError(f"too many cases: {condition}")
        return product

    def _merged(self, first: Clause, other: Clause) -> Clause | None:
        """One or the other; None where that is always so."""
        bits_of = dict(first)
        for number, bits in other:
            bits_of[number] = bits_of.get(number, 0) | bits
            if bits_of[number] == self.full[number]:
                return None
        return tuple(sorted(bits_of.items()))


def _shortest(clauses: list[Clause]) -> list[Clause]:
    """The clauses without those that hold wherever a shorter one holds."""
    kept: list[Clause] = []
    for clause in sorted(clauses, key=len):
        ways = dict(clause)
        if not any(
            all(bits & ways.get(number, 0) == bits for number, bits in shorter) for shorter in kept
        ):
            kept.append(clause)
    return kept
