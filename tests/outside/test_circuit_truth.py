"""Which circuits let breath out once, and which never or twice: every limb with every mask, with and without a port.

Read: Open Critical Care, FAQ "What mask type is needed to do NIV?" (opencriticalcare.org): without an active
exhalation valve a vented mask or a vented circuit must be used; with a dual limb, or a single one with an active
valve, a mask without a vent. Read: eCampusOntario open textbook, chapter 4.7 "NIV Machines and Interfaces": on a dual
limb neither a vent nor an anti-asphyxia valve. What the two do not say - two openings in one circuit, a leak port
beside a valve, the anti-asphyxia valve of a leak circuit - is common practice, no published source, and marked so.
"""

from functools import cache
from itertools import product
from typing import NamedTuple

import pytest

from rxlint.packs.builtin import builtin_packs
from rxlint.screening.case_text import document_of
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet, prepare
from tests.documents import screen

LEAK = "single with leak port"
VALVE = "single with exhalation valve"
DUAL = "dual"

NO_WAY_OUT = "neither a leak port nor a valve nor a vented mask lets breath out"
TWO = "one of them is enough"
VENTED_MASK = "a vented mask stands in a circuit that must be closed"
LEAK_PORT = "a leak port stands in a circuit that must be closed"

SINGLE = "Open Critical Care FAQ: without an active valve a vented mask or a vented circuit"
CLOSED = "Open Critical Care FAQ: with an active valve or two limbs a mask without a vent"
TEXTBOOK = "eCampusOntario 4.7: on a dual limb no vent or leak in the mask or the circuit is needed"
PRACTICE = "common practice, no published source"


class Row(NamedTuple):
    limb: str
    vented: bool
    port: bool
    says: tuple[str, ...]
    """What has to be told; nothing where the combination is sound."""
    source: str


TRUTH = [
    Row(LEAK, True, False, (), SINGLE),
    Row(LEAK, False, True, (), SINGLE),
    Row(LEAK, False, False, (NO_WAY_OUT,), SINGLE),
    Row(LEAK, True, True, (TWO,), PRACTICE),
    Row(VALVE, False, False, (), CLOSED),
    Row(VALVE, True, False, (VENTED_MASK,), CLOSED),
    Row(VALVE, True, True, (VENTED_MASK, LEAK_PORT), CLOSED),
    Row(VALVE, False, True, (LEAK_PORT,), PRACTICE),
    Row(DUAL, False, False, (), CLOSED),
    Row(DUAL, True, False, (VENTED_MASK,), CLOSED),
    Row(DUAL, True, True, (VENTED_MASK, LEAK_PORT), CLOSED),
    Row(DUAL, False, True, (LEAK_PORT,), TEXTBOOK),
]

NOSE = ("nasal mask", "nasal pillows")
NOSE_AND_MOUTH = ("oronasal mask", "total face mask")
MASKS = (*NOSE, *NOSE_AND_MOUTH)
TUBES = {"tracheostomy cuffed": "tracheostomy tube", "endotracheal tube cuffed": "endotracheal tube"}


@cache
def circuit_rules() -> RuleSet:
    return prepare([pack for pack in builtin_packs() if pack.name in ("notation", "circuit")])


def told(order: str) -> list[Finding]:
    return list(screen(document_of(order), circuit_rules()).findings)


def messages(order: str) -> list[str]:
    return sorted(each.message for each in told(order))


def circuit(limb: str, end: str, port: bool, *, valve: bool = True, safety: bool = False) -> str:
    """Limb and assembly from ventilator to patient, with the limb's own valve or Y-piece."""
    parts = ["ventilator", "filter", "tubing 160 cm"]
    if valve:
        parts += {LEAK: [], VALVE: ["exhalation valve"], DUAL: ["Y-piece"]}[limb]
    parts += ["leak port"] if port else []
    parts += ["anti-asphyxia valve"] if safety else []
    back = "; expiratory limb tubing 160 cm, filter" if limb == DUAL else ""
    return f"mode A/C-PC; limb {limb}; assembly {', '.join([*parts, end])}{back}"


def masked(row: Row, mask: str, *, safety: bool) -> str:
    vent = "vented" if row.vented else "non-vented"
    return circuit(row.limb, mask, row.port, safety=safety) + f"; interface {mask} {vent}"


