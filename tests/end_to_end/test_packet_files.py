"""The files of a packet and the keys of its record, as the contract has them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from hashlib import sha256
from html.parser import HTMLParser
from typing import Any

from packets import Packet
from pdf_reading import squeezed
from test_packet_print import words_of

from plainleaf.packet.papers import files_for

# What a phone loads in a moment, in bytes.
MOST_BYTES = 200_000
NUMBER, MAYBE = (int, float), (int, float, type(None))
TOTALS = {
    "formula_ml": NUMBER, "energy_kcal": MAYBE, "water_in_formula_ml": NUMBER, "flush_ml": NUMBER,
    "water_ml": NUMBER, "goal_ml": MAYBE, "limit_ml": MAYBE,
}  # fmt: skip
MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}")


def keeps_the_contract(data: Any) -> None:
    """Check the keys that `review --json` and `packet.json` share, with their types."""
    assert data["format"] == 1
    assert isinstance(data["stopped"], bool)
    for finding in data["findings"]:
        assert finding["level"] in ("stop", "confirm", "note")
        assert re.fullmatch(r"[a-z0-9-]+", finding["id"])
        assert finding["says"].strip()
        for key in ("concerns", "sources"):
            assert all(isinstance(word, str) for word in finding[key])
        assert finding["accepted"] is None or isinstance(finding["accepted"], dict)
    for key, kinds in TOTALS.items():
        assert isinstance(data["totals"][key], kinds), key
        assert not isinstance(data["totals"][key], bool)
    for line in data["schedule"]:
        assert re.fullmatch(r"[0-2][0-9]:[0-5][0-9]", line["at"])
        assert line["what"].strip()
        assert line["through"] in ("gastric", "jejunal", None)
        assert isinstance(line["amount_ml"], MAYBE)
    for line in data["timeline"]:
        assert line["what"].strip()
        assert MOMENT.fullmatch(line["from"])
        assert line["until"] is None or MOMENT.fullmatch(line["until"])


def _sum(lines: list[Any], *kinds: str) -> Decimal:
    return sum((Decimal(str(x["amount_ml"])) for x in lines if x["kind"] in kinds), Decimal(0))


def _volume(text: str) -> Decimal:
    return Decimal(text.replace(",", "").removesuffix(" mL"))


def _formula_sums(source: Any) -> tuple[Decimal, Decimal, Decimal]:
    """Formula, energy and water of a day, worked out from the patient file alone."""
    volume = energy = water = Decimal(0)
    for feed in source["feeding"]:
        if "formula" not in feed:
            continue
        if feed["method"] == "pump":
            given = Decimal(feed["rate"].split()[0]) * Decimal(feed["runs_for"].split()[0])
        else:
            given = _volume(feed["amount"]) * len(feed["times"])
        volume += given
        energy += given * Decimal(feed["formula"]["energy"].split()[0])
        water += given * Decimal(feed["formula"]["water"].split()[0]) / 100
    return volume, energy, water


def test_the_files_are_exactly_those_of_the_contract(packet: Packet) -> None:
    other = {learner["language"] for learner in packet.source["learners"]} - {"en"}
    wanted = [name for name, _, _ in files_for(["en", *sorted(other)])]
    assert list(packet.files) == wanted
    assert set(packet.record["files"]) == set(wanted) - {"packet.json"}
    for tag in other:
        assert {f"handout.{tag}.pdf", f"handout.{tag}.html", f"staff-copy.{tag}.pdf"} <= set(wanted)
    assert packet.handout.startswith(b"%PDF-")
    assert packet.sheet.startswith(b"%PDF-")


def test_the_record_keeps_the_contract(packet: Packet) -> None:
    keeps_the_contract(packet.record)
    assert packet.record["stopped"] is False
    for statement in packet.record["statements"]:
        assert set(statement) >= {"id", "module", "says", "sources"}
        assert statement["says"].strip()
        assert statement["sources"]
    accepted = [f for f in packet.record["findings"] if f["level"] != "note"]
    assert all(finding["accepted"] for finding in accepted)


def test_the_record_holds_the_digests_of_the_files(packet: Packet) -> None:
    for name, data in packet.files.items():
        if name != "packet.json":
            assert packet.record["files"][name] == sha256(data).hexdigest()


def test_totals_are_the_sums_of_the_schedule(packet: Packet) -> None:
    totals, lines = packet.record["totals"], packet.record["schedule"]
    totals = {key: None if value is None else Decimal(str(value)) for key, value in totals.items()}
    fed = _sum(lines, "feed", "pump-start")
    assert totals["formula_ml"] + totals["blended_ml"] == fed
    assert totals["flush_ml"] == _sum(lines, "flush")
    assert totals["extra_water_ml"] == _sum(lines, "extra-water")
    parts = ("water_in_formula_ml", "flush_ml", "extra_water_ml")
    assert totals["water_ml"] == sum(totals[part] for part in parts)


def test_formula_sums_follow_from_the_file_alone(packet: Packet) -> None:
    totals = packet.record["totals"]
    volume, energy, water = _formula_sums(packet.source)
    assert Decimal(str(totals["formula_ml"])) == volume
    assert Decimal(str(totals["water_in_formula_ml"])) == water
    if totals["energy_kcal"] is not None:
        assert Decimal(str(totals["energy_kcal"])) == energy


def test_statements_of_the_record_are_those_decided(packet: Packet) -> None:
    inside = [decision["id"] for decision in packet.record["decisions"] if decision["in"]]
    assert [statement["id"] for statement in packet.record["statements"]] == inside


class _Page(HTMLParser):
    """The visible words of an HTML page, and every address in it."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.addresses: list[str] = []
        self.ids: set[str] = set()
        self.tags: set[str] = set()
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.hidden += tag in ("style", "title")
        self.ids |= {value or "" for name, value in attrs if name == "id"}
        named = ("src", "href", "action", "data", "srcset", "poster")
        self.addresses += [value or "" for name, value in attrs if name in named]
        assert not [name for name, _ in attrs if name.startswith("on")]

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag in ("style", "title")

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.words.append(data)


