"""Pictures of every kind of patient: what they show and say belongs to this patient."""

from __future__ import annotations

from collections.abc import Iterator

from builders import ROOT
from hypothesis import given
from strategies import Made, few, patients
from svg_reading import Picture

from plainleaf.authoring.readability.glossary import load_glossary, uses
from plainleaf.compose.draw import draw
from plainleaf.compose.word import WordedStatement
from plainleaf.printing.inspection import LONGEST_ALT
from plainleaf.vocabulary.conditions import Answer

# As many pictures as a reader will look at.
MOST = 12
USES = ("port-gastric", "port-jejunal")
GLOSSARY = load_glossary(ROOT / "teaching")


def pictures(made: Made) -> Iterator[tuple[WordedStatement, Picture]]:
    """Every picture of a packet, as it stands on the phone page."""
    for statement in made.worded.statements().values():
        if statement.picture is not None:
            p = statement.picture
            labels = {role: [str(line) for line in lines] for role, lines in p.labels}
            yield statement, Picture(draw(p.name, p.shown, labels).svg(p.alt.plain))


@few(60)
@given(patients())
def test_no_picture_says_what_this_patient_lacks(made: Made) -> None:
    for statement, picture in pictures(made):
        assert statement.picture is not None and statement.words is not None
        # Labels are apart from each other: no term runs over two of them.
        labels = [
            str(line)
            for role, lines in statement.picture.labels
            # A port is called and used as in the table of ports, also while nothing is fed.
            for line in lines
            if role not in USES or "eeding" not in str(line)
        ]
        for said in (*labels, statement.picture.alt.plain, statement.words.plain):
            for term in GLOSSARY.terms:
                if term.needs.ask(made.facts.answers) is not Answer.TRUE:
                    assert not uses(said, term.words, term.exceptions), (statement.id, term.id)
        assert picture.words or statement.picture.name == "call"


@few(60)
@given(patients())
def test_no_picture_shows_a_part_that_the_tube_lacks(made: Made) -> None:
    tube = made.patient.tube
    for _, picture in pictures(made):
        parts = picture.parts
        if parts & {"balloon", "port-balloon", "never"}:
            assert tube.held_by == "balloon"
        assert not parts & {"balloon", "bumper", "stitches"} - {tube.held_by}
        for port in ("gastric", "jejunal"):
            if parts & {f"port-{port}", f"tip-{port}"}:
                assert port in tube.ports
        if "disc" in parts:
            assert made.facts.answers["outer_disc"] == "true" or tube.held_by == "stitches"
        if parts & {"button", "extension"}:
            assert tube.build == "low-profile"


@few(60)
@given(patients())
def test_every_picture_fits_its_print(made: Made) -> None:
    seen = list(pictures(made))
    assert 1 <= len(seen) <= MOST
    for statement, picture in seen:
        assert statement.picture is not None
        width, height = picture.size
        assert len(statement.picture.alt.plain) <= LONGEST_ALT, statement.id
        for number, box in enumerate(picture.boxes):
            assert box.left >= -0.5 and box.right <= width + 0.5, (statement.id, box)
            assert box.top >= -0.5 and box.bottom <= height + 0.5, (statement.id, box)
            touching = [o for o in picture.boxes[number + 1 :] if box.over(o)]
            assert not touching, (statement.id, box, touching)