def needs_safety(row: Row, mask: str) -> bool:
    """A mask over nose and mouth on a leak circuit has an anti-asphyxia valve: common practice, no published source."""
    return row.limb == LEAK and mask in NOSE_AND_MOUTH


def test_the_table_has_every_combination_once() -> None:
    told_of = [(row.limb, row.vented, row.port) for row in TRUTH]
    assert sorted(told_of) == sorted(product((LEAK, VALVE, DUAL), (True, False), (True, False)))


@pytest.mark.parametrize("mask", MASKS)
@pytest.mark.parametrize("row", TRUTH, ids=lambda row: f"{row.limb}-{row.vented}-{row.port}")
def test_masks(row: Row, mask: str) -> None:
    found = messages(masked(row, mask, safety=needs_safety(row, mask)))
    assert len(found) == len(row.says), found
    for part in row.says:
        assert sum(part in message for message in found) == 1, found


@pytest.mark.parametrize(
    "row", [row for row in TRUTH if row.says], ids=lambda row: f"{row.limb}-{row.vented}-{row.port}"
)
def test_what_the_sources_say_rejects_and_what_practice_says_asks(row: Row) -> None:
    levels = {each.level for each in told(masked(row, "nasal mask", safety=False))}
    # Two openings are a question; a leak port beside a valve is told as strictly as what the sources say of the mask.
    assert levels == ({"query"} if TWO in row.says else {"reject"})


@pytest.mark.parametrize("mask", NOSE_AND_MOUTH)
@pytest.mark.parametrize("row", [row for row in TRUTH if not row.says], ids=lambda row: f"{row.limb}-{row.vented}")
def test_anti_asphyxia_valve(row: Row, mask: str) -> None:
    without = messages(masked(row, mask, safety=False))
    having = messages(masked(row, mask, safety=True))
    if row.limb == LEAK:  # common practice, no published source
        assert (len(without), having) == (1, [])
        assert "no anti-asphyxia valve is listed" in without[0]
    elif row.limb == DUAL:  # eCampusOntario 4.7: the mask must not have one
        assert (without, len(having)) == ([], 1)
        assert "an anti-asphyxia valve stands in a dual-limb circuit" in having[0]
    else:  # nothing is published of a single limb with its own valve
        assert (without, having) == ([], [])


@pytest.mark.parametrize("interface", TUBES)
@pytest.mark.parametrize("port", [True, False])
@pytest.mark.parametrize("limb", [LEAK, VALVE, DUAL])
def test_tubes(limb: str, port: bool, interface: str) -> None:
    # A tube has no vent: the rows of a mask that is not vented hold for it (common practice, no published source).
    (row,) = [each for each in TRUTH if (each.limb, each.vented, each.port) == (limb, False, port)]
    found = messages(circuit(limb, TUBES[interface], port) + f"; interface {interface}")
    assert len(found) == len(row.says), found
    assert all(part in message for part, message in zip(row.says, found, strict=True))


@pytest.mark.parametrize("mask", MASKS)
def test_a_valve_that_is_not_listed_is_no_way_out(mask: str) -> None:
    order = circuit(VALVE, mask, port=False, valve=False) + f"; interface {mask} non-vented"
    assert [each.rule for each in told(order)] == ["circuit.no-exhalation-path"]


@pytest.mark.parametrize("mask", MASKS)
def test_two_ports_in_a_row_are_two_openings(mask: str) -> None:
    safety = mask in NOSE_AND_MOUTH
    order = circuit(LEAK, "leak port", port=True, safety=safety) + f", {mask}; interface {mask} non-vented"
    (message,) = messages(order)
    assert message == "2 leak ports stand in one circuit; one is enough"


@pytest.mark.parametrize("mask", MASKS)
def test_a_vent_that_nobody_told(mask: str) -> None:
    # On one tube without a port the vent is the only way out: whether it is there has to be asked.
    order = circuit(LEAK, mask, port=False, safety=mask in NOSE_AND_MOUTH) + f"; interface {mask}"
    assert [each.rule for each in told(order)] == ["circuit.vent-unstated"]
