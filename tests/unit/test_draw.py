"""Pictures by what can be measured on them: parts, ends, angles, levels, print."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from decimal import Decimal
from itertools import product
from typing import Any

import pytest
from folding import each
from svg_reading import Picture, center, distance, inside, points

from plainleaf.compose.draw import draw, keyed_roles
from plainleaf.compose.draw.body import BOWEL_WIDTH
from plainleaf.compose.draw.canvas import HEAVY, THIN
from plainleaf.compose.draw.picture_facts import (
    Angle,
    Call,
    Day,
    Fills,
    Hang,
    PictureFacts,
    Raised,
    Skin,
    TubeLook,
    Twist,
)
from plainleaf.compose.draw.syringe import level_of, scale_of
from plainleaf.vocabulary.pictures import PICTURES

PORTS = {
    "gastrostomy": ("gastric",),
    "jejunostomy": ("jejunal",),
    "gastrojejunostomy": ("gastric", "jejunal"),
}
LABELS = {
    "stomach": ["Stomach"], "bowel": ["Small bowel"], "opening": ["Opening in the skin"],
    "tip-gastric": ["Tube ends in the stomach"], "tip-jejunal": ["Tube ends in the small bowel"],
    "port-gastric": ["Stomach port", "Feeding", "Medicines", "Letting air out", "Draining it"],
    "port-jejunal": ["Bowel port", "Feeding", "Medicines"],
    "port-balloon": ["Balloon port", "Never food, medicine or flush"],
    "clamp": ["Clamp, if there is one"], "disc": ["Outer disc"], "balloon": ["Balloon"],
    "bumper": ["Inside bumper"], "stitches": ["Stitches"], "mark": ["Mark", "3.5\u00a0cm"],
    "skin": ["Skin"], "extension": ["Extension tube"],
    "angle": ["30 to 45\u00a0degrees", "Head and chest up"], "higher": ["Higher: faster"],
    "lower": ["Lower: slower"], "air": ["Air goes out"], "end": ["Open end"], "towel": ["Towel"],
    "close": ["Turn right: closed"], "open": ["Turn left: open"],
    "ring": ["Small red ring: keep it clean and dry"],
    "limit": ["2\u00a0cm from the opening", "Redness that spreads: call us today"],
    "buttons": ["Skin buttons"],
    "feeds": ["Feeding"], "water": ["Water"], "medicines": ["Medicine"], "hour-0": ["midnight"],
    "hour-6": ["6 am"], "hour-12": ["noon"], "hour-18": ["6 pm"],
    **{f"amount-{n}": ["60\u00a0mL", "Before and after a feeding"] for n in range(5)},
    **{f"hang-{n}": ["8\u00a0hours", "Formula poured from a can or carton"] for n in range(4)},
}  # fmt: skip


def look(kind: str = "gastrostomy", build: str = "standard", held_by: str = "balloon") -> TubeLook:
    button = build == "low-profile"
    mark = None if button else Decimal("3.5")
    return TubeLook(kind, build, held_by, PORTS[kind], not button and held_by != "stitches", mark)


LOOKS = [
    look(*parts)
    for parts in product(PORTS, ("standard", "low-profile"), ("balloon", "bumper", "stitches"))
    if parts[1:] != ("low-profile", "stitches")
]
LONG = [one for one in LOOKS if not one.button]


def fills(*amounts: str, plunger: bool = False) -> Fills:
    return Fills(tuple(Decimal(a) for a in amounts), plunger)


CASES: list[tuple[str, PictureFacts]] = [
    *(("body-tube", one) for one in LOOKS),
    *(("tube-parts", one) for one in LOOKS),
    *(("mark-check", one) for one in LONG),
    *(("sitting", Angle(low, high, source, child))
      for low, high in ((30, 45), (30, 30), (45, 60))
      for source in ("bag", "syringe")
      for child in (False, True)),
    *(("sitting", Angle(low, high, source, True, True))
      for low, high in ((30, 45), (30, 30), (45, 60)) for source in ("bag", "syringe")),
    ("call", Call()),
    *(("skin-look", Skin(Decimal(limit), count))
      for limit in ("1", "2", "3") for count in (1, 3, 4, 8)),
    *((name, Raised(button)) for name in ("syringe-height", "vent") for button in (False, True)),
    *(("flush-mark", fills(*a, plunger=p))
      for a in (("60", "15"), ("10", "5"), ("3",), ("120", "60", "15"),
                ("90", "60", "30", "15", "5"))
      for p in (False, True)),
    *(("hang-clock", Hang(m)) for m in ((480,), (1440,), (240, 480, 1440, 120), (2880,), (1080,))),
    ("twist-lock", Twist()),
    *(("skin-look", Skin(Decimal(limit))) for limit in ("1", "2", "3")),
    ("day-strip", Day(300, (480, 720, 960, 1200), (), (480, 1739), (300, 540))),
    ("day-strip", Day(300, (), ((300, 360), (1080, 1740)), (360,), ())),
]  # fmt: skip
IDS = [f"{name}-{number}" for number, (name, _) in enumerate(CASES)]
NAMED = dict(zip(IDS, CASES, strict=True))


def labels_of(
    name: str, shown: PictureFacts, labels: Mapping[str, list[str]] = LABELS
) -> dict[str, list[str]]:
    """The labels that a picture may need; a day names what it holds."""
    if not isinstance(shown, Day):
        return dict(labels)
    present = {
        "feeds": shown.feeds or shown.runs, "water": shown.water, "medicines": shown.medicines
    }  # fmt: skip
    return {k: v for k, v in labels.items() if present.get(k, True)}


def used(name: str, shown: PictureFacts) -> dict[str, list[str]]:
    """The labels that a picture sets."""
    labels = labels_of(name, shown)
    asked = {label.part for label in draw(name, shown, labels).labels}
    hours = {role for role in labels if name == "day-strip" and role.startswith("hour-")}
    return {role: lines for role, lines in labels.items() if role in asked | hours}


def drawn(name: str, shown: PictureFacts, direction: str = "ltr", **more: Any) -> Picture:
    labels = labels_of(name, shown, more.pop("labels", LABELS))
    return Picture(draw(name, shown, labels, direction, **more).svg("Look and do."))


def test_every_picture_has_a_case() -> None:
    assert {name for name, _ in CASES} == set(PICTURES)


# --- every picture ------------------------------------------------------------------------------


@each(NAMED)
def test_what_is_read_out_comes_first(name: str, shown: PictureFacts) -> None:
    picture = drawn(name, shown)
    first = next(iter(picture.root))
    assert first.tag.endswith("title") and first.text == "Look and do."


@each(NAMED)
def test_units_are_points(name: str, shown: PictureFacts) -> None:
    picture = drawn(name, shown)
    width, height = picture.size
    assert picture.root.attrib["width"] == f"{width:g}pt"
    assert picture.root.attrib["height"] == f"{height:g}pt"
    assert "transform" not in picture.text


@each({f"{i}-{size}": (*case, size) for i, case in NAMED.items() for size in (14, 18, 22, 26, 28)})
def test_print_is_as_large_as_asked(name: str, shown: PictureFacts, size: float) -> None:
    picture = drawn(name, shown, size=size)
    sizes = {float(s) for s in re.findall(r'font-size="([\d.]+)"', picture.text)}
    assert sizes == ({max(size, 18)} if picture.boxes else set())
    width, height = picture.size
    for number, box in enumerate(picture.boxes):
        assert box.left >= -0.5 and box.right <= width + 0.5, box
        assert box.top >= -0.5 and box.bottom <= height + 0.5, box
        assert not [o for o in picture.boxes[number + 1 :] if box.over(o)], box


@each(NAMED)
def test_labels_that_are_numbers_count_from_one(name: str, shown: PictureFacts) -> None:
    labels = used(name, shown)
    keys = keyed_roles(name, tuple(labels), 28)
    assert keyed_roles(name, tuple(labels), 18) == ()
    assert bool(keys) is (name not in ("twist-lock", "syringe-height", "call"))
    picture = drawn(name, shown, size=28, labels=labels)
    on_it = {box.part: box.words for box in picture.boxes if box.part in keys}
    assert on_it == {role: str(number) for number, role in enumerate(keys, 1)}
    assert len(picture.named("key")) == len(keys)


@each(NAMED)
def test_print_stays_inside_and_apart(name: str, shown: PictureFacts) -> None:
    picture = drawn(name, shown)
    width, height = picture.size
    for box in picture.boxes:
        assert box.left >= -0.5 and box.right <= width + 0.5, box
        assert box.top >= -0.5 and box.bottom <= height + 0.5, box
    for number, box in enumerate(picture.boxes):
        assert not [o for o in picture.boxes[number + 1 :] if box.over(o)], box


def stretched(text: str) -> str:
    """A text 40 percent longer, as other languages need."""
    return re.sub(r"[a-z]{2,}", lambda m: m[0] + "o" * math.ceil(len(m[0]) * 0.4), text)


@each(NAMED)
def test_longer_words_still_fit(name: str, shown: PictureFacts) -> None:
    longer = {role: [stretched(line) for line in lines] for role, lines in LABELS.items()}
    test_names = {f"hour-{hour}" for hour in (0, 6, 12, 18)}
    longer |= {role: LABELS[role] for role in test_names}
    picture = drawn(name, shown, labels=longer)
    width, height = picture.size
    for number, box in enumerate(picture.boxes):
        assert box.left >= -0.5 and box.right <= width + 0.5, box
        assert box.bottom <= height + 0.5, box
        assert not [o for o in picture.boxes[number + 1 :] if box.over(o)], box


@each(NAMED)
def test_two_line_weights_and_three_tones(name: str, shown: PictureFacts) -> None:
    picture = drawn(name, shown)
    tones = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', picture.text))
    assert tones <= {"#000", "#fff", "#c4c4c4"}
    weights = set()
    pending: float | None = None
    for element in picture.root:
        a = element.attrib
        if "stroke" not in a:
            continue
        width = float(a["stroke-width"])
        if a["stroke"] == "#fff":
            assert pending is not None
            continue
        if width > HEAVY:  # the black half of a pipe; its white half follows
            pending = width
        else:
            weights.add(width)
    assert weights <= {HEAVY, THIN}


@each(NAMED)
def test_nothing_is_mirrored_from_right_to_left(name: str, shown: PictureFacts) -> None:
    left, right = drawn(name, shown), drawn(name, shown, "rtl")
    assert right.shapes() == left.shapes()
    assert [(b.left, b.right) for b in right.boxes] == [(b.left, b.right) for b in left.boxes]
    assert set(re.findall(r' direction="(\w+)"', right.text)) <= {"rtl"}


STYLE = re.compile(r"left:([-\d.]+)pt;top:([-\d.]+)pt;width:([-\d.]+)pt;text-align:(\w+)")


@each({f"{i}-{way}": (*case, way) for i, case in NAMED.items() for way in ("ltr", "rtl")})
def test_on_paper_labels_stand_in_the_same_place(
    name: str, shown: PictureFacts, direction: str
) -> None:
    canvas = draw(name, shown, labels_of(name, shown), direction)
    boxes = iter(Picture(canvas.svg("A")).boxes)
    assert "<text" not in canvas.svg("A", with_labels=False)
    for label in canvas.labels:
        found = STYLE.search(label.html())
        assert found is not None
        left, top, width = (float(n) for n in found.groups()[:3])
        for number in range(len(label.pieces)):
            box = next(boxes)
            at = {"left": box.left - left, "right": left + width - box.right}
            at["center"] = (box.left + box.right) / 2 - left - width / 2
            assert at[found[4]] == pytest.approx(0, abs=0.02)
            # A line of text hangs lower in its line than a line of SVG: 1.4 points at 18.
            line = box.bottom - label.lettering.leading * number - 19 - top
            assert line == pytest.approx(1.4, abs=0.02)


def test_merged_values_keep_their_direction() -> None:
    canvas = draw("hang-clock", Hang((480,)), {"hang-0": ["24\u00a0ساعة", "60\u00a0mL"]}, "rtl")
    (label,) = canvas.labels
    html = label.html({"60\u00a0mL", "24\u00a0ساعة"})
    assert '<bdi dir="ltr">60\u00a0mL</bdi>' in html
    assert '<bdi dir="rtl">24\u00a0ساعة</bdi>' in html


@each(NAMED)
def test_the_same_facts_give_the_same_text(name: str, shown: PictureFacts) -> None:
    assert drawn(name, shown).text == drawn(name, shown).text


def test_words_are_escaped() -> None:
    text = draw("twist-lock", Twist(), {"close": ["a < b & c"], "open": ["x"]}).svg("<b>")
    assert "a &lt; b &amp; c" in text and "<title>&lt;b&gt;</title>" in text


# --- where the tube ends ------------------------------------------------------------------------


@each({str(shown): (shown,) for shown in LOOKS})
def test_each_path_ends_in_its_own_organ(shown: TubeLook) -> None:
    picture = drawn("body-tube", shown)
    stomach = points(picture.one("stomach")["d"])
    bowel = points(picture.one("bowel")["d"])
    tips = {part for part in picture.parts if part.startswith("tip-")}
    assert tips == {f"tip-{port}" for port in shown.ports}
    if "gastric" in shown.ports:
        assert inside(center(picture.one("tip-gastric")), stomach)
    if "jejunal" in shown.ports:
        tip = center(picture.one("tip-jejunal"))
        assert distance(tip, bowel) < BOWEL_WIDTH / 2 and not inside(tip, stomach)


@each({str(shown): (shown,) for shown in LOOKS})
def test_the_opening_is_over_the_organ_that_the_tube_enters(shown: TubeLook) -> None:
    picture = drawn("body-tube", shown)
    at = center(picture.one("opening"))
    stomach = points(picture.one("stomach")["d"])
    assert inside(at, stomach) == (shown.kind != "jejunostomy")


def test_the_stomach_lies_on_the_left_of_the_body() -> None:
    for direction in ("ltr", "rtl"):
        picture = drawn("body-tube", look(), direction)
        xs = [x for x, _ in points(picture.one("stomach")["d"])]
        middle = picture.size[0] / 2
        assert sum(xs) / len(xs) > middle  # seen from the front: the right side of the picture


@each({str(shown): (shown,) for shown in LOOKS})
def test_a_button_has_no_long_tube(shown: TubeLook) -> None:
    assert ("tube" in drawn("body-tube", shown).parts) is not shown.button


# --- the parts of the tube ----------------------------------------------------------------------


@each({str(shown): (shown,) for shown in LOOKS})
def test_only_parts_that_the_tube_has(shown: TubeLook) -> None:
    picture = drawn("tube-parts", shown)
    for part in ("balloon", "bumper", "stitches"):
        assert (part in picture.parts) is (shown.held_by == part)
    for part in ("never", "port-balloon"):
        assert (part in picture.parts) is shown.balloon
    for port in ("gastric", "jejunal"):
        assert (f"port-{port}" in picture.parts) is (port in shown.ports)
    assert ("disc" in picture.parts) is shown.outer_disc
    assert ("button" in picture.parts) is shown.button
    assert ("extension" in picture.parts) is shown.button
    assert ("mark-line" in picture.parts) is (shown.mark is not None)


@each({str(shown): (shown,) for shown in LOOKS})
def test_labels_of_parts_are_those_of_the_tube(shown: TubeLook) -> None:
    said = drawn("tube-parts", shown).words
    assert ("alloon" in said) is shown.balloon
    assert ("Bowel port" in said) is ("jejunal" in shown.ports)
    assert ("bumper" in said) is (shown.held_by == "bumper")
    assert ("titches" in said) is (shown.held_by == "stitches")
    assert ("disc" in said) is shown.outer_disc
    assert ("3.5" in said) is (shown.mark is not None)


# --- measures -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("low", "high"), [(30, 45), (30, 30), (45, 60), (35, 50)])
@pytest.mark.parametrize("infant", [False, True])
@pytest.mark.parametrize("child", [False, True])
def test_the_back_is_raised_to_the_angle(low: int, high: int, child: bool, infant: bool) -> None:
    picture = drawn("sitting", Angle(low, high, "bag", child, infant))
    (x1, y1), (x2, y2) = points(picture.one("back")["d"])
    degrees = math.degrees(math.atan2(y1 - y2, x1 - x2))
    assert degrees == pytest.approx((low + high) / 2, abs=0.2)
    head = center(picture.one("head"))
    assert head[1] < y1 - 40  # the head is well above the hips


def test_an_infant_is_held_on_an_arm() -> None:
    assert "arm" in drawn("sitting", Angle(30, 45, "bag", True, True)).parts
    assert "arm" not in drawn("sitting", Angle(30, 45, "bag", True)).parts


@pytest.mark.parametrize("count", [0, 1, 3, 8])
@pytest.mark.parametrize("limit", ["1", "2", "3"])
def test_as_many_skin_buttons_as_there_are(limit: str, count: int) -> None:
    picture = drawn("skin-look", Skin(Decimal(limit), count))
    middles = [center(e.attrib) for e in picture.named("skin-button")]
    assert len(middles) == count
    assert ("Skin buttons" in picture.words) is (count > 0)
    opening = center(picture.one("opening"))
    for number, at in enumerate(middles):
        assert math.dist(at, opening) > 30
        assert all(math.dist(at, other) > 14 for other in middles[number + 1 :])


@pytest.mark.parametrize("source", ["bag", "syringe"])
def test_the_feeding_comes_from_what_this_person_uses(source: str) -> None:
    parts = drawn("sitting", Angle(30, 45, source, False)).parts
    assert ("bag" in parts) is (source == "bag")
    assert ("barrel" in parts) is (source == "syringe")


@pytest.mark.parametrize("amounts", [("60", "15"), ("30",), ("20", "5"), ("7.5",), ("120", "60")])
def test_a_syringe_is_filled_in_proportion(amounts: tuple[str, ...]) -> None:
    shown = fills(*amounts)
    picture = drawn("flush-mark", shown)
    scale = scale_of(shown)
    heights = [float(e.attrib["height"]) + 1 for e in picture.named("fluid")]
    assert len(heights) == len(amounts)
    full = level_of(scale, scale)
    for amount, height in zip(shown.amounts, heights, strict=True):
        assert height / full == pytest.approx(float(min(amount, scale) / scale), abs=0.02)


@pytest.mark.parametrize(
    ("amounts", "numbers"),
    [(("60",), {"20", "40", "60"}), (("10", "5"), {"5", "10", "15", "20"})],
)
def test_the_scale_fits_the_amount(amounts: tuple[str, ...], numbers: set[str]) -> None:
    picture = drawn("flush-mark", fills(*amounts))
    assert {box.words for box in picture.boxes if box.part == "mark-number"} == numbers


def test_a_plunger_stands_where_water_is_pushed() -> None:
    assert "plunger" in drawn("flush-mark", fills("60", plunger=True)).parts
    assert "plunger" not in drawn("flush-mark", fills("60")).parts


@pytest.mark.parametrize("minutes", [60, 120, 240, 360, 480, 600])
def test_the_clock_shows_the_time_that_it_may_hang(minutes: int) -> None:
    picture = drawn("hang-clock", Hang((minutes,)))
    cx, cy = center(picture.one("face"))
    start, end = (points(e.attrib["d"]) for e in picture.named("hand"))
    angles = [math.degrees(math.atan2(p[1][0] - cx, cy - p[1][1])) % 360 for p in (start, end)]
    assert angles[0] == pytest.approx(0, abs=0.2)
    assert angles[1] == pytest.approx(minutes / 2 % 360, abs=0.3)


@pytest.mark.parametrize(("minutes", "times"), [(480, 1), (720, 1), (1080, 2), (1440, 2)])
def test_the_clock_goes_round_as_often_as_needed(minutes: int, times: int) -> None:
    assert len(drawn("hang-clock", Hang((minutes,))).named("sweep")) == times


@pytest.mark.parametrize("limit", ["1", "1.5", "2", "2.5"])
def test_the_limit_of_redness_has_its_true_size(limit: str) -> None:
    picture = drawn("skin-look", Skin(Decimal(limit)))
    opening, ring = picture.one("opening"), picture.one("limit")
    reach = float(ring["rx"]) - float(opening["r"])
    assert reach == pytest.approx(float(limit) * 72 / 2.54, abs=0.1)


@pytest.mark.parametrize("mark", ["3.5", "3", "10.5", "8"])
def test_numbers_at_the_skin_go_up_outwards(mark: str) -> None:
    shown = TubeLook("gastrostomy", "standard", "balloon", ("gastric",), True, Decimal(mark))
    picture = drawn("mark-check", shown)
    (own,) = [box for box in picture.boxes if box.part == "mark-number"]
    assert own.words == mark
    rows = sorted((box.bottom, float(box.words)) for box in picture.boxes if box.part == "number")
    values = [value for _, value in rows]
    assert values == sorted(values, reverse=True) and min(values) > float(mark)


def test_right_turns_with_the_clock_in_every_language() -> None:
    for direction in ("ltr", "rtl"):
        picture = drawn("twist-lock", Twist(), direction)
        sweeps = {
            name: re.search(r"A[\d.]+ [\d.]+ 0 \d (\d)", picture.one(f"turn-{name}")["d"])
            for name in ("close", "open")
        }
        assert {name: m and m[1] for name, m in sweeps.items()} == {"close": "1", "open": "0"}


def test_the_day_runs_from_left_to_right_in_minutes() -> None:
    shown = Day(300, (480, 1200), ((600, 840),), (480, 1700), (540,))
    picture = drawn("day-strip", shown)
    run, feeds = picture.one("run"), picture.named("feed")
    a = float(run["x"])
    scale = float(run["width"]) / 240
    middles = [float(e.attrib["x"]) + float(e.attrib["width"]) / 2 for e in feeds]
    assert middles == pytest.approx([a - 120 * scale, a + 600 * scale], abs=0.1)
    assert len(picture.named("water")) == 2
    assert len(picture.named("medicine")) == 1


def test_higher_is_drawn_higher_and_faster() -> None:
    picture = drawn("syringe-height", Raised(False))
    tops = [float(e.attrib["y"]) for e in picture.named("barrel")]
    assert tops[0] < tops[1]
    assert len(picture.named("speed")) == 4


def lines(part: str, picture: Picture) -> list[list[float]]:
    """Both ends of every straight line of a part: x, y, x, y."""
    return [[float(n) for n in re.findall(r"-?[\d.]+", e.attrib["d"])] for e in picture.named(part)]


def on(part: str, picture: Picture) -> list[tuple[float, float, float, float]]:
    """Left, top, right and bottom of every rectangle of a part."""
    boxes = [
        [float(e.attrib[key]) for key in ("x", "y", "width", "height")] for e in picture.named(part)
    ]
    return [(x, y, x + wide, y + high) for x, y, wide, high in boxes]


# Row mark-check of the clinical facts: the mark is the number on the tube at skin level.
@pytest.mark.parametrize("mark", ["3.5", "3", "10.5", "8.1", "3.9"])
@pytest.mark.parametrize("size", [18, 28])
def test_the_mark_stands_level_with_the_skin_and_the_disc_at_it(mark: str, size: float) -> None:
    shown = TubeLook("gastrostomy", "standard", "balloon", ("gastric",), True, Decimal(mark))
    picture = drawn("mark-check", shown, size=size)
    skin = {y for line in lines("skin", picture) for y in line[1::2]}
    (own,) = [box for box in picture.boxes if box.part == "mark-number"]
    assert len(skin) == 1 and own.top < min(skin) < own.bottom
    assert abs((own.top + own.bottom) / 2 - min(skin)) < size / 4
    assert all(0 < min(skin) - disc[3] <= 6 for disc in on("disc", picture))
    assert len(on("disc", picture)) == 2


@each({str(shown): (shown,) for shown in LONG})
def test_each_limb_has_its_clamp(shown: TubeLook) -> None:
    picture = drawn("tube-parts", shown)
    clamps = on("clamp", picture)
    assert len(clamps) == len(shown.ports)
    if len(shown.ports) > 1:
        for port, clamp in zip(shown.ports, clamps, strict=True):
            ((_, top, right, bottom),) = on(f"port-{port}", picture)
            assert clamp[1] < (top + bottom) / 2 < clamp[3] and 0 <= clamp[0] - right < 20


@each({f"{n} {one}": (n, one) for n in ("tube-parts", "mark-check") for one in LONG})
def test_the_line_to_the_mark_crosses_no_disc(name: str, shown: TubeLook) -> None:
    picture = drawn(name, shown)
    marks = [(line[0] + line[2]) / 2 for line in lines("mark-line", picture)]
    # The line that ends nearest to the mark.
    leaders = lines("leader", picture)
    x1, y1, x2, y2 = min(leaders, key=lambda line: min(abs(line[2] - x) for x in marks))
    for step in range(101):
        x, y = x1 + (x2 - x1) * step / 100, y1 + (y2 - y1) * step / 100
        for left, top, right, bottom in on("disc", picture):
            assert not (left - 1 <= x <= right + 1 and top - 1 <= y <= bottom + 1)
