"""A right call of each calculation that is about lengths, crimps, measuring, dates or plain numbers."""

import math
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from shop.engineering import (
    age,
    cleanliness,
    common_factors,
    conformity,
    crimp,
    cut_correction,
    cut_length,
    dates,
    decision,
    elongation,
    gauge_pin,
    lengths,
    line_fit,
    numbers,
    orientation,
    ranges,
    stop_geometry,
    tolerance,
    uncertainty_budget,
)
from tests.engineering.asking import Call, call
from tests.engineering.charts import MICROMETER, limits

D = Decimal
TABLES = Path(__file__).parents[2] / "fixtures/standards"


SCALE = cleanliness.read_scale(TABLES / "cleanliness_codes.csv")
RULES = tolerance.read_rules(TABLES / "length_tolerances.csv")["SAE J517"]
STOPS = stop_geometry.fit_stops(
    [
        stop_geometry.StopCrimp(D(thick), D(across))
        for thick, across in ((10, "20.2"), (14, "21.6"), (18, "23.1"))
    ]
)
LONGER = [cut_correction.Finished(D(900), D(900) + D(over)) for over in ("1.2", "1.6", "0.9", "1.4", "1.1")]
PARTS = conformity.UncertaintyParts(
    calibration_mm=D("0.01"), repeatability_mm=D("0.012"), resolution_mm=D("0.01")
)
MADE = dates.parse_made("2Q22")
NEAR_SIX = orientation.AngleConvention.NEAR_SIX_CW
DASH = {"dash": "1/16 in"}

