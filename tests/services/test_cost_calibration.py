"""Quotes of a shop with a known error: found again, carried into the bands, written down and read back."""

import csv
import json
import math
from collections import defaultdict

import numpy as np
import openpyxl
import pytest
import scipy.stats

from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.quotes import QUOTES, QuoteRow, QuoteTable, read_quotes
from hoistbook.capture.read import read_teardown
from hoistbook.core.cost.calibration import prior_of, quote_for, unknown_scatter
from hoistbook.core.cost.scenario import ModelError
from hoistbook.reference.cost import packaged_scenario, packaged_scenario_text, scenario_from
from hoistbook.reference.cost_models import with_model_errors
from hoistbook.services.as_json.cost_calibration import calibration_json
from hoistbook.services.cost import cost_report
from hoistbook.services.cost_calibration import calibrate_by_quotes
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.demo import van_paths

OUTSIDE = ("packaging", "freight", "tools")
HEADS = ["tag", "price", "basis", "currency", "year", "source"]


@pytest.fixture(scope="module")
def van():
    return read_teardown(van_paths()["whimbrel"])


@pytest.fixture(scope="module")
def report(van):
    return cost_report(van, packaged_scenario(), n_draws=100)


def by_process(report):
    found = defaultdict(list)
    for part in report.inputs.parts:
        if part.tag in report.costs:
            found[part.steps[0].process].append(report.costs[part.tag])
    return found


def true_price(cost, factor, basis="buy"):
    """What the piece costs where all that a model answers for is off by a factor."""
    if basis == "make":
        return factor * math.fsum(line.value_money for line in cost.lines if line.step)
    outside = math.fsum(cost.by_name().get(name, 0.0) for name in OUTSIDE)
    return factor * (cost.piece.value - outside) + outside


def table(path, rows):
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([HEADS, *rows])
    return path


def planted(report, process, bias, scatter, count, seed, basis="buy"):
    """Quotes of a shop whose true costs are exp(bias) times those of the model, each off by its own scatter."""
    rng = np.random.default_rng(seed)
    costs = by_process(report)[process][:count]
    factors = np.exp(bias + scatter * rng.standard_normal(len(costs)))
    rows = [
        [
            cost.tag,
            repr(float(true_price(cost, factor, basis))),
            basis,
            cost.currency,
            cost.year,
            "shop, 2024",
        ]
        for cost, factor in zip(costs, factors, strict=True)
    ]
    return rows, factors


def test_a_planted_error_is_found_and_carried_into_the_bands(van, report, tmp_path):
    stamped, _ = planted(report, "sheet_stamping", math.log(1.15), 0.04, 8, seed=3)
    moulded, factors = planted(report, "injection_moulding", math.log(0.90), 0.04, 8, seed=4, basis="make")
    assert len(stamped) == len(moulded) == 8
    path = table(tmp_path / "quotes.csv", stamped + moulded)
    found = calibrate_by_quotes(van, packaged_scenario(), path, n_draws=400)
    one = {each.process: each for each in found.found}
    assert set(one) == {"sheet_stamping", "injection_moulding"}
    # computed: the update by hand: one prior quote at ln sqrt(0.8 x 1.3) = 0.0196 against eight of the shop.
    prior = prior_of(packaged_scenario())
    told = (prior.center_ln + np.log(factors).sum()) / 9.0
    assert one["injection_moulding"].error.bias_ln == pytest.approx(told, rel=1e-9)
    # first principles: the planted bias lies within the band of the bias.
    for process, true in (("sheet_stamping", 1.15), ("injection_moulding", 0.90)):
        low, high = one[process].bias_band
        assert low < true < high
        narrower = [math.log(high / low) for low, high in (one[process].before, one[process].after)]
        assert narrower[1] < 0.75 * narrower[0]
        assert one[process].hold_out_rms_ln < one[process].before_rms_ln
    for quote in found.quotes:
        # first principles: quoted and model amount stand on one basis, so that their ratio is the planted factor.
        assert quote.quote.miss_ln == pytest.approx(
            math.log(quote.quote.quoted_money / quote.quote.model_money)
        )
        assert quote.after.value / quote.before.value == pytest.approx(
            math.exp(one[quote.process].error.bias_ln), rel=0.1
        )
    # first principles: what no quote speaks for stays as it was.
    quoted = {"sheet_stamping", "injection_moulding"}
    for part in report.inputs.parts:
        if part.tag in report.costs and part.steps[0].process not in quoted:
            assert found.after.costs[part.tag].piece.value == report.costs[part.tag].piece.value
    assert quoted.isdisjoint(found.processes_left)
    json.dumps(calibration_json(found), allow_nan=False)


