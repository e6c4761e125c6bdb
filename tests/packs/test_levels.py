"""At which level a rule speaks, where the level depends on the order: a case of a rule can't say it.

Each row is one order as the facts of a case, the rule, and its level there; None where the rule is silent.
"""

from typing import Final

import pytest

from rxlint.packs import Case
from rxlint.packs.pack import Spot
from rxlint.screening.cases import screen_case
from rxlint.screening.ruleset import builtin_rules

_TUBE: Final = "interface tracheostomy cuffed; mode A/C-PC"
_MASK: Final = "interface nasal mask vented; mode S/T-PS; patient place of care home"
_WARD: Final = "interface oronasal mask vented; mode S/T-PS; patient place of care ward"
_OFF: Final = 'alarm apnoea off because "the patient triggers every breath"'
_TARGETED: Final = (
    "mode A/C-vtPC; PEEP 5 cmH2O; volume target 450 mL; maximum inspiratory pressure 30 cmH2O above ambient"
)
_MODELLED: Final = (
    "mode A/C-PC; rate 16 /min; inspiratory time 1.2 s; PEEP 5 cmH2O; inspiratory pressure 12 cmH2O above PEEP; "
    "patient compliance 60 mL/cmH2O; patient resistance 10 cmH2O/(L/s)"
)
_WINDOW: Final = (
    "mode A/C-vtPC; PEEP 5 cmH2O; volume target 600 mL; rate 15 /min; inspiratory time 1 s; "
    "patient compliance 50 mL/cmH2O; patient resistance 10 cmH2O/(L/s)"
)
_FLOW: Final = "mode high flow; gas flow 40 L/min; interface nasal prongs"
_CALL: Final = 'target SpO2 94 to 98 %; escalation call "weaning team" when SpO2 at least 94 %'
_VALVE: Final = "assembly ventilator, filter, tubing 180 cm, leak port, speaking valve, tracheostomy tube"
_OUTLET: Final = "assembly ventilator, HME filter 60 mL"
_SEEKING: Final = "mode A/C-vtPC; PEEP 5 cmH2O; volume target 450 mL; rate 16 /min; inspiratory time 1 s"
_ENDED: Final = "document review by 2026-10-01; document valid until 2026-10-01"
_HOME: Final = (
    "interface tracheostomy cuffed; patient place of care home; patient hours ventilated 24 h/day; "
    "equipment self-inflating bag, suction"
)
_NEWBORN: Final = "interface nasal prongs; mode A/C-PC; PEEP 5 cmH2O; patient age 3 days"
_PAUSED: Final = "mode A/C-VC; tidal volume 500 mL; inspiratory flow 60 L/min; inspiratory pause 0.2 s; rate 15 /min"
_LEAKING: Final = (
    "mode S/T-PS; IPAP 16 cmH2O; EPAP 4 cmH2O; back-up rate 16 /min; inspiratory time 1 s; limb single with leak port; "
    "leak port flow 34 L/min at 10 cmH2O; FiO2 28 %; target expired tidal volume 350 to 500 mL; oxygen cylinder 340 L; "
    "oxygen transfer 3 h"
)
_ROAD: Final = "patient place of care transfer; monitoring pulse oximeter"
_HIGH: Final = "alarm high inspiratory pressure"

