"""Pictures of the finished packet: in the tags, in the print, on the phone page, in one bit."""

from __future__ import annotations

import re
from functools import cache

import pypdfium2
from packets import Packet, context_of, packet_of
from pdf_reading import squeezed, tag_text, tag_tree
from svg_reading import Picture

from plainleaf.compose.word import WordedStatement
from plainleaf.packet.papers.handout import ON_REQUEST, PRINTED, make_good_to_know


def pictures(packet: Packet) -> list[WordedStatement]:
    every = packet.worded.printed().statements().values()
    return [s for s in every if s.picture is not None]


@cache
def on_request(name: str) -> bytes:
    """The pages of an example that are printed on request, as PDF."""
    paper = make_good_to_know(context_of(packet_of(name).decision), "en")
    pdf = paper.laid.pdf()
    assert paper.faults(pdf) == []
    return pdf.data


def printed(packet: Packet) -> list[tuple[bytes, list[WordedStatement]]]:
    """The two papers of the family, each with its pictures."""
    parts = ((packet.handout, PRINTED), (on_request(packet.name), ON_REQUEST))
    return [
        (data, [s for s in packet.worded.printed(*part).statements().values() if s.picture])
        for data, part in parts
    ]


def test_every_figure_is_read_out_in_order(packet: Packet) -> None:
    for data, there in printed(packet):
        tags = [tag for tag in tag_tree(data).every() if tag.kind == "/Figure"]
        wanted = [s.picture.alt.plain for s in there if s.picture is not None]
        assert [str(tag.entries["/Alt"]).replace("\u00a0", " ") for tag in tags] == wanted
    assert 8 <= len(pictures(packet)) <= 11


def test_every_caption_hangs_beside_its_figure(packet: Packet) -> None:
    for data, there in printed(packet):
        captions = [
            squeezed(tag_text(data, tag))
            for tag in tag_tree(data).every()
            if tag.kind == "/Caption"
        ]
        assert captions == [squeezed(str(s.words)) for s in there]


def test_the_phone_page_holds_the_same_pictures(packet: Packet) -> None:
    html = packet.files["handout.html"].decode()
    figures = re.findall(
        r'<figure class="picture" id="([^"]+)">(<svg.*?</svg>)(?:<ol class="keys">.*?</ol>)?'
        "<figcaption>",
        html,
    )
    assert [name for name, _ in figures] == [s.id for s in pictures(packet)]
    for _, svg in figures:
        assert Picture(svg).boxes
        assert ' role="img"' in svg and svg.index("<title>") == svg.index(">") + 1
    assert not re.search(r'<svg[^>]* id="', html)


def test_labels_are_words_under_the_picture_of_a_phone(packet: Packet) -> None:
    """A drawing shrinks with the screen; words under it follow the reader's own text size."""
    html = packet.files["handout.html"].decode()
    for statement in pictures(packet):
        assert statement.picture is not None
        figure = html.partition(f'<figure class="picture" id="{statement.id}">')[2]
        svg, _, rest = figure.partition("</svg>")
        for _, lines in statement.picture.labels:
            for line in lines:
                printed = re.sub("<[^>]+>", "", rest.partition("</figure>")[0] + svg)
                assert squeezed(str(line)) in squeezed(printed)


def test_steps_count_on_after_a_picture(packet: Packet) -> None:
    html = packet.files["handout.html"].decode()
    for section in re.findall(r'<section class="section.*?</section>', html, re.DOTALL):
        done = 0
        for start, steps in re.findall(r'<ol class="steps"([^>]*)>(.*?)</ol>', section, re.DOTALL):
            given = re.search(r'start="(\d+)"', start)
            assert (int(given[1]) if given else 1) == done + 1
            done += steps.count("<li")


def test_in_one_bit_the_fluid_differs_from_the_empty_part(packet: Packet) -> None:
    """Black dots of the light grey survive a printer that knows black and white only."""
    file = pypdfium2.PdfDocument(on_request(packet.name))
    page = next(p for p in file if "Fill the syringe" in p.get_textpage().get_text_bounded())
    grey = page.render(scale=2, grayscale=True).to_pil()
    assert sum(grey.histogram()[180:211]) > 1000
    black = grey.convert("1").convert("L").histogram()[0]
    solid = sum(grey.histogram()[:100])
    assert solid * 1.05 < black < grey.width * grey.height / 3
