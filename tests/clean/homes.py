"""Long-term: tracheostomies at home, mouthpieces by day, weaning on the ward and in intensive care."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Final

from tests.clean import parts, people, sense
from tests.clean.intensive import WATCHED
from tests.clean.lung import Breath, Lung, pressure_for, steady
from tests.clean.order import Draft, Order, near, number
from tests.clean.parts import called
from tests.clean.settings import Plan, settings, suits
from tests.clean.watching import Watch, alarms, at_home, beside_a_tube, listed

_LINE: Final = '"ventilator breakdown line, open day and night"'
_VALVE: Final = "single with exhalation valve"
_LEAK: Final = "single with leak port"


def child_tracheostomy(rng: Random) -> Order:
    """A child at home with a tracheostomy, asleep on the ventilator or day and night."""
    early = rng.random() < 0.25
    if early:
        who, what = people.infant(rng, (7, 11), early=True, thin=0.4), "early"
    elif rng.random() < 0.25:
        who, what = people.infant(rng, (5, 11)), "central"
    else:
        who = people.child(rng, (1, 14), thin=0.3)
        what = rng.choice(("weak", "weak", "central"))
    why, diagnosis = {
        "early": ("lung disease after birth at 26 weeks", "chronic lung disease of infancy"),
        "central": ("congenital central hypoventilation, breathes well awake", "central hypoventilation"),
        "weak": ("congenital myopathy, weak breathing", "neuromuscular"),
    }[what]
    hours = 24 if what == "weak" and rng.random() < 0.3 else rng.choice((12, 14))
    draft, size = Draft(rng, who, acute=False), parts.tracheostomy_size(who)
    cuffed = who.years > 6 and rng.random() < 0.4
    each = rng.uniform(0.5, 0.65) if what == "early" else rng.uniform(0.8, 1.05)
    resist = 28 if who.group == "infant" else 16 if who.years < 6 else 10
    lung = Lung(each * who.weight, resist, resist * (1.5 if what == "early" else 1.2))
    rate = 26 if who.group == "infant" else 22 if who.years < 4 else 20 if who.years < 9 else 16
    time = near(rng.uniform(*suits(who)), 0.05 if who.group == "infant" else 0.1)
    pressure = near(pressure_for(lung, Breath(5, rate, time), rng.uniform(7, 8.2) * who.weight))
    mode = rng.choice(("A/C-PC", "SIMV-PC with PS"))
    plan = Plan(
        mode, 5, rate, time, pressure=pressure, support=pressure if "PS" in mode else None, rise=100,
        leaking=not cuffed, longest=(0, time + 0.3) if "PS" in mode else None,
    )  # fmt: skip
    parts.head(draft, f"Support by tracheostomy at home, {who.group}", "consultant, children's home ventilation")
    unaided = None if hours == 24 else 24 - hours
    parts.patient(draft, why, diagnosis, "home", hours, unaided=unaided if unaided is not None else 0)
    parts.tube(draft, "tracheostomy", size, cuffed)
    depends = hours >= 16
    dead = parts.single_limb(
        draft, _VALVE if depends or rng.random() < 0.5 else _LEAK, "tracheostomy tube", temperature=37, sampled=True,
        inlet="in use" if what == "early" else "capped", port=None,
    )  # fmt: skip
    leaking = _as_leak(draft, rng)
    settings(draft, plan, "settings" if hours == 24 else "settings asleep")
    if what == "early":
        draft.put("oxygen", "flow", f"{number(rng.choice((0.25, 0.5, 1)), 0.05)} L/min at ventilator inlet")
    draft.put("oxygen", "pre-oxygenation", "100 % for 30 s before suction")
    saturation = (92, 97) if what == "early" else (94, 98)
    watch = Watch(saturation, what == "early", size, (4.7, 6.5), end=not leaking)
    breaths = (plan.breath(), *((plan.supported(2, rate + 4, time),) if plan.support else ()))
    claim = sense.Claim(
        who.weight, lung, breaths, replace(sense.CHILD_HEALTHY, volume=(5.5, 9.5), co2=(4.2, 6.8)), dead,
        5.5 if who.years < 2 else 4.5 if who.years < 8 else 3.5, wasted=0.25 if what == "early" else 0.2,
    )  # fmt: skip
    held = alarms(draft, claim, watch)
    draft.put("targets", "expired tidal volume", "6 to 9 mL/kg of measured weight")
    draft.put("targets", "SpO2", f"{saturation[0]} to {saturation[1]} %")
    draft.put("targets", "EtCO2", "4.7 to 6.5 kPa")
    watchers = ["pulse oximeter", "capnograph", *(["cuff pressure gauge"] if cuffed else [])]
    listed(draft, "monitoring", [*watchers, "expired volume monitor"])
    low = f"SpO2 below {saturation[0] - 2} % for 2 min"
    called(draft, "on-call home ventilation team", low, "EtCO2 above 7.5 kPa for 5 min")
    draft.put("escalation", "call", _LINE)
    listed(draft, "equipment", at_home(who, size))
    parts.checked(draft, "children's pharmacy")
    return Order(f"child, tracheostomy at home, {what}", draft.text(), held)


def _as_leak(draft: Draft, rng: Random) -> bool:
    """Put the port into a circuit that was drawn with one; answers whether it was."""
    if not draft.says("circuit", "limb", _LEAK):
        return False
    draft.change("circuit", "assembly", "tubing 180 cm, ", "tubing 180 cm, leak port, ")
    draft.put("circuit", "leak port flow", f"{rng.randint(18, 24)} L/min at 10 cmH2O")
    return True


def adult_tracheostomy(rng: Random) -> Order:
    """An adult at home who depends on the ventilator day and night."""
    who = people.adult(rng, (20, 74), (18, 28))
    draft, size = Draft(rng, who, acute=False), parts.tracheostomy_size(who)
    lung = Lung(rng.uniform(38, 50), rng.uniform(8, 10), rng.uniform(9, 12))
    rate, time, peep = rng.randint(12, 15), rng.choice((1.1, 1.2, 1.3)), 5
    volume = near(rng.uniform(7.5, 9) * who.predicted, 10)
    mode = rng.choice(("A/C-VC", "A/C-PC"))
    plan = Plan(mode, peep, rate, time, rates=(rate, rate + 2))
    if mode == "A/C-VC":
        plan = replace(plan, volume=volume)
    else:
        plan = replace(plan, pressure=near(pressure_for(lung, plan.breath(pressure=1), volume)))
    parts.head(draft, "Support day and night by tracheostomy, adult", "consultant nurse, home ventilation")
    why = rng.choice(("motor neurone disease", "high spinal injury"))
    parts.patient(draft, why, "neuromuscular", "home", 24, effort="weak", unaided=0)
    parts.tube(draft, "tracheostomy", size, cuffed=True)
    kinds = (("night from 22:00 to 08:00", True), ("day from 08:00 to 22:00", False))
    dead = 0.0
    if rng.random() < 0.5 and volume * (rate + 2) < 9500:  # an exchanger up to 10 L/min: AARC 2012, alpfmedical.info
        for period, heated in kinds:
            dead = parts.single_limb(
                draft, _VALVE, "tracheostomy tube", section=f"circuit {period}", heated=heated, exchanged=not heated,
                temperature=37,
            )  # fmt: skip
    elif rng.random() < 0.7:
        dead = parts.single_limb(draft, _VALVE, "tracheostomy tube", temperature=37)
    else:
        dead = parts.dual_limb(draft, "tracheostomy tube", dry_gas=True)
    settings(draft, plan)
    draft.put("oxygen", "pre-oxygenation", "100 % for 30 s before suction")
    watch = Watch((94, 98), False, size)
    breaths = (plan.breath(), plan.breath(rate=rate + 2))
    limits = replace(sense.SUPPORTED, plateau=30, driving=20, co2=(3.6, 6.5))
    held = alarms(draft, sense.Claim(who.predicted, lung, breaths, limits, dead, 2.8, wasted=0.25), watch)
    draft.put("targets", "expired tidal volume", "7 to 10 mL/kg of predicted weight")
    draft.put("targets", "SpO2", "94 to 98 %")
    draft.put("targets", "PaCO2", "4.5 to 6 kPa")
    gauges = ("cuff pressure gauge", "expired volume monitor")
    listed(draft, "monitoring", ["pulse oximeter", "transcutaneous CO2", *gauges])
    draft.put("escalation", "call", '"home ventilation nurse on call" when SpO2 below 92 % for 5 min')
    draft.put("escalation", "call", _LINE)
    listed(draft, "equipment", [*at_home(who, size), "insufflation-exsufflation device"])
    parts.checked(draft, rng.choice(("physiotherapy", "pharmacy")))
    return Order("adult, tracheostomy at home", draft.text(), held)


def mouthpiece(rng: Random) -> Order:
    """A mouthpiece by day and a mask at night: breaths are taken when wanted, and stacked."""
    who = people.adult(rng, (18, 60), (17, 26)) if rng.random() < 0.6 else people.child(rng, (12, 17), thin=0.5)
    draft = Draft(rng, who, acute=False)
    kilograms = who.kilograms
    lung = Lung(rng.uniform(0.65, 0.85) * kilograms, rng.uniform(5, 7), rng.uniform(6, 8))
    day_volume = near(rng.uniform(9, 11) * kilograms, 10)
    rate, time = rng.randint(14, 16), 1.2
    pressure = near(pressure_for(lung, Breath(5, rate + 2, time, effort=1), 8 * kilograms))
    night = Plan("S/T-PS", 5, rate, time, pressure=pressure, rise=200, leaking=True, longest=(0.8, 1.5))
    day = Plan("A/C-VC", 0, 12, 1.2, volume=day_volume)
    if rng.random() < 0.4:
        day = Plan("A/C-PC", 0, 12, 1.2, pressure=near(pressure_for(lung, Breath(0, 12, 1.2), day_volume)))
    parts.head(draft, "Mouthpiece by day and mask at night", "consultant nurse, home ventilation")
    parts.patient(draft, "muscular dystrophy, tired by the afternoon", "neuromuscular", "home", 14, unaided=6)
    draft.put("airway night", "interface", "nasal mask vented")
    draft.put("airway as needed", "interface", "mouthpiece")
    parts.single_limb(draft, _LEAK, "nasal mask", section="circuit night")
    parts.single_limb(draft, _VALVE, "mouthpiece", section="circuit as needed", heated=False)
    settings(draft, night, "settings night from 22:00 to 07:00")
    settings(draft, day, "settings as needed up to 5 h/day")
    sleeping = (night.breath(1, rate + 2),)
    watch = Watch((94, 98), False, delay=15, end=False)
    asleep = sense.Claim(
        kilograms, lung, sleeping, sense.SUPPORTED, kilograms, 3.2, airways=2.2, wasted=0.2, timed=night.breath()
    )
    held = alarms(draft, asleep, watch, "alarms night")
    waking = sense.Claim(kilograms, lung, (day.breath(),), sense.STACKED, 0, 3, airways=2.2)
    # breaths are stacked on one another, so there is room above a single one
    stacked = near(max(30, steady(lung, day.breath()).peak + 15))
    draft.put("alarms as needed", "high inspiratory pressure", f"{number(stacked)} cmH2O")
    draft.put("alarms as needed", "power loss", "on")
    for term, reason in (
        ("disconnection", "the mouthpiece leaves the lips between breaths"),
        ("apnoea", "breaths are taken when wanted"),
        ("low minute volume", "breaths are taken when wanted"),
        ("low SpO2", "awake with a carer; the oximeter is worn at night"),
    ):
        draft.put("alarms as needed", term, f'off because "{reason}"')
    draft.put("targets", "SpO2", "94 to 98 %")
    draft.put("targets", "PaCO2", "4.7 to 6 kPa")
    listed(draft, "monitoring night", ["pulse oximeter", "leak monitor", "transcutaneous CO2"])
    draft.put("escalation", "call", '"home ventilation nurse on call" when SpO2 below 92 % for 10 min')
    draft.put("escalation", "call", _LINE)
    gear = ("self-inflating bag", "mask", "suction", "insufflation-exsufflation device")
    listed(draft, "equipment", [*gear, "spare mask", "spare circuit", "battery 9 h"])
    parts.checked(draft, "physiotherapy")
    return Order("mouthpiece and mask, home", draft.text(), replace(held, also=waking))


def weaning(rng: Random) -> Order:
    """Weaning by tracheostomy: supported by day, controlled at night, time off on a tracheostomy mask."""
    who = people.adult(rng, (28, 80), (20, 30))
    draft, size = Draft(rng, who, acute=True), parts.tracheostomy_size(who)
    lung = Lung(rng.uniform(42, 56), rng.uniform(8, 10), rng.uniform(9, 12))
    rate, time, peep = rng.randint(13, 16), rng.choice((1.0, 1.1)), rng.choice((5, 6))
    volume = rng.uniform(6.6, 7.6) * who.predicted
    pressure = near(pressure_for(lung, Breath(peep, rate, time), volume))
    support = max(5.0, near(pressure_for(lung, Breath(peep, 18, time, effort=3), volume)))
    fractions = (25, 25, 35)
    night = Plan("A/C-PC", peep, rate, time, pressure=pressure, fraction=fractions)
    day = Plan("CSV-PS", peep, rate, time, support=support, fraction=fractions)
    parts.head(draft, "Weaning by tracheostomy, adult", "consultant, intensive care")
    place = rng.choice(("intensive care", "ward"))
    parts.patient(draft, "weak after a long critical illness", "neuromuscular", place, 23)
    parts.tube(draft, "tracheostomy", size, cuffed=True)
    dead = parts.dual_limb(draft, "tracheostomy tube")
    settings(draft, night, "settings night from 22:00 to 07:00")
    settings(draft, day, "settings day from 07:00 to 22:00")
    back = "back-up after apnoea 15 s day"
    draft.put(back, "inspiratory pressure", f"{number(pressure)} cmH2O above PEEP")
    draft.put(back, "rate", f"{rate} /min")
    draft.put(back, "inspiratory time", f"{number(time, 0.1)} s")
    draft.put("oxygen", "pre-oxygenation", "100 % for 60 s before suction")
    breaths = (night.breath(), day.supported(3, 18, time))
    watch = Watch((94, 98), True, size, (4.7, 6), (25, 35))
    held = alarms(draft, sense.Claim(who.predicted, lung, breaths, sense.HEALTHY, dead, 3.3, wasted=0.28), watch)
    draft.put("targets", "expired tidal volume", "6 to 8 mL/kg of predicted weight")
    draft.put("targets", "SpO2", "94 to 98 %")
    draft.put("targets", "EtCO2", "4.7 to 6 kPa")
    draft.put("off ventilator day", "", "30 min 2 times/day on tracheostomy mask")
    draft.put("off ventilator day", "extend", "by 30 min every day up to 4 h")
    tired = "spontaneous rate above 30 /min for 5 min or heart rate above 120 /min for 5 min"
    draft.put("off ventilator day", "stop when", f"{tired} or SpO2 below 92 % for 2 min")
    draft.put("off ventilator day", "return to", "day")
    listed(draft, "monitoring", [*WATCHED, "cuff pressure gauge"])
    draft.put("escalation", "gases", "at 4 h and 12 h")
    called(draft, "intensive care consultant", "SpO2 below 92 % for 5 min", "EtCO2 above 7 kPa for 10 min")
    listed(draft, "equipment", beside_a_tube(who, size, tracheostomy=True))
    parts.checked(draft, "physiotherapy")
    return Order("adult, weaning", draft.text(), held)
