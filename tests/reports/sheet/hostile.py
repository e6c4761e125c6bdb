"""A library in which every text that may hold anything holds an attack, each with a name of its own."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final

LONG: Final = "W" * 260
"""A word that fits no column of a page, and no line of a telephone."""
_ATTACK: Final = (
    "<script>window.pwned=1;alert(1)</script><img src=x onerror=window.pwned=2><img src=http://outside.example/x>"
    "</title></style></td></table>]]><b>&lt;i&gt;&#60;'\"`{{7*7}}${7*7} javascript:window.pwned=3 "
    "<a href=javascript:window.pwned=4>\\9 "
)
_HIDDEN: Final = "\u202edlrow\u2069\u200b\x1b[31m\x07"
"""What turns text round, hides, or acts on a terminal. A line that holds it is not read."""
_NAME: Final = "<img src=x onerror=pwned=1>&lt;'\"{{7*7}}\u202eredlof"  # no slash: that would be two folders
_UNSEEN: Final = re.compile("[\x00-\x1f\x7f\u200b\u202e\u2066-\u2069]")

QUOTED: Final = (
    "title", "writer", "indication", "ventilator", "off", "call", "ceiling", "reason", "acceptor", "checker"
)  # fmt: skip
"""The texts of the order that stand in quotation marks."""
BARE: Final = ("comment", "part", "trailer", "term", "line", "heading", "signature")
"""What is written where it is no text: a comment, and lines that are not to be read, or not whole."""
OF_POLICY: Final = ("source", "because")
OF_PROFILE: Final = ("mode", "setting", "alarm", "ask")


def attack(name: str) -> str:
    """The attack that stands in one place, which its name tells. It is one line."""
    return f"{name}-attack {_ATTACK}{'' if name in QUOTED else _HIDDEN}{LONG}"


def escaped(name: str) -> str:
    """The attack that stands in quotation marks, as it is written between them."""
    return attack(name).replace("\\", "\\\\").replace('"', '\\"')


def seen(text: str) -> str:
    """A text as a reader is to see it, white space left out: what is hidden or acts stands there as its code point."""
    return re.sub(r"\s+", "", _UNSEEN.sub(lambda match: f"<U+{ord(match.group()):04X}>", text))


def folder_name() -> str:
    """The name of the folder of orders."""
    return f"folder {_NAME}"


def file_name() -> str:
    """The name of the order's file."""
    return f"file {_NAME}.vrx"


def order() -> str:
    """An order that can be read, with an attack in every text."""
    quoted = {name: f'"{escaped(name)}"' for name in QUOTED}
    by = quoted["acceptor"]
    return f"""# {attack("comment")}
prescription {quoted["title"]}
  id        TM-1
  revision  1
  written   2026-11-02 09:30 by {quoted["writer"]}
patient
  age         54 years
  sex         male
  height      178 cm
  weight      81 kg measured 2026-10-30
  indication  {quoted["indication"]}
airway
  interface  endotracheal tube cuffed
circuit
  ventilator  {quoted["ventilator"]}
  limb        dual
  assembly    ventilator, filter, tubing 160 cm, Y-piece, endotracheal tube
settings
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  17 cmH2O above ambient
  rate                  20 /min
  inspiratory time      1 s
alarms
  apnoea                     off because {quoted["off"]}
  high inspiratory pressure  16 cmH2O
escalation
  call {quoted["call"]} when SpO2 below 90 %
  ceiling {quoted["ceiling"]}
accepted
  accept alarms.crosses-setting on high inspiratory pressure until 2027-01-12 because {quoted["reason"]} by {by}
checked 2026-11-02 16:05 by {quoted["checker"]}
"""


def spoilt() -> str:
    """An order with lines that can't be read for the attacks in them."""
    bare = {name: attack(name) for name in BARE}
    return f"""# {bare["comment"]}
prescription
  id        TM-2
circuit
  assembly  ventilator, filter, {bare["part"]}
settings
  PEEP  5 cmH2O
  {bare["term"]}  12
  FiO2  40 % {bare["trailer"]}
{bare["line"]}
settings {bare["heading"]}
  rate  12 /min
checked {bare["signature"]}
"""


def _policy() -> str:
    # JSON is YAML, with every character that acts written as its number
    return f"""pack: hostile-policy
revision: 1
summary: {json.dumps(attack("summary"))}
uses: [notation, relation, patient, mode, pressure, timing]
limits:
  - id: site.peep
    of: PEEP
    allow: 8 to 10 cmH2O
    when: interface is endotracheal tube
    level: query
    source: {json.dumps(attack("source"))}
    because: {json.dumps(attack("because"))}
"""


def _profile() -> str:
    names = {name: json.dumps(attack(name)) for name in OF_PROFILE}
    return f"""profile: Crook
revision: 1
summary: {json.dumps(attack("summary"))}
limbs: {{dual: two hoses}}
modes: {{A/C-PC: {names["mode"]}}}
settings:
  - {{setting: PEEP, name: {names["setting"]}, unit: cmH2O, range: 0 to 30, step: 1}}
alarms:
  - {{alarm: apnoea, name: {names["alarm"]}, unit: s, range: 5 to 60, step: 5}}
must be set:
  - {{name: shape, ask: {names["ask"]}, modes: [A/C-PC]}}
"""


def library(top: Path) -> Path:
    """Write the library; the folder of its orders."""
    top.mkdir()
    (top / "rxlint.yaml").write_text("policies: [policy.yaml]\nprofiles: [profile.yaml]\n", "utf-8")
    (top / "policy.yaml").write_text(_policy(), "utf-8")
    (top / "profile.yaml").write_text(_profile(), "utf-8")
    folder = top / folder_name()
    folder.mkdir()
    (folder / file_name()).write_text(order(), "utf-8")
    (folder / "spoilt.vrx").write_text(spoilt(), "utf-8")
    (folder / "no text.vrx").write_bytes(attack("bytes").encode("utf-8") + b"\xff\n")
    return folder