def test_bands_of_parts_nobody_quoted_hold_the_planted_truth(van, report):
    """Shops drawn from the prior, as the method takes them to be: the bands of further parts must hold 95 %."""
    prior = prior_of(packaged_scenario())
    costs = [one for one in by_process(report)["sheet_stamping"] if one.draws.size][:12]
    assert len(costs) == 12
    rng = np.random.default_rng(20261125)
    a0 = 0.5 * prior.dof.value
    # The scale of Student's error that has the band of the scenario, by scipy.stats.
    scale = prior.spread_ln * scipy.stats.norm.ppf(0.975) / scipy.stats.t.ppf(0.975, prior.dof.value)
    b0 = a0 * scale**2 / (1.0 + 1.0 / prior.worth_quotes.value)
    inside = tried = 0
    for _ in range(400):
        sd = math.sqrt(b0 / rng.gamma(a0))
        bias = prior.center_ln + sd / math.sqrt(prior.worth_quotes.value) * rng.standard_normal()
        factors = np.exp(bias + sd * rng.standard_normal(len(costs)))
        quotes = [
            quote_for(cost, true_price(cost, factor), "shop")
            for cost, factor in zip(costs[:5], factors[:5], strict=True)
        ]
        found = unknown_scatter(np.array([one.miss_ln for one in quotes]), prior)
        low, high = found.band(found.next_scale)
        # One further part of each shop: parts of one shop go together.
        inside += bool(low <= factors[5] <= high)
        tried += 1
    # first principles: 95 %; 400 shops give that to 1.1 points, 3.5 standard errors allowed.
    assert inside / tried == pytest.approx(0.95, abs=3.5 * math.sqrt(0.95 * 0.05 / tried))


def test_a_written_scenario_reads_back_the_same(van, report, tmp_path):
    rows, _ = planted(report, "sheet_stamping", 0.1, 0.05, 4, seed=5)
    found = calibrate_by_quotes(van, packaged_scenario(), table(tmp_path / "quotes.csv", rows), n_draws=100)
    again = scenario_from(found.scenario_text(Stated()), "mine.toml")
    assert dict(again.model_errors) == dict(found.scenario.model_errors)
    # first principles: the same scenario gives the same cost; and quotes judged a second time do not add to themselves.
    twice = calibrate_by_quotes(van, again, tmp_path / "quotes.csv", n_draws=100)
    assert twice.before.whole.total == found.after.whole.total
    assert twice.found[0].error.bias_ln == pytest.approx(found.found[0].error.bias_ln, rel=1e-9)


def test_errors_replace_those_a_text_has_and_leave_the_rest():
    one = ModelError(0.1, 0.05, math.inf, 'cast: "3" quotes', 0.5)
    text = with_model_errors(packaged_scenario_text(), {"sand_casting": one})
    assert text.startswith(packaged_scenario_text().rstrip())
    assert scenario_from(text, "x").model_errors["sand_casting"] == one
    other = ModelError(-0.2, 0.1, 7.0, "other")
    assert dict(scenario_from(with_model_errors(text, {"extrusion": other}), "x").model_errors) == {
        "extrusion": other
    }


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        ("[model.press]\nbias_ln = 0.0", "no process of this name"),
        ("[model.extrusion]\nbias_ln = 0.0", "scale_ln, dof, words missing"),
        ('[model.extrusion]\nbias_ln = 0.0\nscale_ln = 0.1\ndof = 3\nwords = "x"\nmore = 1', "'more' is not known"),
        ('[model.extrusion]\nbias_ln = "a"\nscale_ln = 0.1\ndof = 3\nwords = "x"', "bias_ln = 'a' is no number"),
        ('[model.extrusion]\nbias_ln = inf\nscale_ln = 0.1\ndof = 3\nwords = "x"', "must be finite"),
        ('[model.extrusion]\nbias_ln = 0.0\nscale_ln = -0.1\ndof = 3\nwords = "x"', "both must be positive"),
    ],
)  # fmt: skip
def test_a_wrong_model_table_is_refused_with_its_place(lines, why):
    with pytest.raises(ValueError, match=why) as refused:
        scenario_from(f"{packaged_scenario_text()}\n{lines}\n", "mine.toml")
    assert "mine.toml [model." in str(refused.value)