LEVELS: Final[tuple[tuple[str, str | None, str], ...]] = (
    # the source lists a tube and more than 16 h a day by mask; 16 h themselves and four hours unaided are not in it
    ("alarms.missing", "reject", _TUBE),
    ("alarms.missing", "reject", f"{_MASK}; patient hours ventilated 16.5 h/day"),
    ("alarms.missing", "query", f"{_MASK}; patient hours ventilated 16 h/day"),
    ("alarms.missing", "query", f"{_MASK}; patient hours ventilated 10 h/day; patient unaided up to 3 h"),
    ("alarms.missing", "reject", f"{_MASK}; patient spontaneous breathing none"),
    ("alarms.missing", "query", _WARD),
    ("alarms.missing", "query", f"{_TUBE}; patient aim of care comfort"),
    ("alarms.missing", None, f"{_MASK}; patient hours ventilated 8 h/day; patient unaided up to 10 h"),
    ("alarms.off", "reject", f"{_TUBE}; {_OFF}"),
    ("alarms.off", "reject", f"{_MASK}; patient hours ventilated 16.5 h/day; {_OFF}"),
    ("alarms.off", "query", f"{_MASK}; patient hours ventilated 16 h/day; {_OFF}"),
    ("alarms.off", "query", f"{_WARD}; {_OFF}"),
    ("alarms.off", "query", f"{_WARD}; patient hours ventilated 8 h/day; patient unaided up to 10 h; {_OFF}"),
    # an alarm at the ceiling of a mode that looks for its pressure, or against a volume of a model, contradicts nothing
    ("alarms.crosses-setting", None, f"{_TARGETED}; {_HIGH} 30 cmH2O"),
    ("alarms.too-tight", "query", f"{_TARGETED}; {_HIGH} 30 cmH2O"),
    ("alarms.crosses-setting", "reject", f"{_TARGETED}; {_HIGH} 29 cmH2O"),
    ("alarms.crosses-setting", None, f"{_MODELLED}; alarm high tidal volume 600 mL; alarm high minute volume 9 L/min"),
    ("alarms.too-tight", "query", f"{_MODELLED}; alarm high tidal volume 600 mL"),
    ("alarms.too-tight", "query", f"{_MODELLED}; alarm high minute volume 9 L/min"),
    ("alarms.too-tight", "query", f"{_MODELLED}; alarm low tidal volume 650 mL"),
    ("alarms.crosses-setting", "reject", "mode A/C-VC; tidal volume 600 mL; alarm high tidal volume 600 mL"),
    ("alarms.crosses-setting", None, f"{_MODELLED}; alarm low inspiratory pressure 5 cmH2O"),
    ("alarms.low-pressure-at-peep", "query", f"{_MODELLED}; alarm low inspiratory pressure 5 cmH2O"),
    # an alarm that sounds does its work
    ("reading.in-alarm", "query", "reading SpO2 88 %; alarm low SpO2 90 %"),
    # a window that is none contradicts itself; one that a model calls too low leaves out the patient's effort
    ("pressure.target-window", "reject", f"{_WINDOW}; maximum inspiratory pressure 5 cmH2O above ambient"),
    ("pressure.target-window", "query", f"{_WINDOW}; maximum inspiratory pressure 15 cmH2O above ambient"),
    ("pressure.target-window", None, f"{_WINDOW}; maximum inspiratory pressure 20 cmH2O above ambient"),
    # two lines of one high flow
    ("oxygen.twice", None, f"{_FLOW}; FiO2 40 %; oxygen flow 10 L/min"),
    ("oxygen.twice", "reject", f"{_FLOW}; FiO2 50 %; oxygen flow 10 L/min"),
    ("oxygen.twice", "reject", "mode S/T-PS; FiO2 40 %; oxygen flow 10 L/min at ventilator inlet"),
    ("oxygen.fraction", None, "FiO2 20.9 %"),
    ("oxygen.fraction", "reject", "FiO2 20 %"),
    ("reading.off-setting", None, "mode CMV-VC; trigger flow; rate 15 /min; reading rate 17 /min"),
    ("reading.off-setting", "query", "mode CMV-VC; rate 15 /min; reading rate 17 /min"),
    ("escalation.due-as-wanted", None, f"{_CALL} for 24 h"),
    ("escalation.due-as-wanted", "reject", f"{_CALL} for 5 min"),
    # without an exchanger for the hours of a speaking valve
    ("humidity.missing", "query", f"{_TUBE}; humidification none; {_VALVE}"),
    ("humidity.missing", "reject", f"{_TUBE}; humidification none"),
    ("humidity.doubled", None, f"{_TUBE}; {_OUTLET}, heated humidifier, tubing 160 cm, Y-piece, tracheostomy tube"),
    ("circuit.order", "query", f"{_TUBE}; {_OUTLET}, heated humidifier, tubing 160 cm, Y-piece, tracheostomy tube"),
    (
        "humidity.doubled",
        "reject",
        f"{_TUBE}; assembly ventilator, heated humidifier, tubing 160 cm, Y-piece, HME 30 mL, tracheostomy tube",
    ),
    # a mode that looks for its volume, with an alarm for a ceiling and with none
    ("mode.setting-missing", None, f"{_SEEKING}; {_HIGH} 30 cmH2O"),
    ("mode.ceiling-by-alarm", "query", f"{_SEEKING}; {_HIGH} 30 cmH2O"),
    ("mode.setting-missing", "reject", _SEEKING),
    ("mode.ceiling-by-alarm", None, _SEEKING),
    ("mode.setting-missing", "reject", f'{_SEEKING}; {_HIGH} off because "it disturbs"'),
    ("mode.setting-missing", "reject", f"mode A/C-vtPC; PEEP 5 cmH2O; volume target 450 mL; {_HIGH} 30 cmH2O"),
    ("governance.expired", None, f"document status withdrawn; {_ENDED}"),
    ("governance.expired", "reject", f"document status active; {_ENDED}"),
    ("equipment.second-ventilator", None, f"mode high flow; gas flow 30 L/min; {_HOME}"),
    ("equipment.spare-circuit", None, f"mode high flow; gas flow 30 L/min; {_HOME}"),
    ("equipment.second-ventilator", "query", f"mode A/C-PC; {_HOME}"),
    ("equipment.spare-circuit", "query", f"mode A/C-PC; {_HOME}"),
    ("pressure.peak-high", None, f"{_NEWBORN}; inspiratory pressure 25 cmH2O above ambient"),
    ("pressure.peak-high", "query", f"{_NEWBORN}; inspiratory pressure 26 cmH2O above ambient"),
    # a flow that falls evenly to nothing fills the time; what is left over after that, nothing fills
    ("timing.flow-conflict", "query", f"{_PAUSED}; inspiratory time 1.2 s"),
    ("timing.flow-conflict", "reject", f"{_PAUSED}; inspiratory time 1.4 s"),
    ("timing.flow-conflict", "reject", f"{_PAUSED}; inspiratory time 0.5 s"),
    ("timing.flow-conflict", None, f"{_PAUSED}; inspiratory time 0.7 s"),
    # what is short because of the leak is told once, and not beside it as a margin of a need without the leak
    ("transport.oxygen-leak", "reject", _LEAKING),
    ("oxygen.supply-margin", None, _LEAKING),
    ("oxygen.supply-margin", "query", _LEAKING.replace("340 L", "500 L").replace("34 L/min", "10 L/min")),
    # by mask the bag is essential, and the monitor good practice
    ("transport.essentials", "query", f"{_ROAD}; interface nasal mask; mode S/T-PS; equipment self-inflating bag"),
    ("transport.essentials", "reject", f"{_ROAD}; interface nasal mask; mode S/T-PS; equipment suction"),
    ("transport.essentials", "reject", f"{_ROAD}; {_TUBE}; equipment self-inflating bag"),
)


@pytest.mark.parametrize(("rule", "level", "facts"), LEVELS)
def test_a_rule_speaks_at_the_level_that_the_order_warrants(rule: str, level: str | None, facts: str) -> None:
    case = Case("fires", facts, False, Spot(1, 1))
    findings = screen_case(case, builtin_rules()).findings
    unread = [each.message for each in findings if each.rule == "notation.not-understood"]
    assert unread == []
    assert {each.level for each in findings if each.rule == rule} == ({level} if level else set())
