"""Proof: what the nurse asks agrees with what the handout says."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.texts import Place, modules_of, printed_module, printed_steps
from plainleaf.inputs.content import Module, ShowBack, TeachBack
from plainleaf.vocabulary.conditions import Condition, every, never, some


def printed_prompt(module: Module, prompt: TeachBack) -> Condition:
    """When a prompt stands on the nurse's sheet."""
    return every(printed_module(module), prompt.when)


def printed_skill(module: Module, skill: ShowBack) -> Condition:
    """When a skill stands on the nurse's sheet: with at least one step."""
    return every(printed_steps(module, skill.section), skill.when)


def prove_teach_back(run: Proving) -> Iterator[Failure]:
    """A fault for each prompt with nothing to listen for, each skill due without its steps, and
    each printed topic with something critical of which nothing is asked or shown.
    """
    for module in modules_of(run.library):
        for prompt in module.teach_back:
            run.counts["prompts"] += 1
            yield from _prompt(run, module, prompt)
        for skill in module.show_back:
            run.counts["skills"] += 1
            yield from _skill(run, module, skill)
        if any(p.critical for p in module.teach_back) or any(s.critical for s in module.show_back):
            yield from _topic(run, module)


def _prompt(run: Proving, module: Module, prompt: TeachBack) -> Iterator[Failure]:
    place = Place(prompt.id, module.file, prompt.line)
    when = printed_prompt(module, prompt)
    heard = {name: run.library.conditions[name] for name in prompt.listen_for}
    silent = every(when, *(never(condition) for condition in heard.values()))
    if run.search.satisfy(silent) is not None:
        says = "nothing of what it listens for is in the handout."
        yield Failure("teach-back", place, says, run.search.smallest(silent))
    for name, condition in heard.items():
        if run.any_facility and run.search.satisfy(when, condition) is None:
            yield Failure("teach-back", place, f"'{name}' never prints together with it.")


def _skill(run: Proving, module: Module, skill: ShowBack) -> Iterator[Failure]:
    place = Place(skill.id, module.file, skill.line)
    dropped = every(module.when, skill.when, never(printed_steps(module, skill.section)))
    if run.search.satisfy(dropped) is not None:
        says = f"it is due and '{skill.section}' prints no step."
        yield Failure("teach-back", place, says, run.search.smallest(dropped))
    if run.search.satisfy(printed_skill(module, skill)) is None:
        yield Failure("teach-back", place, "no class of patient ever shows it.")


def _topic(run: Proving, module: Module) -> Iterator[Failure]:
    asked = [printed_prompt(module, prompt) for prompt in module.teach_back]
    asked += [printed_skill(module, skill) for skill in module.show_back]
    unasked = every(printed_module(module), never(some(*asked)))
    if run.search.satisfy(unasked) is not None:
        says = "the topic prints and nothing of it is asked or shown."
        place = Place(module.id, module.file, 1)
        yield Failure("teach-back", place, says, run.search.smallest(unasked))
