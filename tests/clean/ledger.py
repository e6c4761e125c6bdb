"""What was mended in the generator because a rule spoke, and which findings stay because the order is sound."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Decision = Literal["not consistent", "left out", "false alarm", "right as a note"]


@dataclass(frozen=True)
class Entry:
    """Rules that spoke, what was decided, what was changed or is proposed, and the clinical source."""

    rules: tuple[str, ...]
    decided: Decision
    what: str
    source: str


_TEACHING: Final = "learn.rnshicu.org, alarm settings and management; eCampusOntario textbook on mechanical ventilators"

_MENDED: Final = (
    Entry(
        ("alarms.crosses-setting",),
        "not consistent",
        "The low pressure alarm stood above the least pressure that a volume-targeted mode may use. Both ends of that "
        "range are now counted among the pressures that breaths reach.",
        f"An alarm lies below what is expected: {_TEACHING}",
    ),
    Entry(
        ("alarms.low-minute-volume", "alarms.minute-volume-for-target"),
        "not consistent",
        "The alarm was 60 % of the least volume, in steps of 0.5 L/min, and by mask of what a breathless patient "
        "breathes. It is now 65 % of what is set, or of what the back-up rate gives, rounded down; volumes aimed at "
        "were narrowed to 1 mL/kg either way.",
        f"2 to 3 L/min below what is current: {_TEACHING}",
    ),
    Entry(
        ("alarms.too-tight", "alarms.too-wide"),
        "not consistent",
        "Low minute volumes were those of distress, not of rest; high ones twice what occurs, now 5 L/min above. High "
        "pressures had no cap, and 40 cmH2O stood over a mouthpiece's breaths of 12. Low pressures left out supported "
        "breaths, or stood 1 cmH2O above PEEP. What still speaks is told below.",
        _TEACHING,
    ),
    Entry(
        ("alarms.unsaid",),
        "left out",
        "CPAP at home had an oximeter and nothing about its alarm; now the alarm is ordered.",
        "O'Driscoll BR et al., Thorax 2017;72 Suppl 1:ii1-90: saturation has a range, and leaving it calls somebody",
    ),
    Entry(
        ("escalation.missing",),
        "left out",
        "CPAP of newborns did not say what follows where it fails; now it does, and less oxygen is allowed before.",
        "European consensus on respiratory distress syndrome (from memory: surfactant above 30 % oxygen on CPAP)",
    ),
    Entry(
        ("patient.age-coarse",),
        "left out",
        "Ages under two years are written in months.",
        "WHO Child Growth Standards 2006: a girl's median weight rises by a third in the second year",
    ),
    Entry(
        ("timing.no-maximum-inspiration",),
        "left out",
        "Supported breaths through an uncuffed tube had no longest inspiration; now they have one.",
        "Moerer O et al., Respir Care 2016;61:15-22: breaths end by a fall of flow, which a leak holds up",
    ),
    Entry(
        ("reading.in-alarm", "reading.outside-target", "reading.no-effort"),
        "not consistent",
        "Readings came from the model and targets from the kind of order, and they did not always fit. An order whose "
        "settings do not reach the end-tidal carbon dioxide aimed at is now thrown away; whoever breathes adds breaths "
        "to the rate that is read. Doubtful: an hour after mask support begins, a pH of 7.33 under an aim of "
        "7.35 is no fault of the order, and was taken out all the same.",
        "PaCO2 = 0.863 x production / alveolar ventilation; Davidson AC et al., Thorax 2016;71 Suppl 2:ii1-35",
    ),
    Entry(
        ("titration.no-progress",),
        "not consistent",
        "Mask orders whose IPAP stood at its upper end could still be raised; the line is now written only where there "
        "is room. What still speaks is told below.",
        "nothing is left to raise",
    ),
    Entry(
        ("volume.dead-space",),
        "not consistent",
        "A CO2 adapter stood beside the flow sensor under 2 kg: now transcutaneous CO2 alone. An exchanger of 25 mL "
        "was given to children from 20 kg on, now from 30 kg.",
        "Crit Care Res Pract 2012:439267 (10 to 30 mL); Respir Care Clin N Am 2006;12:321-36",
    ),
    Entry(
        ("humidity.exchanger-unsuitable",),
        "not consistent",
        "An exchanger by day met 10.05 L/min; now it is used only where all that is allowed stays under 10 L/min.",
        "alpfmedical.info, key messages on humidification; Crit Care Med 1988;16:277-9",
    ),
    Entry(
        ("pressure.supported-breaths-differ",),
        "left out",
        "At home, support stood 2 cmH2O below mandatory breaths for no stated reason; now both reach the same. In "
        "newborns it was 80 % by nobody's authority; now it is half. What still speaks is told below.",
        "Reyes ZC et al., Pediatrics 2006;118:1409-17 (from memory: support of 30 to 50 % of the mandatory pressure)",
    ),
)

_STAYING: Final = (
    Entry(
        ("alarms.against-target",),
        "false alarm",
        "The alarm stands 10 above the peak as it is taught, and below the end of a plateau 'up to 30', which is a "
        "limit and no aim. Proposed: where the target has only an upper end, ask nothing where the alarm lies above "
        "the peak of all that is allowed; keep the question for a window with two ends.",
        f"ARDS Network, N Engl J Med 2000;342:1301-8 (plateau up to 30 as a ceiling); {_TEACHING} (10 above the peak)",
    ),
    Entry(
        ("titration.no-progress", "titration.step-size"),
        "false alarm",
        "Oxygen stands at the lower end of what is allowed; one line raises it and another lowers it again. The rules "
        "counted from the value that is set alone, so the way back seemed to lead nowhere, or to be too short for a "
        "step. They were mended: a way back to what is set counts from the end of the line that goes the other way.",
        "O'Driscoll BR et al., Thorax 2017;72 Suppl 1:ii1-90: oxygen is raised and lowered to keep within the range",
    ),
    Entry(
        ("humidity.missing", "circuit.unstated"),
        "false alarm",
        "The circuit is told for the night (heated) and for the day (exchanger), and these windows fill the clock. The "
        "rules speak for a time outside both, which does not exist. Proposed: drop the period without a name where the "
        "named windows of a term leave no minute of the day.",
        "Restrepo RD, Walsh BK, Respir Care 2012;57:782-8: gas through a tube is humidified, and here it always is",
    ),
    Entry(
        ("timing.inspiration-for-age",),
        "false alarm",
        "Children by mask with 30 to 38 % of the back-up cycle as inspiration. Proposed: for two-level modes by mask, "
        "let the upper end be the larger of the age's and 40 % of the back-up cycle.",
        "Berry RB et al., J Clin Sleep Med 2010;6:491-509 (30 to 40 % of the cycle; the share is from memory)",
    ),
    Entry(
        ("target.unusual",),
        "false alarm",
        "A plateau of up to 30 mbar is asked about as 30.59 cmH2O; whoever works in mbar writes 30. Proposed: let "
        "published limits of pressure hold as the same number in cmH2O, mbar and hPa, 2 % apart.",
        "ARDS Network, N Engl J Med 2000;342:1301-8; 1 mbar = 1.0197 cmH2O (NIST SP 811)",
    ),
    Entry(
        ("pressure.supported-breaths-differ", "pressure.reference-slip"),
        "false alarm",
        "Support of an adult 2 cmH2O below the mandatory breaths, both written above PEEP: the reason for asking, that "
        "one line moves with PEEP and the other does not, cannot hold here. Support of a newborn at half, which by "
        "chance is PEEP lower, is taken for a slip of reference. Proposed: ask about small gaps only where the "
        "inspiratory pressure is above ambient; the chance hit is the price of finding the slip, and may stay.",
        "Reyes ZC et al., Pediatrics 2006;118:1409-17 (from memory); that breaths must be equal has no source",
    ),
    Entry(
        ("alarms.too-tight",),
        "false alarm",
        "A curved spine: the size is counted by the height although the arm span is stated, so the patient seems 10 kg "
        "smaller. Proposed: where an arm span is stated and the chest wall is the diagnosis, count by the arm span. In "
        "children of ten, 0.21 L/min/kg as a high minute volume is asked about as close to rest, which is 0.13 here. "
        "Proposed: let the limit fall with age as the resting volume does.",
        "arm span for height in deformity of the spine: Miller MR et al., Eur Respir J 2005;26:319-38 (from memory)",
    ),
    Entry(
        ("pressure.support-weaning",),
        "right as a note",
        "It says how the order is read, and that is how it is meant.",
        "common practice",
    ),
)

ENTRIES: Final[tuple[Entry, ...]] = (*_MENDED, *_STAYING)
