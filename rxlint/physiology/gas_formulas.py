"""Carbon dioxide, oxygenation, humidity and gas volumes for the registry, with the proofs of their directions.

Where nothing is said, the direction follows from the signs of sums, products and quotients of positives.
"""

from __future__ import annotations

from typing import Final

from rxlint.physiology import carbon_dioxide, humidity, oxygenation, suction
from rxlint.physiology.formula import Formula
from rxlint.units import FLOW, LENGTH, MASS, NUMBER, PRESSURE, RATE, TEMPERATURE, VOLUME, WEIGHT, Dimension

Argument = tuple[str, Dimension]

_RATE: Final[Argument] = ("rate", RATE)
_VT: Final[Argument] = ("tidal volume", VOLUME)
_VD: Final[Argument] = ("dead space", VOLUME)
_PACO2: Final[Argument] = ("PaCO2", PRESSURE)
_TARGET: Final[Argument] = ("target PaCO2", PRESSURE)
_VA: Final[Argument] = ("alveolar ventilation", FLOW)
_FIO2: Final[Argument] = ("FiO2", NUMBER)
_PB: Final[Argument] = ("barometric pressure", PRESSURE)
_R: Final[Argument] = ("respiratory quotient", NUMBER)
_PAO2: Final[Argument] = ("PaO2", PRESSURE)
_SPO2: Final[Argument] = ("SpO2", NUMBER)
_PMEAN: Final[Argument] = ("mean airway pressure", PRESSURE)
_T: Final[Argument] = ("temperature", TEMPERATURE)
_VOLUME: Final[Argument] = ("volume", VOLUME)
_CATHETER: Final[Argument] = ("catheter outer diameter", LENGTH)
_TUBE: Final[Argument] = ("tube inner diameter", LENGTH)

_DEAD: Final = (
    "from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients (Respir Care 2008;53:885-91)"
)
_MASS: Final = "mass balance of carbon dioxide in steady state: PaCO2 x alveolar ventilation stays the same"
_ALVEOLAR: Final = "alveolar gas equation, Fenn WO, Rahn H, Otis AB, Am J Physiol 1946;146:637-53 (from memory)"
_BERLIN: Final = "Ranieri VM et al., JAMA 2012;307:2526-33"
_PALICC: Final = "Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68"
_ROX: Final = "Roca O et al., J Crit Care 2016;35:200-5"
_MAGNUS: Final = "Magnus form, Guide to Meteorological Instruments and Methods of Observation, WMO-No. 8"
_IDEAL_GAS: Final = "ideal gas law; vapour pressure of 47 mmHg at 37 degrees C"
_SUCTION: Final = "geometry; Russian CJ et al., Respir Care 2014, doi 10.4187/respcare.02168"

_CARBON_DIOXIDE: Final = (
    Formula("anatomical dead space", (("weight", WEIGHT),), VOLUME, carbon_dioxide.anatomical_dead_space,
            "2.2 mL/kg x weight", _DEAD, "from memory", (1,)),
    Formula("alveolar ventilation", (_RATE, _VT, _VD), FLOW, carbon_dioxide.alveolar_ventilation,
            "rate x (Vt - VD)", "from the definition of alveolar ventilation", "derived", (1, 1, -1)),
    # With a = Vt - VD the quotient is 1 + d / (a - d), which falls with a and rises with d.
    Formula("rate for added dead space", (_RATE, _VT, _VD, ("added dead space", VOLUME)), RATE,
            carbon_dioxide.rate_for_added_dead_space, "rate x (Vt - VD) / (Vt - VD - added)", _MASS, "derived",
            (1, -1, 1, 1)),
    Formula("PaCO2 after a change of ventilation", (_PACO2, _VA, ("new alveolar ventilation", FLOW)), PRESSURE,
            carbon_dioxide.paco2_after, "PaCO2 x VA / new VA", _MASS, "derived", (1, 1, -1)),
    Formula("ventilation for a PaCO2", (("ventilation", FLOW), _PACO2, _TARGET), FLOW, carbon_dioxide.ventilation_for,
            "ventilation x PaCO2 / target PaCO2", _MASS, "derived", (1, 1, -1)),
    Formula("rate for a PaCO2", (_RATE, _PACO2, _TARGET), RATE, carbon_dioxide.rate_for,
            "rate x PaCO2 / target PaCO2", _MASS, "derived", (1, 1, -1)),
    # VD (1 - P1/P2) + Vt P1/P2: the sign of the first bracket depends on which tension is higher.
    Formula("tidal volume for a PaCO2", (_VT, _VD, _PACO2, _TARGET), VOLUME, carbon_dioxide.volume_for,
            "VD + (Vt - VD) x PaCO2 / target PaCO2", _MASS, "derived", (1, None, 1, -1)),
    Formula("PaCO2 of carbon dioxide output", (("carbon dioxide output", FLOW), _VA), PRESSURE,
            carbon_dioxide.paco2_of_output, "863 mmHg x VCO2 / VA", f"{_MASS}; 863 = 760 x 310.15 / 273.15",
            "published", (1, -1)),
)  # fmt: skip