def read_html(data: bytes) -> _Page:
    """An HTML page, read."""
    reader = _Page()
    reader.feed(data.decode())
    reader.close()
    return reader


def _needed(packet: Packet) -> Iterator[str]:
    for statement in packet.worded.statements().values():
        yield from words_of(statement)


def test_the_phone_page_has_the_same_words(packet: Packet) -> None:
    text = squeezed("".join(read_html(packet.files["handout.html"]).words))
    for words in _needed(packet):
        assert squeezed(words) in text, words


def test_the_phone_page_stands_alone(packet: Packet) -> None:
    html = packet.files["handout.html"].decode()
    reader = read_html(packet.files["handout.html"])
    assert {"script", "link", "img", "iframe", "object", "form"} & reader.tags == set()
    assert all(re.match(r"#|tel:\+?[0-9]+$", address) for address in reader.addresses)
    assert {address[1:] for address in reader.addresses if address[0] == "#"} <= reader.ids
    assert len(html.encode()) <= MOST_BYTES
    html = html.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"url\((?!#)|@import|https?:|//[a-z]", html)


def test_on_the_phone_the_finder_comes_after_page_one_and_leads_to_each_section(
    packet: Packet,
) -> None:
    html = packet.files["handout.html"].decode()
    topics = re.findall(r'<article class="[^"]*" id="([^"]+)"', html)
    assert topics[:2] == ["help", "finder"]
    assert sorted(topics) == sorted(page.id for page in packet.worded.pages)
    lines = [st for st in packet.worded.printed().statements().values() if st.leads_to]
    links = re.findall(r'<li id="([^"]+)"><a href="#([^"]+)">', html)
    assert links == [(st.id, st.leads_to) for st in lines]


def test_phones_can_be_called_from_the_phone_page(packet: Packet) -> None:
    reader = read_html(packet.files["handout.html"])
    dialled = {address for address in reader.addresses if address.startswith("tel:")}
    contacts = packet.source["contacts"]
    for name in ("clinic", "after_hours", "emergency"):
        assert "tel:" + re.sub(r"[^0-9+]", "", contacts[name]["phone"]) in dialled
