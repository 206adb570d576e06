"""Checks on the tube: its ports, what holds it and its size.

None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.checks.outcome import amount, check, each, feed_words, listed, part, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Feed
from plainleaf.vocabulary.quantities import Quantity, mL, read_quantity
from plainleaf.vocabulary.words_2 import PORT_USES

# blend-tube (memory): home-blended food usually wants this width or more.
BLENDED_FROM = read_quantity("14 Fr", "tube size")
# med-fr8: the least width for medicines.
MEDICINES_FROM = read_quantity("8 Fr", "tube size")
# The pharmacy has made these ready for the tube.
_MADE_READY = ("pharmacy liquid", "pharmacy packets")
# bal-volume (memory): no balloon of the row holds more.
BALLOON_MOST = mL(20)
# bal-volume (memory): up to this width in Fr → usual least and most mL.
BALLOON_FILLS = ((12, 2, 5), (14, 3, 5), (16, 4, 10), (24, 5, 10))
# bal-volume (memory): the row gives widths from 12 to 24 Fr.
BALLOON_WIDTHS = (12, 24)
# fr-typical (memory): usual widths in Fr. Gastrojejunal from 14 for children: practice.
USUAL_SIZES = {"gastrostomy": (12, 24), "gastrojejunostomy": (14, 22), "jejunostomy": (5, 24)}
# fr-typical (memory): a jejunostomy by surgery is narrower than one by endoscopy.
SURGICAL_JEJUNOSTOMY = (5, 14)


def _uses(given: Given) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:
    """Patient-file key, port, words, and the uses of which the port needs one."""
    patient = given.patient
    for feed in patient.feeding:
        yield f"feeding[{feed.number}]", feed.through, feed_words(feed, patient), ("feeding",)
    for medicine in patient.medicines:
        if medicine.through is not None:
            yield f"medicines[{medicine.number}]", medicine.through, medicine.name, ("medicines",)
    for number, additive in enumerate(patient.additives):
        yield f"additives[{number}]", additive.through, additive.name, ("feeding",)
    if patient.water.through is not None:
        yield "water", patient.water.through, "water by the clock", PORT_USES
    extras = patient.water.extras or (patient.water.extra,)
    for extra in extras:
        if extra is not None:
            uses = PORT_USES if extra.why == "flush" else ("feeding", "medicines")
            yield "water.extra", extra.through, "extra water", uses


@check("what")
def port_missing(given: Given) -> Checked:
    """A feeding, medicine, additive or water through a port that the tube lacks (gj-label)."""
    ports = given.tube.ports
    return listed(
        [
            (f"{key}.through", f"{words} through a {port} port")
            for key, port, words, _ in _uses(given)
            if port not in ports
        ]
    )


@check("what")
def port_use_missing(given: Given) -> Checked:
    """The same through a port whose listed uses lack it; extra water needs one use of the two."""
    ports = given.tube.ports
    return listed(
        [
            (f"{key}.through", f"{words} through the {port} port")
            for key, port, words, needs in _uses(given)
            if port in ports and not set(needs) & set(ports[port])
        ]
    )


def _into_bowel(given: Given, *, ordered: bool) -> Checked:
    """Fast or home-blended feeding into the jejunum (meth-j-pump, blend-tube, h-gjtip)."""
    return _feeds(
        given,
        [f for f in given.patient.feeding if f.through == "jejunal"
         and (f.method != "pump" or f.blended)],
        ordered=ordered,
    )  # fmt: skip


def _feeds(given: Given, feeds: list[Feed], *, ordered: bool) -> Checked:
    return listed(
        [
            (f"feeding[{feed.number}]", feed_words(feed, given.patient)
             + (" of home-blended food" if feed.blended else ""))
            for feed in feeds
            if (feed.ordered_by is not None) == ordered
        ]
    )  # fmt: skip


@check("what")
def bowel_feed_unordered(given: Given) -> Checked:
    """Syringe, gravity or blended feeding into the jejunum without `ordered_by`."""
    return _into_bowel(given, ordered=False)


@check("what")
def bowel_feed_ordered(given: Given) -> Checked:
    """The same where `ordered_by` names who ordered it."""
    return _into_bowel(given, ordered=True)


def _into_gj_stomach(given: Given, *, ordered: bool) -> Checked:
    """Feeding into the gastric port of a gastrojejunostomy (h-gjtip, gj-label)."""
    if given.tube.kind != "gastrojejunostomy":
        return listed([])
    gastric = [feed for feed in given.patient.feeding if feed.through == "gastric"]
    return _feeds(given, gastric, ordered=ordered)


@check("what")
def gj_stomach_feed_unordered(given: Given) -> Checked:
    """Feeding into the gastric port of a GJ without `ordered_by`."""
    return _into_gj_stomach(given, ordered=False)


@check("what")
def gj_stomach_feed_ordered(given: Given) -> Checked:
    """The same where `ordered_by` names who ordered it."""
    return _into_gj_stomach(given, ordered=True)


@check("size")
def blended_narrow_tube(given: Given) -> Checked:
    """Home-blended food through a tube under 14 Fr (blend-tube, memory)."""
    size = given.tube.size
    blended = any(feed.blended for feed in given.patient.feeding)
    return result(blended and size < BLENDED_FROM, ["tube.size"], size=amount(size, 1))


def _balloon(given: Given) -> bool:
    return given.tube.held_by == "balloon"


@check()
def balloon_fill_missing(given: Given) -> Checked:
    """A tube held by a balloon without its amount of water (bal-volume: never worked out)."""
    missing = _balloon(given) and given.tube.balloon_fill is None
    return result(missing, ["tube.balloon_fill"])


@check("fill")
def balloon_fill_too_much(given: Given) -> Checked:
    """More than 20 mL in a balloon (bal-volume, memory; h-jballoon)."""
    fill = given.tube.balloon_fill
    over = _balloon(given) and fill is not None and fill > BALLOON_MOST
    return result(over, ["tube.balloon_fill"], fill=amount(fill, 1) if fill else "")


def usual_fill(size: Quantity, build: str) -> tuple[int, int] | None:
    """Usual least and most mL for a width in Fr; None for a width that the row does not give.

    A long tube from 18 Fr may hold up to 20 mL. Source: row bal-volume (memory).

    >>> usual_fill(read_quantity("14 Fr", "tube size"), "low-profile")
    (3, 5)
    """
    if not BALLOON_WIDTHS[0] <= size.value <= BALLOON_WIDTHS[1]:
        return None
    limit, low, high = next(row for row in BALLOON_FILLS if size.value <= row[0])
    return low, 20 if limit > 16 and build == "standard" else high


@check("fill", "size", "usual")
def balloon_fill_unusual(given: Given) -> Checked:
    """Balloon water outside the usual range for the width (bal-volume, memory; h-jballoon)."""
    tube = given.tube
    usual = usual_fill(tube.size, tube.build)
    fill = tube.balloon_fill
    if not _balloon(given) or fill is None or usual is None or fill > BALLOON_MOST:
        return result(False)
    return result(
        not mL(usual[0]) <= fill <= mL(usual[1]),
        ["tube.balloon_fill", "tube.size"],
        fill=amount(fill, 1),
        size=amount(tube.size, 1),
        usual=f"{usual[0]} to {usual[1]} mL",
    )


@check("fill", "held_by")
def balloon_fill_stray(given: Given) -> Checked:
    """Balloon water on a tube that no balloon holds (port-bal-never)."""
    fill, held_by = given.tube.balloon_fill, given.tube.held_by
    stray = fill is not None and not _balloon(given)
    words = amount(fill, 1) if fill else ""
    return result(stray, ["tube.balloon_fill", "tube.held_by"], fill=words, held_by=held_by)


@check()
def mark_missing(given: Given) -> Checked:
    """A long tube without the mark at the skin (h-pa), and without its measured outside length."""
    tube = given.tube
    unmarked = tube.mark_at_skin is None and tube.outside_length is None
    return result(tube.build == "standard" and unmarked, ["tube.mark_at_skin"])


@check()
def mark_stray(given: Given) -> Checked:
    """A mark at the skin on a low-profile device, which has none to read (mark-check)."""
    tube = given.tube
    stray = tube.build == "low-profile" and tube.mark_at_skin is not None
    return result(stray, ["tube.mark_at_skin", "tube.build"])


@check()
def button_length_missing(given: Given) -> Checked:
    """A low-profile device without its length (button-length)."""
    tube = given.tube
    return result(tube.build == "low-profile" and tube.length is None, ["tube.length"])


@check()
def button_with_stitches(given: Given) -> Checked:
    """A low-profile device held by stitches: no such device (practice)."""
    tube = given.tube
    impossible = tube.build == "low-profile" and tube.held_by == "stitches"
    return result(impossible, ["tube.build", "tube.held_by"])


@check("size", "usual")
def size_unusual(given: Given) -> Checked:
    """A width in Fr that this kind of tube seldom has (fr-typical, memory)."""
    tube = given.tube
    low, high = USUAL_SIZES[tube.kind]
    if tube.kind == "jejunostomy" and tube.placed_by == "surgery":
        low, high = SURGICAL_JEJUNOSTOMY
    return result(
        not low <= tube.size.value <= high,
        ["tube.size"],
        size=amount(tube.size, 1),
        usual=f"{low} to {high} Fr",
    )


@check("size", "what")
def narrow_for_medicines(given: Given) -> Checked:
    """Medicines through a tube under 8 Fr (med-fr8), or one that the table says would block it."""
    size = given.tube.size
    parts = []
    if given.by_tube and size < MEDICINES_FROM:
        parts.append(("tube.size", f"{amount(MEDICINES_FROM)} or more suits medicines"))
    parts += [
        (f"medicines[{m.medicine.number}]", f"{m.medicine.name}: {row.says}")
        for m in given.by_tube
        for row in m.known.rows_of("bore")
        if (row.least_fr is None or size < row.least_fr) and m.medicine.prepare not in _MADE_READY
    ]
    return each(
        part(key, "tube.size", size=amount(size, 1), what=words)
        for key, words in dict(reversed(parts)).items()
    )
