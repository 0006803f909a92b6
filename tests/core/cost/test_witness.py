"""Marks to probabilities: Bayes by hand, laws, and stated probabilities against made-up parts of known making."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cost.shop import operation, process, scenario
from hoistbook.core.cost.belief import believe, next_looks
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.mixture import drawn_candidates, mixed
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.recipes import candidate_parts, proposals
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.witness import (
    Candidate,
    Look,
    Measure,
    Measured,
    Seen,
    WitnessTable,
)
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario
from hoistbook.reference.witness import packaged_recipes, packaged_witness, read_witness

CAST, FORGED = Candidate("cast", "aluminium", 0.75), Candidate("forged", "steel", 0.25)


def look(name, cast, forged, time_s=60.0, by="process"):
    codes = ("cast", "forged") if by == "process" else ("aluminium", "steel")
    rows = {code: (p, 1.0 - p) for code, p in zip(codes, (cast, forged), strict=True)}
    return Look(name, name, name, time_s, by, ("seen", "not seen"), rows, (0.5, 0.5), "computed", "test")


def table(*looks, measures=(), candidates=(CAST, FORGED)):
    return WitnessTable(
        {one.process: one.process for one in candidates},
        {one.material: one.material for one in candidates},
        candidates,
        {one.name: one for one in looks},
        {one.name: one for one in measures},
    )


def test_bayes_by_hand():
    # computed by hand: 0.75 x 0.2 = 0.15 against 0.25 x 0.9 = 0.225: forged 0.225/0.375 = 0.6.
    t = table(look("flash", 0.2, 0.9), look("magnet", 0.02, 0.98, by="material"))
    once = believe(t, [Seen("flash", "seen")])
    assert once.processes() == pytest.approx({"forged": 0.6, "cast": 0.4})
    assert next(iter(once.processes())) == "forged"
    # computed by hand: then 0.4 x 0.02 = 0.008 against 0.6 x 0.98 = 0.588: 0.588/0.596.
    twice = believe(t, [Seen("flash", "seen"), Seen("magnet", "seen")])
    assert twice.materials()["steel"] == pytest.approx(0.588 / 0.596, rel=1e-12)
    assert twice.sentences[:2] == ("flash: seen", "magnet: seen")
    assert "independent" in twice.sentences[2]


def test_a_measure_by_hand():
    # computed by hand: range 2,600-2,800, u = 50 at 2,700: (Phi(2) - Phi(-2))/200 = 0.954499736/200; a steel of exactly
    # 7,850 reads 2,700 by a slip only: 0.01/8,900.
    density = Measure(
        "density", "density", "kg/m3", "", 300.0, "material", 100.0, 9_000.0,
        {"aluminium": (2_600.0, 2_800.0), "steel": (7_850.0, 7_850.0)}, 50.0, 0.0, 0.01, "computed", "test",
    )  # fmt: skip
    found = believe(table(measures=[density]), [Measured("density", 2_700.0)])
    cast = 0.75 * (0.99 * 0.954499736 / 200.0 + 0.01 / 8_900.0)
    forged = 0.25 * 0.01 / 8_900.0
    assert found.materials()["steel"] == pytest.approx(forged / (cast + forged), rel=1e-6)
    # first principles: a density holds area 1 over the line, but for what lies outside the span.
    x = np.linspace(100.0, 9_000.0, 200_001)
    areas = np.trapezoid(density.likelihood((CAST, FORGED), x, np.full(x.shape, 50.0)), x, axis=1)
    assert areas == pytest.approx([1.0, 1.0], abs=1e-9)


shares = st.floats(0.01, 0.99)


@given(st.lists(st.tuples(shares, shares), min_size=3, max_size=3), st.permutations([0, 1, 2]))
def test_order_does_not_matter_and_probabilities_make_one(rows, order):
    t = table(*(look(f"m{i}", *row) for i, row in enumerate(rows)))
    seen = [Seen(f"m{i}", "seen" if i % 2 else "not seen") for i in range(3)]
    found, again = believe(t, seen), believe(t, [seen[i] for i in order])
    assert again.probability == pytest.approx(found.probability, rel=1e-12)
    assert found.probability.sum() == pytest.approx(1.0, abs=1e-12)


@given(shares, shares, shares)
def test_what_everybody_shows_changes_nothing(everybody, cast, forged):
    t = table(look("all", everybody, everybody), look("some", cast, forged))
    with_it = believe(t, [Seen("some", "seen"), Seen("all", "seen")])
    assert with_it.probability == pytest.approx(believe(t, [Seen("some", "seen")]).probability, rel=1e-12)
    # first principles: it is expected to tell nothing, and no observation is expected to add doubt.
    told = {one.name: one.expected_bits for one in next_looks(t, believe(t, []))}
    assert told["all"] == pytest.approx(0.0, abs=1e-12)
    assert 0.0 <= told["some"] <= believe(t, []).entropy_bits("process") + 1e-12


def test_next_look_by_hand():
    # computed by hand: even odds, one bit of doubt. A mark that tells for certain takes all of it; one seen with 0.9
    # and 0.1 takes 1 - h(0.9) = 1 - 0.4689956 = 0.5310044 bit.
    even = (Candidate("cast", "aluminium", 0.5), Candidate("forged", "steel", 0.5))
    t = table(look("sure", 1.0, 0.0, 600.0), look("likely", 0.9, 0.1, 30.0), candidates=even)
    first, second = next_looks(t, believe(t, []))
    assert (first.name, second.name) == ("likely", "sure")
    assert second.expected_bits == pytest.approx(1.0, abs=1e-12)
    assert first.expected_bits == pytest.approx(0.5310044, abs=5e-8)
    assert first.bits_per_minute == pytest.approx(2.0 * 0.5310044, abs=1e-6)
    assert [one.name for one in next_looks(t, believe(t, [Seen("likely", "seen")]))] == ["sure"]


def test_the_engineer_overrides():
    t = table(look("flash", 0.0, 1.0))
    found = believe(t, [], stated_process="cast")
    assert found.processes() == {"cast": 1.0, "forged": 0.0}
    assert found.entropy_bits() == 0.0
    with pytest.raises(ValueError, match="no candidate is possible"):
        believe(t, [Seen("flash", "seen")], stated_process="cast")


def test_wrong_observations_are_refused():
    t = packaged_witness()
    with pytest.raises(LookupError, match="no look named 'smell'"):
        believe(t, [Seen("smell", "seen")])
    with pytest.raises(ValueError, match="given twice"):
        believe(t, [Seen("magnet", "seen"), Seen("magnet", "not seen")])
    with pytest.raises(ValueError, match="outside 100–9000"):
        believe(t, [Measured("density_kg_per_m3", 2.7)])
    with pytest.raises(ValueError, match="no outcome 'maybe'"):
        believe(t, [Seen("magnet", "maybe")])


def drawn(t, rng, n):
    """Made-up parts: making drawn from the shares, then each outcome from the table."""
    prior = [one.prior for one in t.candidates]
    for place in rng.choice(len(prior), n, p=prior):
        one = t.candidates[place]
        seen = []
        for name in ("ejector_pins", "edge_burnish", "flash_line", "magnet", "main_element"):
            look = t.looks[name]
            row = look.rows.get(one.process if look.by == "process" else one.material, look.otherwise)
            seen.append(Seen(name, look.states[rng.choice(len(row), p=row)]))
        measure = t.measures["density_kg_per_m3"]
        true = rng.uniform(*measure.ranges[one.material])
        value = float(true + rng.standard_normal() * 0.01 * true)
        if rng.uniform() < measure.slip_frac:
            value = float(rng.uniform(measure.low, measure.high))
        yield one, [*seen, Measured("density_kg_per_m3", value, 0.01 * value)]


def test_stated_probabilities_are_met():
    t = packaged_witness()
    stated, met = [], []
    for truth, seen in drawn(t, np.random.default_rng(11), 1_500):
        for name, p in believe(t, seen).processes().items():
            stated.append(p)
            met.append(name == truth.process)
    stated, met = np.array(stated), np.array(met)
    for low, high in itertools.pairwise([0.0, 0.02, 0.2, 0.5, 0.8, 0.98, 1.0 + 1e-9]):
        inside = (stated >= low) & (stated < high)
        n = int(inside.sum())
        assert n > 20
        # first principles: a share stated as p is met in a binomial share; 4 standard errors.
        expected = stated[inside].mean()
        error = math.sqrt(float(np.sum(stated[inside] * (1.0 - stated[inside])))) / n
        assert abs(met[inside].mean() - expected) < 4.0 * error + 1e-12


def test_the_packaged_table_knows_a_press_hardened_rail():
    t = packaged_witness()
    found = believe(t, [Seen("laser_edge", "seen"), Seen("magnet", "seen"), Measured("hardness_hv", 470.0)])
    # common practice: fingerprints of the trade: 450-500 HV and laser-cut edges are press-hardened steel.
    assert found.processes()["press_hardening"] > 0.9
    assert next(iter(found.materials())) == "press-hardened steel"
    casting = believe(
        t,
        [Seen("ejector_pins", "seen"), Seen("gate_vestige", "seen"), Measured("density_kg_per_m3", 2_710.0)],
    )
    assert casting.processes()["high_pressure_die_casting"] > 0.9


def test_every_row_of_the_packaged_table_names_a_candidate():
    t = packaged_witness()
    codes = {"process": set(t.processes), "material": set(t.materials)}
    for one in t.looks.values():
        assert set(one.rows) <= codes[one.by], one.name
    for one in t.measures.values():
        assert set(one.ranges) == codes[one.by], one.name  # one without a range could read anything
        assert all(one.low <= low <= high <= one.high for low, high in one.ranges.values())
    assert {one.material for one in t.candidates} == set(t.materials)


def test_a_table_of_ones_own_replaces_rows(tmp_path):
    path = tmp_path / "marks.toml"
    path.write_text(
        '[mark.magnet]\nwords = "magnet"\nhow = "hold"\ntime_s = 5\nby = "material"\notherwise = 0.5\nseen = {}\n'
    )
    found = read_witness(path)
    assert found.looks["magnet"].otherwise == (0.5, 0.5)
    assert found.looks["floats"] == packaged_witness().looks["floats"]
    path.write_text("[smell]\n")
    with pytest.raises(ValueError, match="no table named 'smell'"):
        read_witness(path)


def test_recipes_follow_the_belief():
    t = packaged_witness()
    found = proposals(packaged_recipes(), believe(t, [], stated_process="closed_die_forging"), PROCESSES)
    first = {one.recipe.steps[0].process for one in found if one.probability > 0.0}
    assert first == {"closed_die_forging"}
    assert sum(one.probability for one in found) == pytest.approx(1.0)
    only = proposals(packaged_recipes(), believe(t, []), ("machining",), families=["bracket"])
    assert only[0].not_modelled == ("high_pressure_die_casting",)
    assert all(step.origin == "proposed" for step in only[0].recipe.steps)
    with pytest.raises(LookupError, match="no family named 'sofa'"):
        proposals(packaged_recipes(), believe(t, []), (), families=["sofa"])


def test_recipes_and_candidates_name_models_that_are_there():
    assert set(packaged_witness().processes) <= set(PROCESSES)
    for recipe in packaged_recipes():
        assert PROCESSES[recipe.steps[0].process].adds_material, recipe.family
        for step in recipe.steps:
            PROCESSES[step.process].chosen(step.choices)


def test_candidates_name_materials_and_choices_that_are_there():
    t = packaged_witness()
    for one in t.candidates:
        assert one.code in packaged_scenario().materials
        PROCESSES[one.process].chosen(one.choices)
    found = believe(t, [], stated_process="sheet_stamping").likeliest(0.2)
    # computed by hand: shares 0.60, 0.28 and 0.12; the last is left out.
    assert [one.code for one, _ in found] == ["steel sheet, mild", "steel sheet, high strength"]
    assert [share for _, share in found] == pytest.approx([0.60 / 0.88, 0.28 / 0.88])
    with pytest.raises(ValueError, match="no candidate has a probability"):
        believe(t, []).likeliest(0.9)


def test_from_marks_to_a_band_that_carries_the_doubt():
    t, assumed = packaged_witness(), packaged_scenario()
    seen = [Seen("ejector_pins", "seen"), Seen("magnet", "not seen"), Seen("main_element", "aluminium")]
    read = {
        "mass_kg": Quantity(0.85, "kg"), "length_m": Quantity(0.2, "m"), "width_m": Quantity(0.16, "m"),
        "height_m": Quantity(0.05, "m"), "machined_face_count": Quantity(2.0, "1"),
    }  # fmt: skip
    part = PartToCost("P", "bracket", "", read, (Step(""), Step("machining")))
    variants, shares = candidate_parts(part, believe(t, seen), least=0.02)
    whole = [with_estimates(one, PROCESSES, assumed.materials)[0] for one in variants.values()]
    costed = cost_parts(whole, assumed, PROCESSES, n_draws=2_000)
    assert costed.refused == {}
    costs = {name: costed.parts[one.tag] for name, one in variants.items()}
    found = mixed("P", costs, shares, seed=1)
    assert found.likeliest == "high_pressure_die_casting, die-cast aluminium"
    assert sum(shares.values()) == pytest.approx(1.0)
    # first principles: every draw of a mixture is a draw of one of its candidates.
    assert found.piece.low < costs[found.likeliest].piece.value < found.piece.high
    assert set(found.draws) <= {draw for cost in costs.values() for draw in cost.draws}


def test_next_looks_by_price():
    even = (Candidate("cast", "aluminium", 0.5), Candidate("forged", "steel", 0.5))
    t = table(look("sure", 1.0, 0.0, 600.0), look("likely", 0.9, 0.1, 30.0), candidates=even)
    # computed by hand: 1 bit for 2 money against 0.5310044 bit for 5; a third without a price is left out.
    first, second = next_looks(t, believe(t, []), prices={"sure": 2.0, "likely": 5.0})
    assert (first.name, first.bits_per_money) == ("sure", pytest.approx(0.5))
    assert second.bits_per_money == pytest.approx(0.5310044 / 5.0, rel=1e-6)
    assert [one.name for one in next_looks(t, believe(t, []), prices={"likely": 1.0})] == ["likely"]
    with pytest.raises(ValueError, match=r"price 0\.0"):
        next_looks(t, believe(t, []), prices={"sure": 0.0})


def test_the_band_carries_the_doubt_between_candidates():
    def priced(money):
        made = process("made", lambda f: operation({}, "", bought=money))
        part = PartToCost("P", "part", "A380", {"mass_kg": Quantity(0.85, "kg")}, (Step("made"),))
        return cost_parts([part], scenario(), {"made": made}, n_draws=4_000).parts["P"]

    costs = {"cast": priced(10.0), "forged": priced(100.0)}
    shares = {"cast": 0.7, "forged": 0.3}
    found = mixed("P", costs, shares, seed=1)
    place = drawn_candidates("P", shares, 4_000, 1)
    # first principles: 30 % of 4,000 draws, standard error 0.0072.
    assert np.mean(place == 1) == pytest.approx(0.3, abs=4 * 0.0072)
    assert found.piece.value == costs["cast"].piece.value
    assert found.mean_money == pytest.approx(
        0.7 * costs["cast"].piece.value + 0.3 * costs["forged"].piece.value, rel=1e-12
    )
    assert found.piece.low < costs["cast"].piece.value < costs["forged"].piece.value * 0.9 < found.piece.high
    assert np.array_equal(found.draws[place == 0], costs["cast"].draws[place == 0])
    with pytest.raises(ValueError, match=r"add up to 0\.9"):
        mixed("P", costs, {"cast": 0.7, "forged": 0.2}, seed=1)