COUNTED = ("failed_with", "sound_with", "failed_without", "sound_without")
CALLS: list[Call] = [
    call(
        age.AgeRule,
        units={"months": "months", "leeway_months": "months"},
        policy="invented",
        applies_to="hose",
        deed=age.Deed.FIT,
        counts_from=age.CountsFrom.MANUFACTURE,
        months=48,
        leeway_months=0,
        own_period_counts=True,
        source="",
        basis="memory",
        note="",
    ),
    call(
        cleanliness.ScaleRow,
        units={"over": "per ml", "up_to": "per ml"},
        code=18,
        over=D(1300),
        up_to=D(2500),
        source="",
        basis="read",
    ),
    call(cleanliness.scale_number, count_per_ml=D(1500), scale=SCALE),
    call(
        cleanliness.code_of_counts,
        at_4_per_ml=D(1500),
        at_6_per_ml=D(400),
        at_14_per_ml=D(60),
        scale=SCALE,
    ),
    call(
        conformity.UncertaintyParts,
        calibration_mm=D("0.01"),
        repeatability_mm=D("0.012"),
        resolution_mm=D("0.01"),
    ),
    call(conformity.repeatability_mm, readings_mm=[D("20.1"), D("20.2")]),
    call(conformity.uncertainty_of_mean, parts=PARTS, readings=4, coverage_factor=D(2)),
    call(
        conformity.probability_of_conformity,
        measured_mm=D("20.2"),
        lower_mm=D("20.1"),
        upper_mm=D("20.3"),
        standard_uncertainty_mm=D("0.015"),
    ),
    call(
        conformity.acceptance_zone,
        lower_mm=D("20.1"),
        upper_mm=D("20.3"),
        standard_uncertainty_mm=D("0.015"),
        probability=D("0.95"),
    ),
    call(conformity.plan_readings, dies=8),
    call(
        crimp.judge_crimp,
        readings_mm=[D("20.2")],
        limits=limits(),
        uncertainty=MICROMETER,
        rule=decision.DecisionRule.PLAIN,
        share=D("0.25"),
        other_section_mm=[D("20.2")],
    ),
    call(crimp.implausible_reading, reading_mm=D("20.2"), limits=limits()),
    call(cut_correction.Finished, wanted_mm=D(900), measured_mm=D(901)),
    call(cut_correction.cut_correction, pieces=LONGER, fewest=5, tape_mm=D("0.5")),
    call(
        cut_correction.CutCorrection.corrected_mm, self=cut_correction.cut_correction(LONGER), cut_mm=D(800)
    ),
    call(cut_length.between_datums_mm, over_all_metal_mm=D(930), beyond_a_mm=D(10), beyond_b_mm=D(12)),
    call(
        cut_length.cut_length_mm,
        any_sign=["comes_out_longer_mm"],
        overall_mm=D(930),
        cut_off_a_mm=D(30),
        cut_off_b_mm=D(40),
        comes_out_longer_mm=D("1.2"),
    ),
    call(cut_length.overall_length_mm, cut_mm=D(860), cut_off_a_mm=D(30), cut_off_b_mm=D(40)),
    call(
        cut_length.shortest_overall_mm,
        minimum_between_mm=D(150),
        cut_off_a_mm=D(30),
        cut_off_b_mm=D(40),
        insertion_a_mm=D(28),
        insertion_b_mm=D(28),
    ),
    call(dates.Made, any_value=["month"], year=2022, quarter=2, month=None, text="2Q22"),
    call(dates.Made, any_value=["quarter"], year=2022, quarter=None, month=6, text="2022-06"),
    call(
        dates.last_day_to_fit,
        units={"limit_months": "months"},
        made=MADE,
        limit_months=48,
        count_own_quarter=False,
    ),
    call(
        decision.CrimpLimits,
        target_mm=D("20.2"),
        lower_mm=D("20.1"),
        upper_mm=D("20.3"),
        judged=decision.Judged.MEAN,
        ovality_mm=D("0.1"),
        taper_mm=D("0.1"),
        readings=4,
    ),
    call(
        decision.MeasurementUncertainty,
        expanded_mm=D("0.03"),
        resolution_mm=D("0.01"),
        coverage_factor=D(2),
    ),
    call(
        decision.finest_tolerance_mm,
        uncertainty=MICROMETER,
        rule=decision.DecisionRule.PLAIN,
        share=D("0.25"),
    ),
    call(
        uncertainty_budget.UncertaintyBudget,
        certificate_mm=D("0.02"),
        resolution_mm=D("0.01"),
        temperature_mm=D("0.005"),
        repeatability_mm=D("0.01"),
    ),
    call(
        decision.gauge_fits,
        limits=limits(),
        uncertainty=MICROMETER,
        rule=decision.DecisionRule.PLAIN,
        share=D("0.25"),
    ),
    call(
        elongation.ChangeLimits,
        units={"shortest": "%", "longest": "%"},
        too_low={"shortest": D(-100)},
        shortest=D(-4),
        longest=D(2),
    ),
    call(elongation.length_change, measured_mm=D(509), marked_mm=D(500)),
    call(elongation.length_under_pressure, overall_mm=D(1000), metal_mm=D(100)),
    call(lengths.show_length, units={"mm": "mm"}, mm=D(930), unit=lengths.LengthUnit.IN),
    call(lengths.round_length, units={"mm": "mm"}, mm=D(930), unit=lengths.LengthUnit.IN, places=2),
    call(line_fit.Line.at, any_sign=["x"], self=STOPS.line, x=D(12)),
    call(line_fit.fit_line, any_sign=["points"], points=[(D(1), D(1)), (D(2), D(2)), (D(3), D(3))]),
    call(line_fit.student_within, t=2.0, degrees_of_freedom=4),
    call(line_fit.student_t, confidence=D("0.95"), degrees_of_freedom=4),
    call(numbers.trim, any_sign=["d"], d=D("930.0")),
    call(numbers.plain, any_sign=["d"], d=D("930.0")),
    call(numbers.rounded, any_value=["value"], value=Fraction(1, 3), places=2),
    call(numbers.rounded_down, any_value=["value"], value=Fraction(1, 3), places=2),
    call(
        numbers.require_number,
        any_sign=["value"],
        units={"value": "mm"},
        value=D(1),
        argument="thing",
        unit="mm",
    ),
    call(
        numbers.require_finite,
        any_sign=["value"],
        units={"value": "mm"},
        any_value=["at_least"],
        value=1.0,
        argument="thing",
        unit="mm",
        at_least=-math.inf,
    ),
    call(numbers.require_positive, units={"value": "mm"}, value=D(1), argument="thing", unit="mm"),
    call(numbers.require_not_negative, units={"value": "mm"}, value=D(1), argument="thing", unit="mm"),
    call(gauge_pin.GaugePin, least_mm=D("11.43"), bore_mm=D("12.7"), narrowest="the hose"),
    call(gauge_pin.gauge_pin, hose_mm=D("12.7"), end_a_mm=D("9.6"), end_b_mm=D("9.6")),
    call(gauge_pin.gauge_pin(D("12.7")).shows, pin_mm=D("11.43")),
    call(orientation.angle_as_we_count, units={"angle": "°"}, angle=D(30), convention=NEAR_SIX),
    call(orientation.check_angle, units={"angle": "°"}, angle=D(30)),
    call(orientation.seen_from_the_far_end, units={"angle": "°"}, angle=D(30)),
    call(orientation.angle_off, units={"measured": "°", "wanted": "°"}, measured=D(30), wanted=D(35)),
    call(orientation.orientation_tolerance_deg, length_mm=D(610)),
    call(
        common_factors.Counts,
        units=dict.fromkeys(COUNTED, "assemblies"),
        **dict.fromkeys(COUNTED, 3),
    ),
    call(common_factors.adjusted, p_values=[D("0.01"), D("0.5")], questions=5),
    call(
        common_factors.rate_per_1000_months,
        units={"failed": "assemblies", "months": "months"},
        failed=3,
        months=D(1500),
    ),
    call(orientation.takes_up_error, free_hose_mm=D(300), outside_diameter_mm=D(23)),
    call(
        ranges.require_within,
        units={"value": "mm"},
        any_value=["low", "high"],
        value=D(5),
        argument="thing",
        unit="mm",
        low=D(0),
        high=D(10),
    ),
    call(ranges.require_temperature, too_low={"value_c": -274}, value_c=20, argument="temperature"),
    call(stop_geometry.StopCrimp, thickness_mm=D(10), diameter_mm=D(20)),
    call(stop_geometry.StopLine.diameter_mm, self=STOPS, thickness_mm=D(12)),
    call(stop_geometry.diameter_per_mm, taper_deg=D(10), tapers=stop_geometry.Tapers.ONE),
    call(
        stop_geometry.fit_stops,
        units={"geometry_mm_per_mm": "mm/mm"},
        crimps=[stop_geometry.StopCrimp(D(t), D(20 + t)) for t in (1, 2, 3)],
        geometry_mm_per_mm=D("0.35"),
    ),
    call(stop_geometry.check_stop, stops=STOPS, thickness_mm=D(14), lower_mm=D("21.5"), upper_mm=D("21.8")),
    call(
        tolerance.LengthRule,
        units={"dash_from": "1/16 in", "dash_to": "1/16 in", "plus": "mm", "minus": "mm"},
        rule="invented",
        applies_to="hose assembly",
        dash_from=4,
        dash_to=16,
        over_mm=D(0),
        up_to_mm=D(630),
        plus=D(7),
        minus=D(3),
        unit=tolerance.ToleranceUnit.MM,
        source="",
        basis="memory",
    ),
    call(tolerance.LengthRule.covers, units=DASH, self=RULES[0], overall_mm=D(300), dash=8),
    call(tolerance.length_limits_mm, units=DASH, overall_mm=D(930), dash=8, rule_set=RULES),
]
