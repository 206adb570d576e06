"""Commented starter patient files, one a tube kind, made from one template.

The starter loads only once every line marked `<…>` is filled in: a blank that is forgotten is
refused by the loader with its line, never printed.
"""

from __future__ import annotations

from plainleaf.vocabulary import terms

_HEAD = """\
# A patient file for plainleaf. Fill in every <...>, take out lines that do not apply.
# Amounts carry their unit (60 mL, 75 mL/h, 18 Fr). Dates: 2026-03-04. Times: "18:00", clinic time.
# Then run:  plainleaf review THIS-FILE    and:  plainleaf build THIS-FILE --out FOLDER
patient:
  name: <name>
  born: <year-month-day>
  record_number: <record number>
  weight: <weight with kg or lb>       # a child needs one
  # conditions: [diabetes]             # any of: {conditions}
  by_mouth: <nothing, sips or full>
  language: en                         # language tag of the take-home handout
  # print_size: 22 pt                  # print of the family's pages: 14, 18, 22 or 28 pt

learners:                              # everyone who is taught and signs
  - {{name: <name>, relation: self, language: en, hands_on: true}}
  # hands_on: true for everyone who gives care at home; a child needs two

# interpreter: {{language: es, mode: video, id: "<number>"}}     # mode: in person, video or phone

other_lines: <[] for none, or a list>  # any other line or tube, as in [PICC]
"""

_TUBE = """
tube:
  kind: {kind}
  build: <standard or low-profile>
  held_by: <{held}>
  placed: <year-month-day hour:minute> # when this tube went in
  # opening_made: <year-month-day>     # if the opening is older than this tube
  placed_by: <endoscopy, radiology or surgery>
  size: <size with Fr>
  mark_at_skin: <mark with cm>         # long tubes; a button has length: instead
  skin_buttons: <0 or how many>        # stitched buttons round the opening
  # balloon_fill: <water with mL>      # a balloon needs it
  ports:                               # what each port is for
{ports}
"""

_FEEDS = {
    "gastric": """
feeding:
  - method: <syringe or gravity>
    through: gastric
    formula:
      name: <formula, its kind and strength>
      energy: <energy with kcal/mL>
      water: <water with %>
      container: <size with mL>
      system: <open, closed or powder>
    amount: <amount with mL>
    # over: 30 min                     # gravity needs it
    times: <list of times, as in ["08:00"]>
""",
    "jejunal": """
feeding:
  - method: pump                       # into the jejunum only a pump
    through: jejunal
    formula:
      name: <formula, its kind and strength>
      energy: <energy with kcal/mL>
      water: <water with %>
      container: <size with mL>
      system: <open, closed or powder>
    rate: <rate with mL/h>
    starts: <hour:minute>
    runs_for: <time with h>
""",
}

_TAIL = """
water:
  before_feed: <amount with mL>
  after_feed: <amount with mL>
  # every: 4 h                         # during a pump feeding, with each: 30 mL
  medicine: <amount with mL>           # before, between and after medicines
  daily: <amount with mL>              # when a port is otherwise not used
  # goal: 1700 mL                      # per day, from the dietitian
  # limit: 2000 mL                     # most fluid in a day, if the doctor set one

medicines:                             # form as on the label; times: ["09:00"] or as needed
  - {{name: <medicine>, form: <form>, dose: <dose with unit>, times: "<times>", through: {port}}}

# if_feeding_stops: <the plan>         # needed with insulin or a sugar-lowering medicine

contacts:
  clinic: {{name: <clinic>, phone: "<number>", hours: "<days and hours>"}}
  after_hours: {{name: <who answers>, phone: "<number>"}}
  # supplies: {{name: <company>, phone: "<number>"}}
  emergency: {{phone: "911"}}

# visits:
#   - {{what: First tube check, when: 2026-03-18 09:00, where: <where>}}

prepared: {{by: "<your name and credential>", on: <year-month-day hour:minute>}}

# accepted:                            # findings that a licensed person has looked at
#   - {{finding: <id from review>, by: <name and credential>, reason: <why>, on: <year-month-day>}}
"""

_PORTS = {
    "gastrostomy": "    gastric: [feeding, medicines, venting]",
    "jejunostomy": "    jejunal: [feeding, medicines]",
    "gastrojejunostomy": "    gastric: [medicines, venting]\n    jejunal: [feeding]",
}
_HELD = {
    "gastrostomy": "balloon, bumper or stitches",
    "jejunostomy": "stitches, balloon or bumper",
    "gastrojejunostomy": "balloon or bumper",
}


def starter(kind: str) -> str:
    """A commented starter file for a tube kind of `terms.TUBE_KINDS`."""
    gastric = kind == "gastrostomy"
    return (
        _HEAD.format(conditions=", ".join(terms.CONDITIONS))
        + _TUBE.format(kind=kind, held=_HELD[kind], ports=_PORTS[kind])
        + _FEEDS["gastric" if gastric else "jejunal"]
        + _TAIL.format(port="jejunal" if kind == "jejunostomy" else "gastric")
    )
