"""All kinds of slips, in the order of the table."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from tests.slips import slips_alarms as alarms
from tests.slips import slips_circuit as circuit
from tests.slips import slips_lines as lines
from tests.slips import slips_numbers as numbers
from tests.slips import slips_order as order
from tests.slips import slips_patient as patient
from tests.slips import slips_settings as settings
from tests.slips.sheet import Sheet, Slip


@dataclass(frozen=True)
class Kind:
    """A kind of slip: what it is called, and how it is made wherever it applies."""

    name: str
    make: Callable[[Sheet], Iterable[Slip]]
    templates: bool = True
    """Whether it is made in templates too: not where a template says what its prescriptions say as well, and not where
    a range is torn open, for then a screening takes seconds."""


KINDS: Final = (
    Kind("number tenfold", numbers.tenfold_up, False),
    Kind("number a tenth", numbers.tenfold_down, False),
    Kind("two digits swapped", numbers.digits_swapped, False),
    Kind("reading tenfold or a tenth", numbers.reading_tenfold),
    Kind("two digits of a reading swapped", numbers.reading_digits),
    Kind("bleed-in flow tenfold or a tenth", numbers.bleed_in_tenfold),
    Kind("a digit of the rate lost", numbers.rate_digit_lost, False),
    Kind("kPa or mmHg for cmH2O", numbers.unit_of_pressure, False),
    Kind("mmHg for kPa", numbers.unit_of_tension, False),
    Kind("unit of volume swapped", numbers.unit_of_volume, False),
    Kind("unit of flow swapped", numbers.unit_of_flow, False),
    Kind("unit of time swapped", numbers.unit_of_time, False),
    Kind("unit of weight or height swapped", numbers.unit_of_body, False),
    Kind("percent for fraction", numbers.percent_for_fraction),
    Kind("wrong weight basis", numbers.weight_basis),
    Kind("weight basis lost", numbers.weight_basis_lost),
    Kind("pressure reference swapped", numbers.reference_swapped),
    Kind("pressure reference lost", numbers.reference_lost),
    Kind("line lost", lines.line_lost),
    Kind("row of a table lost", lines.row_lost),
    Kind("line doubled", lines.line_doubled, False),
    Kind("line under the next heading", lines.line_under_next_heading, False),
    Kind("heading lost", lines.heading_lost, False),
    Kind("PEEP or EPAP raised alone", settings.baseline_raised),
    Kind("PEEP or EPAP lowered alone", settings.baseline_lowered),
    Kind("relation struck out, PEEP moved", settings.keep_lost_and_baseline_moved),
    Kind("relation altered", settings.relation_altered),
    Kind("pressure support changed alone", settings.support_changed),
    Kind("two pressures exchanged", settings.levels_swapped),
    Kind("two settings exchanged", settings.lines_exchanged),
    Kind("two times exchanged", settings.times_swapped),
    Kind("I:E reversed", settings.ratio_reversed),
    Kind("rate changed, times kept", settings.ratio_left, False),
    Kind("inspiratory time of another patient", settings.time_of_another, False),
    Kind("volume of another patient", settings.volume_of_another),
    Kind("mode changed alone", settings.mode_changed),
    Kind("trigger changed alone", settings.trigger_lost),
    Kind("set outside what may be set", settings.allowed_left_behind),
    Kind("low and high limit swapped", alarms.limits_swapped),
    Kind("two delays swapped", alarms.delays_swapped),
    Kind("limits of two alarms exchanged", alarms.neighbours_swapped),
    Kind("alarm left behind by a pressure", alarms.alarm_left_pressure),
    Kind("alarm left behind by a volume or rate", alarms.alarm_left_volume),
    Kind("alarm limit of another patient", alarms.alarm_of_another),
    Kind("saturation alarm of another group", alarms.alarm_of_saturation),
    Kind("alarm switched off", alarms.alarm_off, False),
    Kind("interface changed alone", circuit.interface_changed),
    Kind("mask vent swapped", circuit.mask_vent_swapped),
    Kind("cuff changed alone", circuit.cuff_changed),
    Kind("limb changed alone", circuit.limb_changed),
    Kind("humidification changed alone", circuit.humidification_changed),
    Kind("oxygen inlet changed alone", circuit.inlet_changed),
    Kind("part lost", circuit.part_lost, False),
    Kind("part doubled", circuit.part_doubled, False),
    Kind("neighbouring parts exchanged", circuit.parts_exchanged, False),
    Kind("filter moved", circuit.filter_moved, False),
    Kind("exchanger or humidifier moved", circuit.exchanger_moved, False),
    Kind("port or valve moved", circuit.valve_moved, False),
    Kind("exchanger added", circuit.exchanger_added, False),
    Kind("equipment or monitor left out", circuit.equipment_lost, False),
    Kind("height and weight swapped", patient.height_weight_swapped),
    Kind("unit of age swapped", patient.age_unit),
    Kind("sex swapped", patient.sex_swapped),
    Kind("weight of another date", patient.weight_of_another_date),
    Kind("weight of another patient", patient.weight_of_another),
    Kind("height of another patient", patient.height_of_another),
    Kind("risk or effort of another patient", patient.diagnosis_of_another),
    Kind("place of care of another order", patient.place_of_another),
    Kind("tube size of another patient", patient.tube_of_another),
    Kind("sign-off before writing", order.sign_off_before_writing),
    Kind("review in the past", order.review_in_the_past),
    Kind("written or approved on a wrong date", order.written_wrong_date),
    Kind("readings of a wrong date", order.reading_wrong_date),
    Kind("window of a period shortened", order.window_shortened),
    Kind("window by half a day wrong", order.window_half_a_day),
    Kind("window of a period shifted", order.window_shifted),
    Kind("name of a period misspelt", order.period_misspelt),
    Kind("smaller cylinder", order.cylinder_smaller),
    Kind("transfer longer", order.transfer_longer),
    Kind("reserve lost", order.reserve_lost),
    Kind("oxygen target of another group", order.oxygen_target_of_another),
    Kind("target of another patient", order.target_of_another),
    Kind("step without limit", order.step_without_limit),
    Kind("step without condition", order.step_without_condition),
    Kind("step limit too far out", order.step_beyond),
    Kind("step reversed", order.step_reversed),
    Kind("step tenfold or a tenth", order.step_tenfold),
    Kind("condition tenfold or a tenth", order.condition_tenfold, False),
    Kind("condition reversed", order.condition_reversed, False),
    Kind("time off longer", order.time_off_longer),
)  # fmt: skip
