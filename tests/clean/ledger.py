"""What was mended in the generator because a rule spoke, what in the rules for the order is sound, and what stays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Decision = Literal["not consistent", "left out", "rule mended", "false alarm, stays", "right as a note"]


@dataclass(frozen=True)
class Entry:
    """Rules that spoke, what was decided, what was changed or why it stays, and the clinical source."""

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

_SOUND: Final = (
    Entry(
        ("alarms.against-target",),
        "rule mended",
        "The alarm stands 10 above the peak as it is taught, and below the end of a plateau 'up to 30', which is a "
        "limit and no aim. The rule now asks only where the plateau aimed at has two ends. That an alarm stands too "
        "close to the peak, or leaves a volume-controlled breath no room, is still asked by alarms.crosses-setting and "
        "alarms.too-tight.",
        f"ARDS Network, N Engl J Med 2000;342:1301-8 (plateau up to 30 as a ceiling); {_TEACHING} (10 above the peak)",
    ),
    Entry(
        ("titration.no-progress", "titration.step-size"),
        "rule mended",
        "Oxygen stands at the lower end of what is allowed; one line raises it and another lowers it again. The rules "
        "counted from the value that is set alone, so the way back seemed to lead nowhere, or to be too short for a "
        "step. Now a way back to what is set counts from the end of the line that goes the other way.",
        "O'Driscoll BR et al., Thorax 2017;72 Suppl 1:ii1-90: oxygen is raised and lowered to keep within the range",
    ),
    Entry(
        ("humidity.missing", "circuit.unstated"),
        "rule mended",
        "The circuit is told for the night (heated) and for the day (exchanger), and these windows fill the clock. The "
        "rules spoke for a time outside both, which does not exist. Now sections without a name are no period of their "
        "own where named ones fill the day: by their hours (a gap of one minute is a manner of writing, two are a gap) "
        "or as night and day, asleep and awake. Where every named period replaces one of their lines they still are, "
        "or nobody would ask about that line.",
        "Restrepo RD, Walsh BK, Respir Care 2012;57:782-8: gas through a tube is humidified, and here it always is",
    ),
    Entry(
        ("timing.inspiration-for-age",),
        "rule mended",
        "Children by mask with 30 to 38 % of the back-up cycle as inspiration. For S/T by mask the upper end is now "
        "the larger of the age's and 40 % of the cycle, and no more than an adolescent's 1.5 s.",
        "Berry RB et al., J Clin Sleep Med 2010;6:491-509 (30 to 40 % of the cycle; the share is from memory)",
    ),
    Entry(
        ("target.unusual",),
        "rule mended",
        "A plateau of up to 30 mbar was asked about as 30.59 cmH2O; whoever works in mbar writes 30. Limits of plateau "
        "and driving pressure aimed at now have the 2 % that the pressure pack has had for what is set.",
        "ARDS Network, N Engl J Med 2000;342:1301-8; 1 mbar = 1.0197 cmH2O (NIST SP 811)",
    ),
    Entry(
        ("pressure.supported-breaths-differ",),
        "rule mended",
        "Support of an adult 2 cmH2O below the mandatory breaths, both written above PEEP: the reason for asking, that "
        "one line moves with PEEP and the other does not, cannot hold here. Small gaps are now asked about where the "
        "inspiratory pressure is above ambient; support above the mandatory breaths always is.",
        "Reyes ZC et al., Pediatrics 2006;118:1409-17 (from memory); that breaths must be equal has no source",
    ),
    Entry(
        ("pressure.reference-slip", "pressure.supported-breaths-differ"),
        "false alarm, stays",
        "Support of a newborn at half, which by chance is PEEP lower than the mandatory breaths, is taken for a number "
        "that slipped from one reference into the other. Where the mandatory breath rises by no more than 6 cmH2O and "
        "is written above ambient, weaned support lies within 2 cmH2O of it, as it does after PEEP was changed alone. "
        "Nothing in the order tells these apart: that it is asked is the price of finding the slip.",
        "Reyes ZC et al., Pediatrics 2006;118:1409-17 (from memory: support of 30 to 50 % of the mandatory pressure)",
    ),
    Entry(
        ("alarms.too-tight",),
        "rule mended",
        "A curved spine: the size was counted by the height although the arm span is stated, so the patient seemed 10 "
        "kg smaller. Predicted weight now goes by the arm span where the chest wall is the diagnosis, or where no "
        "height is stated, in all rules. In children of ten, 0.21 L/min/kg as a high minute volume was asked about as "
        "close to rest, which is 0.13 here. The limit now falls: 0.22 under 6 years, 0.2 under 9, 0.18 under 12.",
        "Acta Orthop Scand 1978;49:469-74 (abstract: arm span for height in scoliosis); Respir Physiol 1981, doi "
        "10.1016/0034-5687(81)90069-4 (abstract: at rest the rate falls until 13 years, the volume per kg does not)",
    ),
    Entry(
        ("pressure.support-weaning",),
        "right as a note",
        "It says how the order is read, and that is how it is meant.",
        "common practice",
    ),
)

ENTRIES: Final[tuple[Entry, ...]] = (*_MENDED, *_SOUND)
