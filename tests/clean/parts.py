"""The parts that orders share: who wrote them, the patient, what stands in the circuit, who is called."""

from __future__ import annotations

import datetime
from random import Random
from typing import Final

from tests.clean.order import DAY, Draft, moment, number
from tests.clean.people import Person
from tests.clean.sense import KPA

_CATHETERS: Final = (5, 6, 8, 10, 12, 14)


def head(draft: Draft, title: str, role: str) -> None:
    """The head: an acute order is reviewed within days, one for the home within months."""
    rng = draft.rng
    later = rng.randint(2, 7) if draft.acute else rng.randint(60, 150)
    top = f'prescription "{title}"'
    draft.put(top, "notation", "1")
    draft.put(top, "id", f"TM-{rng.randint(1000, 9999)}")
    draft.put(top, "revision", str(rng.randint(1, 6)))
    draft.put(top, "status", "active")
    draft.put(top, "written", f'{moment(draft.written)} by "{role}"')
    draft.put(top, "review by", (DAY + datetime.timedelta(days=later)).isoformat())


def patient(
    draft: Draft,
    indication: str,
    diagnosis: str,
    place: str,
    hours: int,
    *,
    retains: bool = False,
    effort: str = "present",
    secretions: str = "thin",
    unaided: int | None = None,
) -> None:
    """The patient: ``retains`` carbon dioxide, ``unaided`` for so many hours."""
    who = draft.person
    weighed = draft.written.date() - datetime.timedelta(days=0 if draft.acute else draft.rng.randint(0, 7))
    draft.put("patient", "age", who.age)
    if who.gestation:
        draft.put("patient", "gestation", who.gestation)
    if who.corrected:
        draft.put("patient", "corrected age", who.corrected)
    draft.put("patient", "sex", who.sex)
    draft.put("patient", "height", f"{number(who.height, 0.5)} cm")
    if who.span:
        draft.put("patient", "arm span", f"{number(who.span)} cm")
    draft.put("patient", "weight", f"{number(who.weight, 0.01)} kg measured {weighed.isoformat()}")
    draft.put("patient", "indication", f'"{indication}"')
    draft.put("patient", "diagnosis", diagnosis)
    if who.group != "newborn":
        draft.put("patient", "hypercapnia risk", "yes" if retains else "no")
    draft.put("patient", "place of care", place)
    draft.put("patient", "hours ventilated", f"{hours} h/day")
    if unaided is not None:
        draft.put("patient", "unaided up to", f"{unaided} h")
    draft.put("patient", "secretions", secretions)
    draft.put("patient", "spontaneous breathing", effort)


# ---- airway and circuit
def endotracheal_size(person: Person, rng: Random) -> tuple[float, bool]:
    """Inner diameter in mm and whether there is a cuff.

    By weight in newborns; WHO Pocket Book 2013 annex 3 in infants; in children age / 4 + 3.5 with a cuff (from memory).
    """
    if person.group == "newborn":
        return (2.5 if person.weight < 1 else 3.0 if person.weight < 2.5 else 3.5), False
    if person.group == "infant":
        return (3.0 if person.years < 0.5 else 3.5), True
    if person.group == "adult":
        return rng.choice((7.0, 7.5) if person.sex == "female" else (8.0, 8.5)), True
    return min(7.0, round((person.years / 4 + 3.5) * 2) / 2), True


def tracheostomy_size(person: Person) -> float:
    """Inner diameter in mm: somewhat smaller than the tube that the age formula gives."""
    if person.group == "adult":
        return 7.0 if person.sex == "female" else 8.0
    if person.group == "infant":
        return 3.5 if person.years < 0.5 else 4.0
    return min(6.5, round((person.years / 4 + 3.5) * 2) / 2)


def catheter(size: float, person: Person) -> str:
    """The widest suction catheter that leaves enough lumen free.

    Blakeman TC et al., Respir Care 2022;67:258-71: less than 50 % of the lumen in children and adults, less than 70 %
    in newborns; read as diameters in newborns, and with room to spare as diameters in all others.
    """
    most = 0.69 if person.group in ("newborn", "infant") else 0.55
    fitting = [french for french in _CATHETERS if french / 3 <= most * size]
    return f"suction catheter {max(fitting)} Fr"


def tube(draft: Draft, kind: str, size: float, cuffed: bool, section: str = "airway") -> None:
    """A tube with its cuff. 20 to 30 cmH2O keep a cuff tight and the mucosa alive (common teaching)."""
    draft.put(section, "interface", f"{kind} {'cuffed' if cuffed else 'uncuffed'}")
    draft.put(section, "tube size", f"{size:.1f} mm")
    if cuffed:
        draft.put(section, "cuff", "inflated")
        draft.put(section, "cuff pressure", "25 cmH2O" if draft.person.group == "adult" else "20 cmH2O")


