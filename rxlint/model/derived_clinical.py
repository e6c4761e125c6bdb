"""Derived terms of growth, dead space, gas exchange, leak, oxygen and humidity: see ``derived`` for what a derived term is.

On a circuit that leaks, what dilutes or uses oxygen is the breath and the leak together: those terms are found only where the leak port's flow is stated, never by leaving
the leak out.
"""

from __future__ import annotations

from typing import Final

from rxlint.model.derivation import Derived, Way

CLINICAL: Final[tuple[Derived, ...]] = (
    Derived(
        'growth age', 'months', 'age that growth charts are read at: corrected for preterm birth where that is stated',
        (
            Way('patient corrected age', 'definition'),
            # Before term no chart is read: a newborn of 34 weeks is not a small newborn.
            Way('if (patient gestation < 37 weeks and patient age < 24 months) then (patient age + patient gestation - 40 weeks) else (patient age)', 'definition of the corrected age, counted from 40 weeks; up to 2 years: common practice, no published source'),
            Way('patient age', 'definition'),
        ), plain=True,
    ),
    Derived(
        'median weight for age', 'kg', '50th centile of weight for age',
        (
            Way('if (patient sex is male) then (median weight for age, male of (growth age)) else (median weight for age, female of (growth age))', 'methods compared in Ward SL et al., Pediatr Crit Care Med 2018;19:e643-52; medians of the 2000 CDC growth charts'),
        ), basis='ideal weight',
    ),
    Derived(
        'weight of median BMI', 'kg', 'weight that gives the height the 50th centile of BMI for age (2 years and up)',
        (
            Way('if (patient sex is male) then (weight of median BMI, male of (patient height, growth age)) else (weight of median BMI, female of (patient height, growth age))', 'methods compared in Ward SL et al., Pediatr Crit Care Med 2018;19:e643-52; medians of the 2000 CDC growth charts'),
        ), basis='ideal weight',
    ),
    Derived(
        'weight of height age', 'kg', '50th centile of weight at the age whose median height it is (McLaren)',
        (
            Way('if (patient sex is male) then (weight of height age, male of (patient height)) else (weight of height age, female of (patient height))', 'methods compared in Ward SL et al., Pediatr Crit Care Med 2018;19:e643-52; medians of the 2000 CDC growth charts'),
        ), basis='ideal weight',
    ),
    Derived(
        'weight at centile of height', 'kg', 'weight on the centile of the height (Moore)',
        (
            Way('if (patient sex is male) then (weight at centile of height, male of (patient height, growth age)) else (weight at centile of height, female of (patient height, growth age))', 'methods compared in Ward SL et al., Pediatr Crit Care Med 2018;19:e643-52; medians of the 2000 CDC growth charts'),
        ), basis='ideal weight',
    ),
    Derived(
        'emergency weight', 'kg', 'estimate for an emergency, by completed age; a measured weight comes first',
        (
            Way('emergency weight, newer course formula of (patient age)', 'Advanced Paediatric Life Support course since 2011, cited by Marikar D, BMJ Innov 2015'),
        ), basis='estimated weight',
    ),
    Derived(
        'weight z-score', '', 'standard deviations of weight from the median for age',
        (
            Way('if (patient sex is male) then (weight-for-age z-score, male of (patient weight, growth age)) else (weight-for-age z-score, female of (patient weight, growth age))', '2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190)'),
        ),
    ),
    Derived(
        'height z-score', '', 'standard deviations of length or height from the median for age',
        (
            Way('if (patient sex is male) then (height-for-age z-score, male of (patient height, growth age)) else (height-for-age z-score, female of (patient height, growth age))', '2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190)'),
        ),
    ),
    Derived(
        'BMI z-score', '', 'standard deviations of BMI from the median for age (2 years and up)',
        (
            Way('if (patient sex is male) then (BMI-for-age z-score, male of (patient weight, patient height, growth age)) else (BMI-for-age z-score, female of (patient weight, patient height, growth age))', '2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190)'),
        ),
    ),
    Derived(
        'weight modified z-score', '', 'weight for age, in halves of the distance from the median to 2 standard deviations',
        (
            Way('if (patient sex is male) then (weight-for-age modified z-score, male of (patient weight, growth age)) else (weight-for-age modified z-score, female of (patient weight, growth age))', 'modified z-scores in the CDC growth charts, Centers for Disease Control and Prevention; 2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190)'),
        ),
    ),
    Derived(
        'height modified z-score', '', 'height for age, in halves of the distance from the median to 2 standard deviations',
        (
            Way('if (patient sex is male) then (height-for-age modified z-score, male of (patient height, growth age)) else (height-for-age modified z-score, female of (patient height, growth age))', 'modified z-scores in the CDC growth charts, Centers for Disease Control and Prevention; 2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190)'),
        ),
    ),
    Derived(
        'BMI modified z-score', '', 'BMI for age, in halves of the distance from the median to 2 standard deviations',
        (
            Way('if (patient sex is male) then (BMI-for-age modified z-score, male of (patient weight, patient height, growth age)) else (BMI-for-age modified z-score, female of (patient weight, patient height, growth age))', 'modified z-scores in the CDC growth charts, Centers for Disease Control and Prevention; 2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190)'),
        ),
    ),
    Derived(
        'anatomical dead space', 'mL', '2.2 mL for each kilogram of predicted or ideal weight',
        (
            Way('if (patient height < 139.7 cm) then (anatomical dead space of (weight at centile of height)) else (anatomical dead space of (predicted weight))', 'from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91'),
            Way('anatomical dead space of (predicted weight)', 'from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91'),
            Way('anatomical dead space of (weight at centile of height)', 'from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91'),
        ),
    ),
    Derived(
        'total dead space', 'mL', 'anatomical dead space and that of the apparatus',
        (
            Way('anatomical dead space + apparatus dead space', 'from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91'),
            Way('anatomical dead space', 'from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91'),
        ),
    ),
    Derived(
        'apparatus share', '%', 'share of the tidal volume that the apparatus keeps',
        (
            Way('apparatus dead space / expected tidal volume', 'definition'),
        ),
    ),
    Derived(
        'alveolar ventilation', 'L/min', 'ventilation that reaches the alveoli',
        (
            Way('alveolar ventilation of (set rate, expected tidal volume, total dead space)', 'definition; from memory: Radford EP, J Appl Physiol 1955;7:451-60; no use in single patients: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91'),
        ),
    ),
    Derived(
        'rate for apparatus dead space', '/min', 'rate that would make up for the dead space of the apparatus',
        (
            Way('rate for added dead space of (set rate, expected tidal volume, anatomical dead space, apparatus dead space)', 'mass balance of carbon dioxide in steady state'),
        ),
    ),
    Derived(
        'minute volume for target PaCO2', 'L/min', 'minute volume that the upper end of the target would ask for at the same tidal volume',
        (
            Way('ventilation for a PaCO2 of (expected minute volume, reading PaCO2, target high PaCO2)', 'mass balance of carbon dioxide in steady state'),
        ),
    ),
    Derived(
        'alveolar oxygen tension', 'kPa', 'oxygen tension in the alveoli at sea level',
        (
            Way('alveolar oxygen tension, short form of (reading FiO2, 760 mmHg, reading PaCO2, 0.8)', 'alveolar gas equation (from memory: Fenn WO, Rahn H, Otis AB, Am J Physiol 1946;146:637-53); sea level 760 mmHg and R 0.8 assumed'),
            Way('alveolar oxygen tension, short form of (FiO2, 760 mmHg, reading PaCO2, 0.8)', 'alveolar gas equation (from memory: Fenn WO, Rahn H, Otis AB, Am J Physiol 1946;146:637-53); sea level 760 mmHg and R 0.8 assumed'),
        ),
    ),
    Derived(
        'PaO2 to FiO2', 'mmHg', 'arterial oxygen tension divided by inspired fraction',
        (
            Way('ratio of PaO2 to FiO2 of (reading PaO2, reading FiO2)', 'Ranieri VM et al., JAMA 2012;307:2526-33'),
            Way('ratio of PaO2 to FiO2 of (reading PaO2, FiO2)', 'Ranieri VM et al., JAMA 2012;307:2526-33'),
        ),
    ),
    Derived(
        'SpO2 to FiO2', '', 'saturation (%) divided by inspired fraction, up to 97 %',
        (
            Way('ratio of SpO2 to FiO2 of (reading SpO2, reading FiO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
            Way('ratio of SpO2 to FiO2 of (reading SpO2, FiO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
        ),
    ),
    Derived(
        'oxygenation index', '', 'mean airway pressure x FiO2 x 100 / PaO2',
        (
            Way('oxygenation index of (reading mean airway pressure, reading FiO2, reading PaO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
            Way('oxygenation index of (reading mean airway pressure, FiO2, reading PaO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
            Way('oxygenation index of (mean airway pressure, FiO2, reading PaO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
        ),
    ),
    Derived(
        'oxygen saturation index', '', 'mean airway pressure x FiO2 x 100 / SpO2, up to 97 %',
        (
            Way('oxygen saturation index of (reading mean airway pressure, reading FiO2, reading SpO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
            Way('oxygen saturation index of (reading mean airway pressure, FiO2, reading SpO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
            Way('oxygen saturation index of (mean airway pressure, FiO2, reading SpO2)', 'Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68'),
        ),
    ),
    Derived(
        'ROX index', '', 'SpO2 / FiO2 / rate; high-flow nasal oxygen for pneumonia only',
        (
            Way('ROX index of (reading SpO2, reading FiO2, reading rate)', 'Roca O et al., J Crit Care 2016;35:200-5'),
            Way('ROX index of (reading SpO2, FiO2, reading rate)', 'Roca O et al., J Crit Care 2016;35:200-5'),
        ),
    ),
    Derived(
        'port leak in inspiration', 'L/min', 'flow through the leak port at the mandatory peak',
        (
            Way('port leak at a pressure, square root of (leak port flow, leak port flow pressure, mandatory peak)', 'square-root model of a leak port (orifice); the linear model (Lujan M et al., J Clin Med 2023;12:2692) is `... , linear`'),
        ),
    ),
    Derived(
        'port leak in expiration', 'L/min', 'flow through the leak port at the baseline',
        (
            Way('port leak at a pressure, square root of (leak port flow, leak port flow pressure, baseline)', 'square-root model of a leak port (orifice); the linear model (Lujan M et al., J Clin Med 2023;12:2692) is `... , linear`'),
        ),
    ),
    Derived(
        'mean port leak', 'L/min', 'mean flow through the leak port over the breath',
        (
            Way('mean port leak, square root of (leak port flow, leak port flow pressure, mandatory peak, baseline, inspiration, expiratory time)', 'square-root model of a leak port (orifice); the linear model (Lujan M et al., J Clin Med 2023;12:2692) is `... , linear`'),
        ),
    ),
    Derived(
        'port capacity', 'mL', 'volume that the leak port passes in expiration',
        (
            Way('port capacity in expiration, square root of (leak port flow, leak port flow pressure, baseline, expiratory time)', 'square-root model of a leak port (orifice); the linear model (Lujan M et al., J Clin Med 2023;12:2692) is `... , linear`'),
        ),
    ),
    Derived(
        'port capacity share', '', 'volume that the leak port passes in expiration, divided by the tidal volume',
        (
            Way('port capacity / expected tidal volume', 'square-root model of a leak port (orifice); the linear model (Lujan M et al., J Clin Med 2023;12:2692) is `... , linear`'),
        ),
    ),
    Derived(
        'total gas flow', 'L/min', 'what the patient breathes and what leaks',
        (
            Way('expected minute volume + mean port leak', 'mass balance of oxygen; leak dilutes: Thys F et al., Eur Respir J 2002;19:653-7'),
        ),
    ),
    Derived(
        'estimated FiO2', '%', 'inspired fraction by mass balance of oxygen that is bled in; an estimate, never a setting',
        (
            Way('oxygen fraction with leak of (oxygen flow, expected minute volume, mean port leak)', 'mass balance of oxygen; leak dilutes: Thys F et al., Eur Respir J 2002;19:653-7'),
        ),
    ),
    Derived(
        'true oxygen draw', 'L/min', 'oxygen that a ventilator which entrains air takes for its FiO2',
        (
            Way('oxygen flow for a fraction with leak of (FiO2, expected minute volume, mean port leak)', 'mass balance of oxygen, air taken as 21 %'),
        ),
    ),
    Derived(
        'planned oxygen draw', 'L/min', 'oxygen to plan for: the bled-in flow, or total gas flow x FiO2',
        (
            Way('oxygen flow', 'definition'),
            Way('generous oxygen draw of (FiO2, total gas flow)', 'course teaching for transfers (twice the need): common practice, no published source'),
        ),
    ),
    Derived(
        'oxygen for transfer', 'L', 'twice the planned draw for the duration of the transfer',
        (
            Way('oxygen for a transfer of (planned oxygen draw, 0 L/min, oxygen transfer, 2)', 'course teaching for transfers (twice the need): common practice, no published source'),
        ),
    ),
    Derived(
        'oxygen in cylinders', 'L', 'contents of all cylinders together',
        (
            Way('oxygen cylinder * oxygen cylinders', 'definition'),
            Way('oxygen cylinder', 'definition'),
        ),
    ),
    Derived(
        'oxygen lasts', 'min', 'how long the cylinders last at the planned draw',
        (
            Way('cylinder duration of (oxygen in cylinders, 0 L, planned oxygen draw)', 'contents divided by draw'),
        ),
    ),
    Derived(
        'water content', 'mg/L', 'water in gas that is saturated at the set temperature',
        (
            Way('saturated humidity of (humidifier temperature)', 'Magnus form, Guide to Meteorological Instruments and Methods of Observation, WMO-No. 8; ideal gas law'),
        ),
    ),
)  # fmt: skip
