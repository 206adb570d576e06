"""A small exact search: is there a legal class of patient for which all of this holds?

Every fact has the answers that are still open, as bits of a whole number. A clause with one way
left forces it. The search starts from the plainest legal class and looks only at what must differ
from it, so that an answer is found within some hundred steps. It is complete: None means that
there is no such class.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence

from plainleaf.authoring.prove.clauses import Clause, Coding
from plainleaf.authoring.prove.legal import Model
from plainleaf.vocabulary.conditions import Answer, Condition

_Known = Mapping[str, str]


class Search:
    """Questions about the legal classes of one model.

    `asked` counts the questions; memory holds the clauses of each condition and nothing else.
    """

    def __init__(self, model: Model) -> None:
        self.model = model
        self.coding = Coding(model.variables)
        self.asked = 0
        self._open = list(self.coding.full)
        self._plain = [self.coding.bit(name, model.plain[name]) for name in self.coding.names]
        self._uses: list[list[Clause]] = [[] for _ in self.coding.names]
        self._more: dict[int, list[Clause]] = {}
        self._trail: list[tuple[int, int]] = []
        self.rules = tuple(
            dict.fromkeys(c for rule in model.constraints for c in self.coding.clauses(rule.holds))
        )
        self._begin()

    def _begin(self) -> None:
        """Put the constraints in place and make the plainest class a legal one."""
        self._add(self.rules)
        model = self._settle(self.rules)
        if model is None:
            raise ValueError("no patient at all is legal: two constraints contradict each other")
        self._plain = model
        self._more = {}
        for clause in self.rules:
            for number, _ in clause:
                self._uses[number].append(clause)
        self._force([clause for clause in self.rules if len(clause) == 1])
        self._trail.clear()

    # --- open answers ---------------------------------------------------------------------------

    def _add(self, clauses: Sequence[Clause]) -> None:
        for clause in clauses:
            for number, _ in clause:
                self._more.setdefault(number, []).append(clause)

    def _narrow(self, number: int, bits: int) -> bool:
        """Keep only some answers of a fact, with all that follows; False on a contradiction."""
        kept = self._open[number] & bits
        if kept == self._open[number]:
            return kept != 0
        self._trail.append((number, self._open[number]))
        self._open[number] = kept
        return kept != 0 and self._follow([number])

    def _follow(self, changed: list[int]) -> bool:
        while changed:
            number = changed.pop()
            for clauses in (self._uses[number], self._more.get(number, ())):
                for clause in clauses:
                    forced = self._last_way(clause)
                    if forced is None:
                        continue
                    if not forced:
                        return False
                    other, bits = forced
                    self._trail.append((other, self._open[other]))
                    self._open[other] &= bits
                    changed.append(other)
        return True

    def _last_way(self, clause: Clause) -> tuple[int, int] | tuple[()] | None:
        """The one literal that is left and not yet sure, () where none is left, else None."""
        last_way: tuple[int, int] | None = None
        opened = self._open
        for number, bits in clause:
            now = opened[number]
            both = now & bits
            if both == now:
                return None
            if both:
                if last_way is not None:
                    return None
                last_way = (number, bits)
        return last_way if last_way is not None else ()

    def _force(self, clauses: Sequence[Clause]) -> bool:
        """Take up clauses that were just added."""
        for clause in clauses:
            forced = self._last_way(clause)
            if forced is None:
                continue
            if not forced or not self._narrow(*forced):
                return False
        return True

    def _undo(self, mark: int) -> None:
        while len(self._trail) > mark:
            number, before = self._trail.pop()
            self._open[number] = before

    # --- one class ------------------------------------------------------------------------------

    def _settle(self, extra: Sequence[Clause]) -> list[int] | None:
        """A legal class within the open answers that also satisfies extra clauses, or None."""
        mark = len(self._trail)
        model = self._complete(extra) if self._force(extra) else None
        self._undo(mark)
        return model

    def _complete(self, extra: Sequence[Clause]) -> list[int] | None:
        chosen = [
            best if now & best else now & -now
            for now, best in zip(self._open, self._plain, strict=True)
        ]
        broken = self._broken(chosen, extra)
        if broken is None:
            return chosen
        number, bits = next((n, bits) for n, bits in broken if self._open[n] & bits)
        for part in (bits, self.coding.full[number] & ~bits):
            mark = len(self._trail)
            model = self._complete(extra) if self._narrow(number, part) else None
            self._undo(mark)
            if model is not None:
                return model
        return None

    def _broken(self, chosen: Sequence[int], extra: Sequence[Clause]) -> Clause | None:
        """A clause that a choice breaks; those whose facts are all plain hold by themselves."""
        for clause in extra:
            if not any(chosen[number] & bits for number, bits in clause):
                return clause
        for place, (mine, plain) in enumerate(zip(chosen, self._plain, strict=True)):
            if mine != plain:
                for clause in self._uses[place]:
                    if not any(chosen[number] & bits for number, bits in clause):
                        return clause
        return None

    def satisfy(self, *conditions: Condition, given: _Known | None = None) -> dict[str, str] | None:
        """A legal class for which every condition holds, near to the plainest; None if none is.

        Args:
            given: Answers that are settled beforehand.
        """
        self.asked += 1
        extra = [clause for condition in conditions for clause in self.coding.clauses(condition)]
        for fact, word in (given or {}).items():
            extra.append(((self.coding.number(fact), self.coding.bit(fact, word)),))
        self._add(extra)
        model = self._settle(extra)
        self._more = {}
        return None if model is None else self._named(model)

    def smallest(self, *conditions: Condition, given: _Known | None = None) -> dict[str, str]:
        """Like `satisfy`, and no fact of it can be made plain without losing another.

        Raises:
            ValueError: There is no such class.
        """
        best = self.satisfy(*conditions, given=given)
        if best is None:
            raise ValueError("no class of patient is so")
        for fact in self.coding.names:
            plain = self._plain_word(fact)
            if best[fact] == plain or fact in (given or {}):
                continue
            kept = {name: word for name, word in best.items() if word == self._plain_word(name)}
            tried = self.satisfy(*conditions, given={**kept, **(given or {}), fact: plain})
            if tried is not None and self.far(tried) < self.far(best):
                best = tried
        return best

    def far(self, answers: _Known) -> int:
        """How many facts differ from the plainest class."""
        return sum(word != self._plain_word(name) for name, word in answers.items())

    def apart(self, answers: _Known) -> dict[str, str]:
        """The facts that differ from the plainest class."""
        return {name: word for name, word in answers.items() if word != self._plain_word(name)}

    def _plain_word(self, name: str) -> str:
        number = self.coding.number(name)
        return self.coding.word(number, self._plain[number])

    def _named(self, chosen: Sequence[int]) -> dict[str, str]:
        return {name: self.coding.word(n, chosen[n]) for n, name in enumerate(self.coding.names)}

    # --- many classes ---------------------------------------------------------------------------

    def projections(self, support: Sequence[str], condition: Condition) -> list[dict[str, str]]:
        """Every combination of some facts' answers that a legal class with a condition can have."""
        extra = list(self.coding.clauses(condition))
        numbers = [self.coding.number(name) for name in dict.fromkeys(support)]
        self._add(extra)
        models = list(self._walk(numbers, 0, extra)) if self._force(extra) else []
        self._undo(0)
        self._more = {}
        return models

    def _walk(
        self, numbers: Sequence[int], depth: int, extra: Sequence[Clause]
    ) -> Iterator[dict[str, str]]:
        if depth == len(numbers):
            self.asked += 1
            if self._complete(extra) is not None:
                coding = self.coding
                yield {coding.names[n]: coding.word(n, self._open[n]) for n in numbers}
            return
        number = numbers[depth]
        for place in range(len(self.coding.words[number])):
            bit = 1 << place
            if self._open[number] & bit:
                mark = len(self._trail)
                if self._narrow(number, bit):
                    yield from self._walk(numbers, depth + 1, extra)
                self._undo(mark)

    def sample(self, chance: random.Random) -> dict[str, str]:
        """A legal class picked at random; every legal class can come out."""
        order = list(range(len(self.coding.names)))
        chance.shuffle(order)
        for number in order:
            places = [
                p for p in range(len(self.coding.words[number])) if self._open[number] >> p & 1
            ]
            chance.shuffle(places)
            for place in places:
                mark = len(self._trail)
                if self._narrow(number, 1 << place) and self._complete(()) is not None:
                    break
                self._undo(mark)
        answers = self._named(self._open)
        self._undo(0)
        return answers


def holds(condition: Condition, answers: _Known) -> bool:
    """Whether a condition is true of a class, asked the way that the packet asks it."""
    return condition.ask(answers) is Answer.TRUE


def support_of(*conditions: Condition) -> tuple[str, ...]:
    """The facts that conditions ask, each once, in order."""
    return tuple(dict.fromkeys(fact for condition in conditions for fact in condition.facts()))