_OXYGENATION: Final = (
    Formula("alveolar oxygen tension, short form", (_FIO2, _PB, _PACO2, _R), PRESSURE, oxygenation.alveolar_oxygen,
            "FiO2 x (PB - 47 mmHg) - PaCO2 / R", _ALVEOLAR, "published", (1, 1, -1, 1)),
    # PaCO2: the factor (1 - F (1 - R)) / R is above zero. R: it is (1 - F) / R + F, which does not rise. FiO2:
    # PB - 47 + PaCO2 (1 - R) / R, above zero for R up to 1; for R up to 1.3 the loss is at most 0.3 PaCO2 / R, while
    # PaCO2 / R < PB - 47 wherever oxygen is left, the factor of PaCO2 there being at least 1 / R.
    Formula("alveolar oxygen tension, full form", (_FIO2, _PB, _PACO2, _R), PRESSURE, oxygenation.alveolar_oxygen_full,
            "FiO2 x (PB - 47 mmHg) - PaCO2 x (1 - FiO2 x (1 - R)) / R", _ALVEOLAR, "published", (1, 1, -1, 1)),
    Formula("ratio of PaO2 to FiO2", (_PAO2, _FIO2), PRESSURE, oxygenation.pf_ratio, "PaO2 / FiO2", _BERLIN,
            "published", (1, -1)),
    Formula("ratio of SpO2 to FiO2", (_SPO2, _FIO2), NUMBER, oxygenation.sf_ratio, "SpO2 (%) / FiO2", _PALICC,
            "published", (1, -1)),
    Formula("oxygenation index", (_PMEAN, _FIO2, _PAO2), NUMBER, oxygenation.oxygenation_index,
            "mean airway pressure (cmH2O) x FiO2 x 100 / PaO2 (mmHg)", _PALICC, "published", (1, 1, -1)),
    Formula("oxygen saturation index", (_PMEAN, _FIO2, _SPO2), NUMBER, oxygenation.saturation_index,
            "mean airway pressure (cmH2O) x FiO2 x 100 / SpO2 (%), up to 97 %", _PALICC, "published", (1, 1, -1)),
    Formula("ROX index", (_SPO2, _FIO2, _RATE), NUMBER, oxygenation.rox_index, "SpO2 (%) / FiO2 / rate (/min)", _ROX,
            "published", (1, -1, -1)),
)  # fmt: skip

_HUMIDITY: Final = (
    # The exponent is 17.62 (1 - 243.12 / (243.12 + t)).
    Formula("saturated vapour pressure", (_T,), PRESSURE, humidity.saturated_vapour_pressure,
            "6.112 hPa x e^(17.62 t / (243.12 + t))", _MAGNUS, "published", (1,)),
    # The logarithm of the pressure rises by 17.62 x 243.12 / (243.12 + t)^2, at least 0.046 per degree up to 60, that
    # of the absolute temperature by at most 1/273.
    Formula("saturated humidity", (_T,), MASS / VOLUME, humidity.saturated_humidity,
            "18.015 g/mol / 8.314 J/(mol K) x vapour pressure / (273.15 + t)", f"ideal gas law; {_MAGNUS}", "derived",
            (1,)),
    Formula("relative humidity", (("absolute humidity", MASS / VOLUME), _T), NUMBER, humidity.relative_humidity,
            "absolute humidity / saturated humidity", f"ideal gas law; {_MAGNUS}", "derived", (1, -1)),
    # PB: (PB - e) / (PB - 47) = 1 + (47 - e) / (PB - 47), where e, up to 37 degrees C, is at most 47 mmHg.
    Formula("body volume of saturated gas", (_VOLUME, _T, _PB), VOLUME, humidity.body_volume_of_saturated,
            "V x (PB - vapour pressure) / (PB - 47 mmHg) x 310.15 / (273.15 + t)", f"{_IDEAL_GAS}; {_MAGNUS}",
            "derived", (1, -1, -1)),
    Formula("body volume of dry gas", (_VOLUME, _T, _PB), VOLUME, humidity.body_volume_of_dry,
            "V x PB / (PB - 47 mmHg) x 310.15 / (273.15 + t)", _IDEAL_GAS, "derived", (1, -1, -1)),
    Formula("standard volume of body gas", (_VOLUME, _PB), VOLUME, humidity.standard_volume_of_body,
            "V x 273.15 / 310.15 x (PB - 47 mmHg) / 760 mmHg", _IDEAL_GAS, "derived", (1, 1)),
    Formula("suction catheter diameter ratio", (_CATHETER, _TUBE), NUMBER, suction.catheter_diameter_ratio,
            "catheter outer diameter / tube inner diameter", _SUCTION, "published", (1, -1)),
    Formula("suction catheter area ratio", (_CATHETER, _TUBE), NUMBER, suction.catheter_area_ratio,
            "(catheter outer diameter / tube inner diameter)^2", _SUCTION, "published", (1, -1)),
)  # fmt: skip

GAS_FORMULAS: Final = (*_CARBON_DIOXIDE, *_OXYGENATION, *_HUMIDITY)
