"""Hand-made walks for tests of what is shown. The figures are invented; nothing is checked against them."""

from hoistbook.core.compare.bars import Bar, DecisionBar, Interval, Remark
from hoistbook.core.compare.walk import Walk
from hoistbook.core.quantities.assumption import definition


def around(value, half):
    return Interval(value, value - half, value + half)


def bar(name, words, value, half, origin, *, limit, p=0.999, decisions=(), merged=(), remark="", amount=None):
    amount = amount or around(value, half)
    rest = value - sum(d.amount.value for d in decisions)
    return Bar(
        name=name,
        words=words,
        amount=amount,
        origin=origin,
        merged=merged,
        resolved=abs(value) >= limit,
        p_sign=p,
        first_in=None if merged else value,
        last_in=None if merged else value,
        decisions=decisions,
        unexplained=around(rest, half),
        remark=remark,
    )


def walk(
    rows,
    *,
    quantity,
    unit,
    start,
    limit,
    comparison="as found",
    remarked=(),
    assumed=(),
    half_x=3.0,
    decisions=(),
    end_words=("measured", "measured"),
):
    bars = tuple(bar(*row[:5], limit=limit, **(row[5] if len(row) > 5 else {})) for row in rows)
    gap = sum(b.amount.value for b in bars)
    decided = sum(line.amount.value for line in decisions)
    return Walk(
        quantity=quantity,
        unit=unit,
        code_x="W1",
        code_y="T1",
        comparison=comparison,
        value_x=around(start, half_x),
        value_y=around(start + gap, half_x),
        gap=around(gap, limit),
        gap_sign=0.999,
        detection_limit=limit,
        bars=bars,
        decisions=tuple(decisions),
        remarked=tuple(remarked),
        assumed=tuple(assumed),
        effective_draws=9000.0,
        closing_error=0.0,
        end_words=end_words,
        basis="specimen",
        decided=around(decided, 300.0),
        undecided=around(gap - bars[-1].amount.value - decided, 400.0),
    )


MASS_DECISIONS = (
    DecisionBar("modules", "battery modules", around(-1670.0, 150.0)),
    DecisionBar("towing", "towing preparation", around(-1300.0, 120.0)),
    DecisionBar("cooling", "cooling circuits", around(280.0, 30.0)),
    DecisionBar("floor", "load floor", around(-230.0, 20.0)),
    DecisionBar("seats", "seats", around(-0.4, 2.0)),
)
MERGE = Remark(
    "tyre coefficient and drag force and torque are one bar: their bands cancel.", ("wheel spin-down",)
)

AS_FOUND_ROWS = (
    ("usable_energy", "usable battery energy", 15600.0, 2100.0, "measured"),
    ("tyres+drag_force", "tyre coefficient and drag force and torque", -9400.0, 2000.0, "inferred",
     {"merged": ("tyres", "drag_force"), "remark": str(MERGE)}),
    ("recuperation", "recuperation", -6800.0, 3100.0, "inferred"),
    ("mass", "mass", -5600.0, 600.0, "measured", {"decisions": MASS_DECISIONS}),
    ("drag_area", "drag area", -4900.0, 2400.0, "published"),
    ("drive_unit", "drive-unit losses", -3600.0, 3300.0, "inferred", {"p": 0.98}),
    ("auxiliaries", "auxiliaries", -2300.0, 700.0, "measured", {"p": 0.996}),
    ("label", "label factor", 0.0, 0.0, "assumed", {"p": 0.5}),
    ("not_explained", "not explained yet", -2400.0, 5400.0, "not explained",
     {"p": 0.81, "amount": Interval(-2400.0, -9700.0, 1900.0)}),
)  # fmt: skip
NORMALISED_ROWS = tuple(
    (*row[:2], {"tyres+drag_force": -6100.0, "mass": -4300.0}.get(row[0], row[2]), *row[3:])
    for row in AS_FOUND_ROWS
)


def range_walk(rows=AS_FOUND_ROWS, comparison="as found", **options):
    return walk(
        rows,
        quantity="range",
        unit="m",
        start=268400.0,
        limit=4500.0,
        comparison=comparison,
        remarked=(MERGE,),
        assumed=(definition("driver of 75 kg added to the curb mass of W1"),),
        half_x=3300.0,
        decisions=MASS_DECISIONS,
        **options,
    )


def normalised_walk():
    return range_walk(NORMALISED_ROWS, "normalised")


def mass_walk():
    rows = (
        ("BA", "battery and its housing", 41.2, 0.9, "measured"),
        ("BO", "body structure and closures of the load compartment", 28.6, 1.1, "measured"),
        ("SU", "suspension and steering", 24.4, 0.5, "measured"),
        ("IN", "interior", 9.1, 1.6, "inferred"),
        ("EL", "low-voltage electrics", 4.6, 0.8, "measured"),
        ("TH", "thermal", -5.2, 0.2, "measured"),
        (
            "not_explained",
            "not explained: on the scale, not among the parts",
            1.3,
            3.0,
            "not explained",
            {"p": 0.81},
        ),
    )
    return walk(rows, quantity="mass", unit="kg", start=1638.0, limit=3.0, half_x=2.1)
