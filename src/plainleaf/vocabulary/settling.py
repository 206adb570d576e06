"""Who may settle which finding, and with which outcome, in format 2 of the patient file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

# The words of the rules for who may decide → credentials after a name. A facility may narrow it.
ROLES: dict[str, tuple[str, ...]] = {
    "nurse": ("RN", "APRN", "NP", "CNS"),
    "prescriber": ("MD", "DO", "NP", "APRN", "PA"),
    "pharmacist": ("PharmD", "RPh"),
    "dietitian": ("RD", "RDN"),
    "speech": ("SLP",),
}
_ROLE_WORDS = {
    "nurse": "the nurse who prepares the packet",
    "prescriber": "the prescriber",
    "pharmacist": "a pharmacist",
    "dietitian": "the dietitian",
    "speech": "the speech therapist",
}
# All credentials that may stand after a name; some prepare a file and settle nothing.
CREDENTIALS = (
    "RN", "LPN", "APRN", "NP", "CNS", "PA", "MD", "DO", "PharmD", "RPh", "RD", "RDN", "SLP", "RT",
    "OT", "PT", "MSW",
)  # fmt: skip


@dataclass(frozen=True)
class OutcomeFields:
    """What a decision must say, and what it may say besides."""

    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()


@dataclass(frozen=True)
class Settling:
    """Who settles a finding, each of `roles` alone or, with `both`, two together, and how."""

    roles: tuple[str, ...]
    outcomes: tuple[str, ...]
    both: bool = False

    @property
    def credentials(self) -> frozenset[str]:
        """Those of whom one must sign."""
        return frozenset(word for role in self.roles for word in ROLES[role])

    @property
    def who(self) -> str:
        """The roles, as a message names them."""
        return (" and " if self.both else " or ").join(self.roles)

    @property
    def words(self) -> str:
        """Who they are, as the rules of the teaching say it."""
        return (" with " if self.both else " or ").join(_ROLE_WORDS[role] for role in self.roles)

    def settled_by(
        self, signer: str, other: str | None, roles: Mapping[str, tuple[str, ...]] = ROLES
    ) -> bool:
        """Whether a signer, with another where there is one, may settle it; of two who sign one
        line, which of them stands first is free.

        Args:
            roles: The credentials of each role, where a facility has fewer.
        """
        if self.both:
            return self.pair(signer, other, roles)
        signers = [credential_of(who) for who in (signer, other) if who is not None]
        return any(word in roles[role] for role in self.roles for word in signers)

    def pair(
        self, signer: str, other: str | None, roles: Mapping[str, tuple[str, ...]] = ROLES
    ) -> bool:
        """Whether two signers are of the two roles, in either order."""
        if other is None or len(self.roles) != 2:
            return False
        first, second = (roles[role] for role in self.roles)
        words = credential_of(signer), credential_of(other)
        return (words[0] in first and words[1] in second) or (
            words[1] in first and words[0] in second
        )


def credential_of(signer: str) -> str:
    """The credential of a signer, written `Name, CREDENTIAL`.

    >>> credential_of("O. Duarte, PharmD")
    'PharmD'
    """
    return signer.rpartition(", ")[2]


OUTCOMES: dict[str, OutcomeFields] = {
    "as-ordered": OutcomeFields(),
    "read-again": OutcomeFields(("value",)),
    "prepare": OutcomeFields(("prepare",), ("in", "wait", "gloves", "keep_away")),
    "pharmacy-prepares": OutcomeFields(("as",), ("in", "gloves", "keep_away")),
    "hold": OutcomeFields(("before", "after")),
    "no-hold": OutcomeFields(("watch",), ("check_date",)),
    "drink": OutcomeFields(("amount",)),
    "later": OutcomeFields(("date",)),
    "backup": OutcomeFields(("who", "phone")),
    "shown": OutcomeFields(("date",)),
    "bilingual-staff": OutcomeFields(("who", "language")),
    "none": OutcomeFields(),
    "throw-away": OutcomeFields(("after",)),
    "clean-mixing": OutcomeFields((), ("water",)),
    "leave-open": OutcomeFields(),
    "not-taught": OutcomeFields(),
    "not-healed": OutcomeFields(("until",)),
    "both": OutcomeFields(("why",)),
    "smaller-amount": OutcomeFields(),
    "by-mouth": OutcomeFields(("cleared_by",), ("in",)),
    "use-other-thickener": OutcomeFields(),
    "checked-by": OutcomeFields(("who",), ("phone",)),
    "name-means": OutcomeFields(("name",)),
    "checked-by-hand": OutcomeFields(),
    "pause-feed": OutcomeFields(),
    "call-instead": OutcomeFields(("contact",)),
    "next-opening": OutcomeFields(),
    "held": OutcomeFields(),
    "emergency-first": OutcomeFields(),
}

SETTLED_BY: dict[str, Settling] = {
    "bowel-feed-by-order": Settling(("prescriber",), ("as-ordered",)),
    "gj-stomach-feed-by-order": Settling(("prescriber",), ("as-ordered",)),
    "medicines-in-bowel-port": Settling(("pharmacist",), ("as-ordered",)),
    "blended-narrow-tube": Settling(("dietitian",), ("as-ordered",)),
    "balloon-fill-unusual": Settling(("nurse", "prescriber"), ("read-again",)),
    "button-length-missing": Settling(("nurse",), ("leave-open",)),
    "size-unusual": Settling(("nurse", "prescriber"), ("read-again",)),
    "tube-narrow-for-medicines": Settling(
        ("pharmacist",), ("as-ordered", "prepare", "pharmacy-prepares")
    ),
    "put-back-against-policy": Settling(("prescriber",), ("not-taught",)),
    "healing-not-certain": Settling(("prescriber",), ("not-healed",)),
    "weight-implausible": Settling(("nurse", "dietitian"), ("read-again",)),
    "one-trained-helper": Settling(("nurse",), ("backup",)),
    "self-care-doubtful": Settling(("nurse",), ("shown",)),
    "interpreter-missing": Settling(("nurse",), ("bilingual-staff",)),
    "refeeding-labs": Settling(("prescriber",), ("none",)),
    "feeds-overlap": Settling(("dietitian",), ("as-ordered",)),
    "feeds-too-close": Settling(("dietitian",), ("as-ordered",)),
    "closed-hangs-too-long": Settling(("dietitian",), ("throw-away",)),
    "bolus-large-adult": Settling(("dietitian",), ("as-ordered",)),
    "bolus-large-child": Settling(("dietitian",), ("as-ordered",)),
    "rate-high": Settling(("dietitian",), ("as-ordered",)),
    "label-doubtful": Settling(("dietitian",), ("read-again",)),
    "powder-risk": Settling(("dietitian",), ("clean-mixing",)),
    "water-over-limit": Settling(("prescriber",), ("as-ordered",)),
    "water-below-goal": Settling(("dietitian",), ("drink", "later")),
    "water-above-goal": Settling(("dietitian",), ("as-ordered",)),
    "child-water-high": Settling(("prescriber",), ("as-ordered",)),
    "flush-large-adult": Settling(("dietitian",), ("as-ordered",)),
    "flush-large-child": Settling(("prescriber",), ("as-ordered",)),
    "feed-flush-missing": Settling(("prescriber",), ("none",)),
    "flush-never-given": Settling(("nurse",), ("leave-open",)),
    "resting-port-unflushed": Settling(("prescriber",), ("none",)),
    "medicine-twice": Settling(("pharmacist",), ("both",)),
    "feed-hold-costs": Settling(("prescriber", "dietitian"), ("smaller-amount",), both=True),
    "feed-in-hold": Settling(("prescriber", "dietitian"), ("as-ordered", "no-hold"), both=True),
    "crush-modified-release": Settling(("pharmacist",), ("prepare", "pharmacy-prepares")),
    "opioid-modified-release": Settling(
        ("prescriber", "pharmacist"), ("prepare", "pharmacy-prepares"), both=True
    ),
    "never-through-tube": Settling(("pharmacist",), ("prepare", "pharmacy-prepares")),
    "effervescent-dissolve": Settling(("pharmacist",), ("as-ordered", "prepare")),
    "injection-through-tube": Settling(("pharmacist",), ("as-ordered", "pharmacy-prepares")),
    "hazardous-medicine": Settling(
        ("prescriber", "pharmacist"), ("pharmacy-prepares", "prepare"), both=True
    ),
    "dispersible-form": Settling(("pharmacist",), ("as-ordered", "prepare")),
    "crush-not-cleared": Settling(("pharmacist",), ("as-ordered", "prepare", "pharmacy-prepares")),
    "never-crush-no-way-given": Settling(
        ("pharmacist",), ("as-ordered", "prepare", "pharmacy-prepares")
    ),
    "form-not-known": Settling(("pharmacist",), ("prepare", "as-ordered")),
    "liquid-dose-not-in-ml": Settling(("pharmacist",), ("read-again",)),
    "fails-in-bowel": Settling(("pharmacist",), ("as-ordered", "no-hold")),
    "clashes-with-feeding": Settling(("prescriber", "pharmacist"), ("hold", "no-hold"), both=True),
    "levodopa-and-feeding": Settling(("prescriber", "pharmacist"), ("hold", "no-hold"), both=True),
    "lump-with-feeding": Settling(("pharmacist",), ("hold", "no-hold")),
    "laxative-and-thickener": Settling(
        ("pharmacist", "speech"), ("use-other-thickener", "as-ordered")
    ),
    "by-mouth-while-nothing": Settling(("prescriber", "speech"), ("by-mouth",)),
    "weekly-medicine-daily": Settling(("pharmacist",), ("as-ordered",)),
    "course-half-over": Settling(("prescriber", "pharmacist"), ("as-ordered",)),
    "scale-without-sugar-check": Settling(("prescriber",), ("as-ordered",)),
    "mix-water-missing": Settling(("pharmacist",), ("prepare",)),
    "drain-and-feed-one-port": Settling(("prescriber",), ("as-ordered",)),
    "refeeding-suspected": Settling(("prescriber",), ("none",)),
    "steps-past": Settling(("dietitian",), ("as-ordered",)),
    "duty-not-covered": Settling(("nurse",), ("backup",)),
    "stitches-no-date": Settling(("prescriber",), ("leave-open",)),
    "skin-buttons-no-date": Settling(("prescriber",), ("leave-open",)),
    "jejunal-sugar": Settling(("prescriber",), ("as-ordered",)),
    "flush-under-dead-space": Settling(("prescriber",), ("as-ordered",)),
    "insulin-without-sugar-checks": Settling(("prescriber",), ("checked-by",)),
    "name-read-as": Settling(("pharmacist",), ("name-means",)),
    "name-not-known": Settling(("pharmacist",), ("name-means", "checked-by-hand")),
    "medicine-in-feed": Settling(("pharmacist",), ("pause-feed", "hold")),
    "contact-closed": Settling(("nurse",), ("call-instead", "next-opening")),
    "session-past": Settling(("nurse",), ("held",)),
    "rescue-not-covered": Settling(("prescriber",), ("emergency-first",)),
}
# Crushing is no way out of these: another form or another way is.
NEVER_CRUSHED = ("crush-modified-release", "opioid-modified-release", "never-through-tube")
# A hazardous medicine and a long-acting opioid go through the tube at home by these outcomes of any
# finding, and then two decide together.
TWO_FOR_HARM = Settling(("prescriber", "pharmacist"), (), both=True)
LETS_THROUGH = frozenset(
    ("as-ordered", "read-again", "prepare", "pharmacy-prepares", "hold", "no-hold", "both",
     "checked-by-hand", "pause-feed")
)  # fmt: skip
# Findings that no outcome settles, and that format 1 lets a licensed person accept all the same.
ACCEPTED_BY: dict[str, Settling] = {
    "position-not-checked": Settling(("prescriber",), ()),
    "other-lines-not-recorded": Settling(("nurse",), ()),
    "route-not-said": Settling(("prescriber", "pharmacist"), ()),
    "text-not-translated": Settling(("nurse",), ()),
}
