"""What the nurse's sheet holds besides the teaching: findings, totals, learners, signatures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP

from plainleaf.compose.word import Wording, Words, number
from plainleaf.facts.derived import DayPlan, Facts, Totals, Typed
from plainleaf.inputs.catalog import best_language
from plainleaf.inputs.patient import Learner, Patient
from plainleaf.inputs.policy import Policy
from plainleaf.packet.sheet.sheet_person import (
    duty_lines,
    more_lines,
    phrase_of,
    taught_in_language,
    words_of,
)
from plainleaf.packet.sheet.sheet_settled import settled_lines
from plainleaf.rules.findings import Finding
from plainleaf.vocabulary.languages import locale_name
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class SheetFinding:
    """A finding as the sheet prints it, with others of the same rule and the same way out.

    `instead`: what to do, empty where it was settled. `settled`: who decided what.
    """

    id: str
    level: str
    says: tuple[str, ...]
    instead: str
    accepted: Words | None
    settled: tuple[Words, ...] = ()


@dataclass(frozen=True)
class SheetLearner:
    """A learner as the sheet prints one; `needs` are the recorded needs, joined.

    `care`: what this person may do, of format 2; `more`: how to reach and address this person.
    """

    name: str
    relation: str
    language: str
    hands_on: bool
    needs: str
    care: tuple[Words, ...] = ()
    more: tuple[Words, ...] = ()


@dataclass(frozen=True)
class SignatureRow:
    """One signature: who signs, and the key of its fields."""

    key: str
    who: Words


def sheet_findings(findings: Sequence[Finding], wording: Wording) -> list[SheetFinding]:
    """Findings in words, with who accepted them."""
    rows = []
    for finding in findings:
        accepted = None
        if finding.accepted is not None:
            accepted = wording.phrase(
                "sheet-accepted",
                by=finding.accepted.by,
                on=Typed("date", finding.accepted.on),
                reason=finding.accepted.reason,
            )
        # Not twice where the finding already begins with the medicine.
        named = not finding.subject or finding.says.startswith(finding.subject)
        subject = "" if named else f"{finding.subject}: "
        settled = () if finding.settled is None else settled_lines(finding.settled, wording)
        instead = "" if settled else finding.instead
        rows.append(
            SheetFinding(
                finding.id,
                finding.level,
                (subject + finding.says,),
                instead,
                accepted,
                tuple(settled),
            )
        )
    return _gathered(rows)


def _gathered(rows: Sequence[SheetFinding]) -> list[SheetFinding]:
    """Findings that differ in what they say alone as one, in the place of the first."""
    alike: dict[SheetFinding, list[str]] = {}
    for row in rows:
        alike.setdefault(replace(row, says=()), []).extend(row.says)
    return [replace(row, says=tuple(says)) for row, says in alike.items()]


def totals_lines(totals: Totals, wording: Wording) -> list[tuple[str, Words, Words]]:
    """The day's totals as (name, label, value), to a whole mL.

    Rows without a value are left out, except an unknown energy.
    """
    volumes = (
        ("total-formula", totals.formula),
        ("total-blended", totals.blended),
        ("total-water-in-formula", totals.water_in_formula),
        ("total-flush", totals.flush),
        ("total-extra-water", totals.extra_water),
        ("total-mixing", totals.mixing),
        ("total-juice", totals.juice),
        ("total-drink", totals.drink),
        ("total-water", totals.water),
        ("total-goal", totals.goal),
        ("total-limit", totals.limit),
        ("total-drained", totals.drained),
    )
    lines = [
        (name, wording.phrase(name), wording.value(Typed("volume", _whole(amount))))
        for name, amount in volumes
        if amount is not None and (amount.value > 0 or name == "total-water")
    ]
    if totals.energy is None:
        energy = wording.phrase("total-unknown")
    else:
        whole = totals.energy.value.to_integral_value(ROUND_HALF_UP)
        energy = wording.phrase("kilocalories", number=number(whole))
    lines.insert(1, ("total-energy", wording.phrase("total-energy"), energy))
    return lines


def _whole(amount: Quantity) -> Quantity:
    return Quantity(amount.to("mL").value.to_integral_value(ROUND_HALF_UP), "mL")


def totals_rows(facts: Facts, wording: Wording) -> list[tuple[Words, Words]]:
    """The totals as label and value; of several plans each after its dates, a later one with what
    differs from the one before it.
    """
    rows: list[tuple[Words, Words]] = []
    before: list[tuple[str, Words, Words]] = []
    for plan in facts.plans:
        lines = totals_lines(plan.totals, wording)
        gone = {name for name, _, _ in before} - {name for name, _, _ in lines}
        if len(facts.plans) > 1:
            rows.append((_plan_dates(plan, wording), Words(())))
        rows += [line[1:] for line in lines if gone or line not in before]
        before = lines
    return rows


def _plan_dates(plan: DayPlan, wording: Wording) -> Words:
    first = Typed("day", plan.first)
    if plan.last is None:
        return wording.phrase("dated-from", first=first)
    if plan.last == plan.first:
        return wording.phrase("dated-on", day=first)
    return wording.phrase("dated-between", first=first, last=Typed("day", plan.last))


def sheet_learners(patient: Patient, wording: Wording) -> list[SheetLearner]:
    """Everyone who is taught, as in the patient file."""
    return [_sheet_learner(learner, patient, wording) for learner in patient.learners]


def _sheet_learner(learner: Learner, patient: Patient, wording: Wording) -> SheetLearner:
    """A relation of format 1 stands as it was written; one of format 2 is a word of a list."""
    listed = patient.format != 1
    return SheetLearner(
        learner.name,
        wording.say(phrase_of("relation", learner.relation)) if listed else learner.relation,
        learner.language,
        learner.hands_on,
        words_of("learns", learner.needs, wording) if learner.needs else "",
        tuple(duty_lines(learner, wording)) if listed else (),
        tuple(more_lines(learner, patient, wording)) if listed else (),
    )


def interpreter_lines(
    patient: Patient,
    policy: Policy,
    facts: Facts,
    given: str,
    wording: Wording,
    have: Sequence[str] = (),
) -> list[Words]:
    """What the sheet says of the interpreter, and of readers without a handout in their language.

    Args:
        given: Language of the patient's handout.
        have: Languages in which there are handouts.
    """
    taught = taught_in_language(patient, wording)
    if taught:
        lines = taught
    elif facts.answers["interpreter_needed"] != "true":
        lines = [wording.phrase("sheet-interpreter-none")]
    else:
        staff = policy.word("staff_language")
        tags = {lr.language for lr in patient.learners if lr.language.split("-")[0] != staff}
        tags |= {patient.interpreter.language} if patient.interpreter else set()
        names = ", ".join(sorted(map(locale_name, tags)))
        lines = [wording.phrase("sheet-interpreter-needed", languages=names)]
    if patient.interpreter is not None:
        plan = patient.interpreter
        lines.append(
            wording.phrase(
                "sheet-interpreter-planned",
                mode=wording.phrase(phrase_of("interpreter", plan.mode)),
                language=locale_name(plan.language),
                id=plan.id,
            )
        )
    return lines + _language_gaps(patient, given, wording, have)


def _language_gaps(
    patient: Patient, given: str, wording: Wording, have: Sequence[str]
) -> list[Words]:
    wanted = patient.person.language
    if best_language(wanted, [given]) == given:
        return []
    name = "sheet-language-other" if best_language(wanted, have) in have else "sheet-language-gap"
    return [
        wording.phrase(
            name,
            given=locale_name(given),
            reader=patient.person.name,
            wanted=locale_name(wanted),
        )
    ]


def signature_rows(patient: Patient, facts: Facts, wording: Wording) -> list[SignatureRow]:
    """Who signs: the patient or representative, each other learner, teachers, the interpreter."""
    rows = [SignatureRow("sign.patient", wording.phrase("sign-patient"))]
    rows += [
        SignatureRow(f"sign.learner.{n}", wording.phrase("sign-learner", name=learner.name))
        for n, learner in enumerate(patient.learners)
        if learner.relation != "self"
    ]
    rows.append(SignatureRow("sign.teacher", wording.phrase("sign-teacher")))
    rows.append(SignatureRow("sign.second", wording.phrase("sign-second")))
    if facts.answers["interpreter_needed"] == "true":
        rows.append(SignatureRow("sign.interpreter", wording.phrase("sign-interpreter")))
    return rows
