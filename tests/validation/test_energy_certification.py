"""The generic driveline against 51 public certification rows, with each maker left out in turn."""

import numpy as np
import pytest

import validation_energy as v
from hoistbook.reference.energy import energy_defaults

NOT_COPIED = np.array(["identical to" not in flag for flag in v.rows().flag])


@pytest.fixture(scope="module")
def found():
    return v.figures()


def test_rows_are_the_public_ones():
    # published: fleet file and label data set named in the file's header: 51 vehicles of 12 makers. Of the 15 rows
    # with a remark, 5 say that their coefficients belong to another configuration.
    rows = v.rows()
    assert (len(rows), len(set(rows.maker))) == (51, 12)
    assert (int(rows.flagged.sum()), int(rows.unfit.sum())) == (15, 5)


def test_four_constant_model_is_reproduced():
    # computed: separate script (SciPy 1.17, same recipe) on 49 rows: eta_t 0.8613, eta_r 0.7004, 150 W on the bound;
    # mean absolute error 7.1 % (UDDS 8.8, HWFET 5.3), bias −1.1 %, worst 21.8 %; each maker left out 8.3 %.
    data = v.rows().where(NOT_COPIED)
    constants = v.fit_four_constants(data)
    assert constants == pytest.approx([0.8613, 0.7004, 150.0], abs=5.1e-5)
    error = v.errors(v.four_constant_model(data, constants), data)
    assert (v.mape(error), v.mape(error[0]), v.mape(error[1])) == pytest.approx((7.1, 8.8, 5.3), abs=0.051)
    assert (100.0 * error.mean(), 100.0 * np.abs(error).max()) == pytest.approx((-1.1, 21.8), abs=0.051)
    assert v.mape(v.held_out_errors(data, "four constants")) == pytest.approx(8.3, abs=0.051)


def test_four_constant_errors_row_by_row():
    # computed: separate script, error of every row to two decimals; fitted to 49 rows, applied to 51.
    rows = v.rows()
    error = 100.0 * v.errors(v.four_constant_model(rows, v.fit_four_constants(rows.where(NOT_COPIED))), rows)
    for mine, column in zip(error, ("generic_error_udds_pct", "generic_error_hwfet_pct"), strict=True):
        assert mine == pytest.approx([float(row[column]) for row in v.raw_rows()], abs=0.0051)


def test_packaged_constant_efficiency_set_is_that_model():
    # computed: as above, the chain with its fields set to the four constants against the formula itself.
    rows = v.rows()
    chain = v.predicted(rows, "constant_efficiency")
    assert chain == pytest.approx(v.four_constant_model(rows, (0.8613, 0.7004, 150.0)), rel=1e-9)


def test_packaged_constant_is_the_fitted_one(found):
    # computed: scripts/validation_energy.py; the file rounds to three decimals.
    default = energy_defaults().drivelines["generic"]["gear_efficiency_frac"].value
    assert found.efficiency == pytest.approx(default, abs=0.0011)


def test_held_out_error(found):
    # common practice: 8 % is what public data allow a generic model; the limit asked of this one is 8.5 %, with every
    # maker's rows predicted from the other makers' alone.
    assert found.held_out <= 8.5
    assert found.held_out < found.four_constants_held_out
    # first principles: an error that is not seen in fitting is larger than one that is.
    assert found.in_sample < found.held_out
    low, high = found.held_out_interval
    assert low < found.held_out < high


def test_rows_known_to_be_wrong_fit_worse(found):
    # published: remarks of the rows themselves; coefficients of another configuration cannot fit as well.
    assert found.unfit > found.flagged > found.held_out


def test_a_wrong_unit_would_be_seen(found):
    # computed: separate script: the fleet mean, without any physics, errs by 15.4 % on the combined energy of 49 rows
    # (which mean is not said: 0.1 allowed). A model worth having does far better on makers it never saw.
    data = v.rows().where(NOT_COPIED)
    energy = v.combined(data.certified)
    assert v.mape(energy.mean() / energy - 1.0) == pytest.approx(15.4, abs=0.1)
    assert found.held_out_combined < 0.6 * 15.4


def test_ratio_within_a_maker(found):
    # computed: separate script with the four-constant model: median 2.5 % over pairs of one maker with packs within
    # 5 %; the median of this model must be no worse. Pairs of different makers are worse.
    assert found.ratio_same_maker[2] <= 2.5
    assert found.ratio_same_maker[2] < found.ratio_other_maker[2]


def test_residual_prior_is_the_held_out_spread(found):
    # computed: scripts/validation_energy.py; the file rounds to the digits given.
    prior = energy_defaults().residual
    assert found.residual_sd_ln == pytest.approx(prior.sd_ln, abs=0.0011)
    assert found.family_correlation == pytest.approx(prior.family_correlation, abs=0.011)


def test_residual_correlation_of_a_known_table():
    # first principles: two makers of two rows each, ln ratios 0.1, 0.1 and −0.1, −0.1: all spread is between them.
    rows = v.rows().where(np.isin(np.arange(51), [0, 1, 10, 11]))
    error = np.exp([[-0.1, -0.1, 0.1, 0.1]] * 2) - 1.0
    sd, correlation = v.residual_prior(error, rows)
    assert (sd, correlation) == pytest.approx((0.1, 1.0), rel=1e-12)


def test_us_road_load_with_eu_consumption(found):
    # computed: separate script with the four-constant model: 164.18, 174.21, 176.94 Wh/km (two decimals).
    assert v.eu_consumption("constant_efficiency") == pytest.approx(
        [float(row["four_constant_wh_per_km"]) for row in v.eu_rows()], abs=0.0051
    )
    # published: declared 170, 152, 163 Wh/km; wheels of the certified car differ, so no better than the four constants'
    # own +14.6 % is asked.
    assert max(abs(error) for error in found.eu_errors) < 14.6


def test_report_says_what_was_found(found):
    text, same = v.section(found)
    assert same is found
    assert f"{found.held_out:.2f}" in text
    assert text.startswith("## Energy model against public certification rows")


# computed: separate script with the four-constant model: m_e, A, B, C, k city and highway = certified/model (six
# decimals), of the first car of the file with this name.
PAIRS = [
    ("Polestar 2 Single Motor", 2219.200670, 138.384174, 2.180130, 0.361699, 0.938189, 0.988793),
    ("Volvo XC40 Recharge twin", 2336.000706, 137.450048, 4.769221, 0.450732, 1.015220, 1.017351),
    (
        "BMW i4 eDrive40 Gran Coupe (18 inch wheels)",
        2336.000706,
        150.794713,
        0.338313,
        0.371270,
        0.962023,
        0.950916,
    ),
    (
        "BMW i4 M50 Gran Coupe (20 inch wheels)",
        2452.800741,
        264.669186,
        1.661715,
        0.410445,
        1.048323,
        0.968732,
    ),
    ("Volkswagen ID.4 AWD Pro S", 2452.800741, 127.930854, 3.854183, 0.374408, 0.977935, 0.995050),
]


@pytest.mark.parametrize(("vehicle", "mass", "a", "b", "c", "city", "highway"), PAIRS)
def test_certified_over_model_of_the_paired_cars(vehicle, mass, a, b, c, city, highway):
    rows = v.rows()
    i = rows.vehicle.index(vehicle)
    load = [float(column[i]) for column in v.road_loads()]
    assert load == pytest.approx([mass, a, b, c], abs=5.1e-7)
    model = v.generic_consumption(v.cycles(), *load, driveline="constant_efficiency")
    assert rows.certified[:, i] / model == pytest.approx([city, highway], abs=6e-7)