def test_a_price_is_carried_to_the_money_of_the_scenario(van, report):
    cost = by_process(report)["sheet_stamping"][0]
    price = true_price(cost, 1.0)
    # published: US CPI-like index and rate of the packaged scenario are its own data; here only that both are used:
    # a price in EUR counts for its dated rate more.
    around = packaged_scenario()
    rows = [
        QuoteRow(
            2, cost.tag, price, "buy", around.currency, around.year, "in the money of the scenario", "general"
        ),
        QuoteRow(
            3, cost.tag, price / around.exchange["EUR"].rate, "buy", "EUR", around.year, "in EUR", "general"
        ),
    ]
    found = calibrate_by_quotes(van, around, QuoteTable(tuple(rows), ()), n_draws=100)
    # first principles: the same sum of money, and no miss.
    assert [one.quote.miss_ln for one in found.quotes] == pytest.approx([0.0, 0.0], abs=1e-12)


def test_a_workbook_is_read_as_its_table(report, tmp_path):
    rows, _ = planted(report, "sheet_stamping", 0.1, 0.05, 3, seed=5)
    rows = [[row[0], f"{float(row[1]):.4f}", *row[2:]] for row in rows]
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "quotes"
    for row in [HEADS, *[[row[0], float(row[1]), *row[2:]] for row in rows]]:
        sheet.append(row)
    book.save(tmp_path / "quotes.xlsx")
    told = read_quotes(tmp_path / "quotes.xlsx").rows
    assert told == read_quotes(table(tmp_path / "quotes.csv", rows)).rows
    assert [one.row for one in told] == [2, 3, 4]


def test_every_wrong_cell_is_named(tmp_path):
    good = ["W-1", "1.5", "buy", "EUR", "2024", "S"]
    wrong = {1: "-2", 2: "lend", 3: "EURO", 4: "24", 5: ""}
    rows = [[*good[:place], value, *good[place + 1 :]] for place, value in wrong.items()]
    with pytest.raises(LoadRefused) as refused:
        read_quotes(table(tmp_path / "quotes.csv", [good, *rows]))
    assert [(one.row, one.column) for one in refused.value.faults] == [
        (row, HEADS[place]) for row, place in enumerate(wrong, start=3)
    ]
    with pytest.raises(LoadRefused, match="no quote below the headings"):
        read_quotes(table(tmp_path / "empty.csv", []))
    assert {column.header for column in QUOTES.columns} >= set(HEADS)


def test_quotes_that_cannot_be_taken_are_all_named_with_the_reason(van, report):
    whole = report.costs
    stamped = by_process(report)["sheet_stamping"][0].tag
    bought = next(
        part.tag
        for part in report.inputs.parts
        if part.tag in whole and part.steps[0].process == "bought_part"
    )
    fastener = next(iter(report.fasteners))

    def row(number, tag, **more):
        settled = {"price_money": 5.0, "basis": "buy", "currency": "USD", "year": 2024, "source": f"S{number}",
                   "index": "general"} | more  # fmt: skip
        return QuoteRow(number, tag, **settled)

    rows = (
        row(2, stamped, source="S"), row(3, stamped, source="S"), row(4, bought, basis="make"), row(5, fastener),
        row(6, "W-9999"), row(7, stamped, currency="XYZ"), row(8, stamped, year=1950), row(9, stamped, index="tin"),
        row(10, stamped, price_money=1e-6),
    )  # fmt: skip
    with pytest.raises(LoadRefused) as refused:
        calibrate_by_quotes(van, packaged_scenario(), QuoteTable(rows, ()), n_draws=100)
    said = {one.row: one.message for one in refused.value.faults}
    for number, why in {
        3: "row 2 quotes this part", 4: "basis buy", 5: "bought by its designation", 6: "no part", 7: "dated rate",
        8: "1950", 9: "known indices", 10: "does not pay packaging",
    }.items():  # fmt: skip
        assert why in said.pop(number)
    assert said == {}