def adapter(person: Person) -> float:
    """Dead space in mL of a CO2 adapter for this size of patient."""
    return {"newborn": 0.5, "infant": 2, "child": 4}.get(person.group, 5)


def exchanger(person: Person) -> float:
    """Dead space in mL of an exchanger: 10 to 30 mL in children (Crit Care Res Pract 2012:439267), more in adults."""
    return 35 if person.group == "adult" else 10 if person.kilograms < 20 else 15 if person.kilograms < 30 else 25


def dual_limb(draft: Draft, end: str, *, exchanged: bool = False, dry_gas: bool = False) -> float:
    """A circuit with two limbs; answers the dead space in mL beyond the Y-piece.

    Heated humidification unless an exchanger is asked for: Restrepo RD, Walsh BK, Respir Care 2012;57:782-8.
    """
    who = draft.person
    sensor = 0.8 if who.group == "newborn" else 0
    measured = f"flow sensor {number(sensor, 0.1)} mL, " if sensor else ""
    sampled = "" if dry_gas else f"CO2 adapter {number(adapter(who), 0.1)} mL, "
    between = f"HME {number(exchanger(who))} mL, " if exchanged else ""
    heated = "" if exchanged else "heated humidifier, "
    tubing = "tubing 150 cm" if who.group in ("newborn", "infant") else "tubing 160 cm"
    draft.put("circuit", "limb", "dual")
    near_patient = f"{measured}{between}{sampled}{end}"
    draft.put("circuit", "assembly", f"ventilator, filter, {heated}{tubing}, Y-piece, {near_patient}")
    draft.put("circuit", "expiratory limb", f"{tubing}, {'' if exchanged else 'water trap, '}filter")
    draft.put("circuit", "oxygen inlet", "capped")
    draft.put("circuit", "humidification", "HME" if exchanged else "heated humidifier")
    if not exchanged:
        draft.put("circuit", "humidifier temperature", "37 degC")
    return sensor + (0 if dry_gas else adapter(who)) + (exchanger(who) if exchanged else 0)


def single_limb(
    draft: Draft,
    limb: str,
    end: str,
    *,
    section: str = "circuit",
    port: int | None = None,
    heated: bool = True,
    exchanged: bool = False,
    sampled: bool = False,
    inlet: str = "capped",
    guarded: bool = False,
    temperature: int | None = None,
) -> float:
    """A circuit with one limb; answers the dead space in mL beyond valve or port.

    ``port`` is the flow in L/min at 10 cmH2O of a leak port in the circuit; a vented mask has its own.
    """
    who = draft.person
    parts = ["ventilator", "filter"]
    parts += ["heated humidifier"] if heated else []
    parts += ["tubing 180 cm"]
    parts += ["exhalation valve"] if limb.endswith("valve") else ["leak port"] if port else []
    parts += ["anti-asphyxia valve"] if guarded else []
    parts += [f"CO2 adapter {number(adapter(who), 0.1)} mL"] if sampled else []
    parts += [f"HME {number(exchanger(who))} mL"] if exchanged else []
    draft.put(section, "limb", limb)
    draft.put(section, "assembly", ", ".join([*parts, end]))
    if port:
        draft.put(section, "leak port flow", f"{port} L/min at 10 cmH2O")
    draft.put(section, "oxygen inlet", inlet)
    draft.put(section, "humidification", "heated humidifier" if heated else "HME" if exchanged else "none")
    if heated and temperature:
        draft.put(section, "humidifier temperature", f"{temperature} degC")
    return (adapter(who) if sampled else 0) + (exchanger(who) if exchanged else 0)


# ---- people
def called(draft: Draft, whom: str, *conditions: str) -> None:
    """Who is called when one of these conditions holds."""
    draft.put("escalation", "call", f'"{whom}" when {" or ".join(conditions)}')


def checked(draft: Draft, role: str, after: int = 0) -> None:
    """Somebody else checks the order after it was written (and after its readings, ``after`` minutes)."""
    at = draft.written + datetime.timedelta(minutes=after + draft.rng.randint(15, 90))
    draft.bare(f'checked {moment(at)} by "second checker, {role}"')


def bicarbonate_of(draft: Draft, carbon: float, retains: bool) -> float:
    """Bicarbonate in mmol/L: the kidneys have had time where carbon dioxide has long been high."""
    return draft.rng.uniform(23, 26) + (max(0, carbon / KPA - 40) * 0.35 if retains else 0)
