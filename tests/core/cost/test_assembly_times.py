"""MTM-1 motions, run-down, allowances and the published cycle of one M10."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cost.assembly_bench import packaged, workshop
from hoistbook.core.cost.assembly.fastening import (
    Fastening,
    Station,
    fastening_steps,
    line_rule,
    placing_steps,
)
from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.times import (
    AllowanceForm,
    heat_allowance_frac,
    modapts_time_s,
    run_down,
    sequence_time_s,
    standard_time,
)
from hoistbook.core.cost.assembly.work import normal_time, tmu
from hoistbook.core.quantities.evaluation import exact
from hoistbook.core.quantities.quantity import total
from hoistbook.reference.assembly import assembly_figures, motion_plans, mtm_tables

TABLES = mtm_tables()
MOTION = TABLES.motion
POUND_KG = 0.45359237
# M10 with the 18 mm of travel of the published cycle: 18 mm run down plus two turns of 1.5 mm started by hand.
M10 = Fastening(Kind.BOLT, 1.0, 0.010, 0.0015)
CYCLE = workshop(engaged_diameters=exact(2.1, "1"))


def cycle(count: float, spindles: int = 1) -> tuple[float, float]:
    steps = fastening_steps(Fastening(Kind.BOLT, count, 0.010, 0.0015), CYCLE, Station(spindles))
    return tmu(steps), total([step.seconds for step in steps], unit="s").value


def test_unit():
    # published: MTM-1 data card 2019: 1 TMU = 0.036 s, 27.8 TMU/s.
    second = 1.0 / MOTION("R16C").seconds * MOTION("R16C").tmu
    assert second == pytest.approx(27.8, abs=0.03)
    assert MOTION("R16C").seconds == pytest.approx(17.0 * 0.036, rel=1e-12)


@pytest.mark.parametrize(
    ("code", "expected_tmu"),
    [
        ("R34B", 28.6),  # computed: 25.8 + 4·0.7 from the published rows
        ("M20C12.5", 28.43),  # computed: 22.1·1.11 + 3.9 from the published rows
        ("SS45C1", 20.0),  # computed: 17.0 + 15·0.2 from the published rows
        ("T90S", 5.4),  # published: data card 2019
        ("T180L", 28.2),  # published: data card 2019
        ("R16C", 17.0),  # published: inch table
        ("M16C", 18.7),  # published: inch table
        ("M0.5B", 2.0),  # published: up to ¾ in
        ("M1B", 2.9),  # published: inch table
        ("R11A", 9.15),  # computed: midway between 8.7 and 9.6
        ("G4A", 7.3),  # published: Groover table 14.4
        ("P2SE", 16.2),  # from memory: MTM-1 position table
        ("APB", 16.2),  # from memory
        ("EF", 7.3),  # published: lecture note
        ("LM20", 9.6),  # computed: 7.1 + 5·0.5 from the published rows
        ("W3P", 45.0),  # from memory: 15.0 a pace
        ("TBC2", 37.2),  # published: data card 2019
        ("KBK", 69.4),  # from memory
    ],
)
def test_motions(code, expected_tmu):
    # published, computed or from memory as marked beside each; the tables print one or two decimals.
    assert MOTION(code).tmu == pytest.approx(expected_tmu, abs=0.01)


def test_turn_of_90_degrees_in_seconds():
    # published: 5.4 TMU = 0.1944 s.
    assert MOTION("T90S").seconds == pytest.approx(0.1944, rel=1e-9)


def test_a_mass_is_carried_as_its_weight_in_pounds():
    by_mass = MOTION("M20C", mass_kg=12.5 * POUND_KG - 1e-9)
    assert by_mass.tmu == pytest.approx(MOTION("M20C12.5").tmu)
    # first principles: two hands carry half each.
    assert MOTION("M20C", mass_kg=25.0 * POUND_KG - 1e-9, hand_count=2).tmu == pytest.approx(by_mass.tmu)


def test_marks_go_with_the_motions():
    assert MOTION("R16C").mark == "published"
    assert MOTION("P2SE").mark == "from memory"


@pytest.mark.parametrize(
    ("code", "reason"),
    [("Q3", "no MTM-1 motion 'Q3'"), ("T200S", "up to 180 degrees"), ("T20S", "from 30 degrees"), ("R16F", "no MTM-1"),
     ("M16C60", "beyond the table")],
)  # fmt: skip
def test_unknown_motions_are_refused(code, reason):
    with pytest.raises(ValueError, match=reason):
        MOTION(code)


@given(st.sampled_from("RM"), st.sampled_from("ABC"), st.floats(1.0, 60.0), st.floats(0.1, 10.0))
def test_farther_is_never_faster(what, case, inches, more):
    near, far = (MOTION(f"{what}{size:.3f}{case}").tmu for size in (inches, inches + more))
    assert 0.0 < near < far


def test_every_plan_is_made_of_known_motions_and_figures():
    figures = assembly_figures()
    for kind, lines in motion_plans().items():
        for line in lines:
            assert bool(line.code) != bool(line.machine), (kind, line)
            if line.code:
                assert MOTION(line.code).tmu >= 0.0
            else:
                assert figures[line.machine].value > 0.0


def test_run_down():
    # computed: 18 mm at 1.5 mm and 500 a minute 1.44 s, 60° at 50 a minute 0.20 s, control 0.30 s.
    figures = assembly_figures()
    assert run_down(exact(0.018, "m"), 0.0015, figures).value == pytest.approx(1.94, abs=0.005)
    # computed: the same travel with fine pitch 1.25 mm takes 2.23 s.
    assert run_down(exact(0.018, "m"), 0.00125, figures).value == pytest.approx(2.23, abs=0.005)


def test_run_down_refuses_nonsense():
    figures = assembly_figures()
    with pytest.raises(ValueError, match="a pitch is positive"):
        run_down(exact(0.018, "m"), 0.0, figures)
    with pytest.raises(ValueError, match="cannot be negative"):
        run_down(exact(-0.001, "m"), 0.0015, figures)


@pytest.mark.parametrize(
    ("count", "spindles", "manual_tmu", "normal_s", "standard_s"),
    # computed on published and remembered elements: cycle of M10 bolts from a bin with a balanced tool.
    [(1, 1, 162.3, 7.783, 8.950), (2, 1, 294.3, 14.475, 16.65), (3, 1, 426.3, 21.167, 24.342),
     (4, 1, 558.3, 27.86, 32.04), (2, 2, 262.9, 11.404, 13.115)],
)  # fmt: skip
def test_published_cycle(count, spindles, manual_tmu, normal_s, standard_s):
    manual, seconds = cycle(count, spindles)
    assert manual == pytest.approx(manual_tmu, abs=0.05)
    assert seconds == pytest.approx(normal_s, abs=0.005)
    found = standard_time(exact(seconds, "s"), exact(0.15, "1"), AllowanceForm.OF_NORMAL_TIME)
    assert found.value == pytest.approx(standard_s, abs=0.005)


def test_cost_of_the_published_cycle():
    # published: US hourly compensation 2009, wages 22.19 and benefits 14.79 $/h (36.98, 1.6665 times the wage).
    # computed: 8.950 s at that rate cost $0.0919.
    rate = exact((22.19 + 14.79) / 3600.0, "1/s")
    standard = standard_time(exact(cycle(1)[1], "s"), exact(0.15, "1"), AllowanceForm.OF_NORMAL_TIME)
    assert (standard * rate).value == pytest.approx(0.0919, abs=0.0001)


def test_a_row_of_screws_by_stated_times():
    # published: Open Mechanical Engineering Journal 10 (2016) 173: 8 × (1.80 + 8.0 s) = 78.40 s. A line rule stated by
    # the user takes the place of the packaged one.
    ruled = workshop(rule_bolt_s=exact(1.80 + 8.0, "s"))
    assert line_rule(Fastening(Kind.BOLT, 8.0, 0.006), ruled).value == pytest.approx(78.40, rel=1e-9)


def test_forms_of_allowance():
    # computed: 7.7828 × 1.15 = 8.950; 7.7828/0.85 = 9.156.
    normal, share = exact(7.7828, "s"), exact(0.15, "1")
    assert standard_time(normal, share, AllowanceForm.OF_NORMAL_TIME).value == pytest.approx(8.950, abs=0.001)
    assert standard_time(normal, share, AllowanceForm.OF_SHIFT).value == pytest.approx(9.156, abs=0.001)
    with pytest.raises(ValueError, match="share from 0 to below 1"):
        standard_time(normal, exact(1.2, "1"), AllowanceForm.OF_SHIFT)


def test_heat_allowance():
    # published: Niebel and Freivalds as used in slides, 300 kcal/h and 80 °F: 22 %; computed 21.98.
    found = heat_allowance_frac(300.0 * 1.163, (80.0 - 32.0) / 1.8 + 273.15)
    assert 100.0 * found == pytest.approx(21.98, abs=0.05)
    with pytest.raises(ValueError, match="outside 280–320 K"):
        heat_allowance_frac(350.0, 27.0)


def test_coarser_systems():
    # computed on remembered values: A1B0G1A1B0P3A0 60 TMU = 2.16 s; M3G1 + M3P2 9 modules = 1.161 s.
    assert sequence_time_s("A1B0G1A1B0P3A0") == pytest.approx(2.16, rel=1e-9)
    assert modapts_time_s("M3G1 M3P2") == pytest.approx(1.161, rel=1e-9)
    with pytest.raises(ValueError, match="2 is no index"):
        sequence_time_s("A2B0")
    with pytest.raises(ValueError, match="no code 'M9'"):
        modapts_time_s("M9G1")


SCREWED = st.builds(
    Fastening,
    kind=st.sampled_from([Kind.BOLT, Kind.BOLT_AND_NUT]),
    count=st.integers(1, 20).map(float),
    diameter_m=st.sampled_from([None, 0.005, 0.006, 0.008, 0.010, 0.012, 0.0048]),
    prestarted=st.booleans(),
)


def seconds(joint: Fastening, shop=None, station: Station | None = None) -> float:
    steps = fastening_steps(joint, shop or packaged(), station or Station())
    return total([step.seconds for step in steps], unit="s").value


@given(SCREWED, st.integers(1, 4))
def test_more_bolts_are_never_faster(joint, spindles):
    more = Fastening(joint.kind, joint.count + 1.0, joint.diameter_m, joint.pitch_m, joint.prestarted)
    assert seconds(more, station=Station(spindles)) >= seconds(joint, station=Station(spindles)) > 0.0
    assert seconds(joint, station=Station(spindles + 1)) <= seconds(joint, station=Station(spindles))


@given(SCREWED)
def test_started_by_hand_costs_and_a_nut_costs(joint):
    started, loose = (
        Fastening(joint.kind, joint.count, joint.diameter_m, prestarted=flag) for flag in (True, False)
    )
    assert seconds(started, CYCLE) < seconds(loose, CYCLE)
    bolt, nut = (Fastening(kind, joint.count, joint.diameter_m) for kind in (Kind.BOLT, Kind.BOLT_AND_NUT))
    assert seconds(bolt) < seconds(nut)


@pytest.mark.parametrize("kind", [k for k in Kind if k not in (Kind.ELSEWHERE, Kind.UNKNOWN)])
def test_every_kind_has_a_plan_and_scales_with_its_count(kind):
    one, two = (Fastening(kind, n, 0.008, bead_m=n if kind is Kind.ADHESIVE else None) for n in (1.0, 2.0))
    assert 0.0 < seconds(one) < seconds(two)


@pytest.mark.parametrize(
    "kind", [Kind.CLIP, Kind.CONNECTOR, Kind.BOLT, Kind.BOLT_AND_NUT, Kind.HOSE_AND_CLAMP]
)
def test_motions_lie_near_the_line_rules(kind):
    """A sanity check of the plans, not a proof: rules of thumb are ranges without a source."""
    joint = Fastening(kind, 1.0, 0.008)
    rule = line_rule(joint, packaged())
    standard = 1.15 * seconds(joint)
    # common practice: ranges of the rules widened by a third on both sides.
    assert 0.66 * (rule.value - rule.expanded()) < standard < 1.5 * (rule.value + rule.expanded())


def test_heavy_bolts_take_a_reaction_arm_and_their_own_rule():
    light, heavy = (Fastening(Kind.BOLT, 1.0, d) for d in (0.010, 0.012))
    words = [step.words for step in fastening_steps(heavy, packaged(), Station())]
    assert "reaction arm" in words
    assert line_rule(heavy, packaged()).value > line_rule(light, packaged()).value


def test_audit_is_counted_only_where_stated():
    joint = Fastening(Kind.BOLT, 4.0, 0.008)
    audited = workshop(audit_share_frac=exact(0.5, "1"), audit_s=exact(3.0, "s"))
    # first principles: half of four fasteners at 3 s.
    assert seconds(joint, audited) - seconds(joint, workshop()) == pytest.approx(6.0)


def test_what_the_record_lacks_is_said():
    for joint, reason in (
        (Fastening(Kind.BOLT, 0.0), "number of fasteners"),
        (Fastening(Kind.ADHESIVE), "length of the bead"),
        (Fastening(Kind.UNKNOWN), "no motion plan"),
    ):
        with pytest.raises(ValueError, match=reason):
            fastening_steps(joint, packaged(), Station())
    with pytest.raises(ValueError, match="spindle_count = 0"):
        Station(0)


@given(st.floats(0.0, 60.0), st.floats(0.0, 20.0))
def test_heavier_parts_are_never_placed_faster(mass_kg, more_kg):
    def placed(mass):
        steps, _ = placing_steps(mass, None, packaged())
        return total([step.seconds for step in steps], unit="s").value

    assert placed(mass_kg) <= placed(mass_kg + more_kg) + 1e-12


def test_placing_says_what_it_took():
    assert placing_steps(None, None, packaged())[1] == "mass not known: carried as a light part"
    assert placing_steps(25.0, None, packaged())[1] == "lifted with an aid"
    small, large = (
        total([s.seconds for s in placing_steps(1.0, size, packaged())[0]], unit="s").value
        for size in (0.2, 0.9)
    )
    assert small < large
    with pytest.raises(ValueError, match="mass_kg = -1"):
        placing_steps(-1.0, None, packaged())


def test_obstruction_slows_the_joint_and_not_the_fetching():
    steps = fastening_steps(M10, CYCLE, Station())
    free, hard = (
        normal_time(steps, CYCLE, "bolt", "here", 1.0, obstructed=flag).value for flag in (False, True)
    )
    fetched = math.fsum(step.seconds.value for step in steps if not step.slowed)
    # first principles: (free − fetched) × 1.3 + fetched.
    assert hard == pytest.approx((free - fetched) * CYCLE.figure("obstructed_frac").value + fetched)


def test_errors_of_a_kind_are_shared_and_those_of_a_joint_are_not():
    shop = packaged()
    steps = fastening_steps(M10, shop, Station())
    one = normal_time(steps, shop, "bolt", "joint 1", 1.0, obstructed=False)
    many = total([normal_time(steps, shop, "bolt", f"joint {i}", 1.0, obstructed=False) for i in range(400)])
    kind = shop.figure("analysis_frac").standard_uncertainty
    # first principles: 400 equal joints average their own error away by 20; figures and kind stay.
    assert many.standard_uncertainty / many.value < one.standard_uncertainty / one.value
    assert many.standard_uncertainty / many.value > kind
