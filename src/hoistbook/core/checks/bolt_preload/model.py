"""What a tightening torque leaves in a bolt: preload, its scatter by method, share of yield, and what settles away."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from hoistbook.core.checks.bolt_preload.data import CHOICES, READINGS, SCATTER, SKETCH
from hoistbook.core.checks.bolt_preload.mechanics import (
    DESIGN_SHARE,
    bolt_force_n,
    bolt_stiffness_n_per_m,
    clamp_left_n,
    combined_over_tension,
    load_share,
    mean_diameter_m,
    member_stiffness_n_per_m,
    nut_factor,
    tightening_factor,
    torque_parts_m,
)
from hoistbook.core.checks.bolts import CLASSES, by_size
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule, Spread
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.words import NO_PERMISSION, kept
from hoistbook.core.cost.fasteners.thread import stress_area_m2

APART, SHORT, AT_YIELD = "VDI 2230, thread and head apart", "Shigley 8-26, factor K", "at yield of its class"


def _evaluate(g: Given) -> Found:
    d, pitch, of_class = g.diameter_m, g.pitch_m, CLASSES[g.choice("property_class")]
    area = stress_area_m2(d, pitch)
    yields = by_size(of_class.yield_pa, d)
    of_pitch, of_thread, of_head = torque_parts_m(
        d, pitch, g.contact_m, g.hole_m, g.friction_thread, g.friction_head
    )
    lever = of_pitch + of_thread + of_head
    by_k = nut_factor(d, mean_diameter_m(d, pitch), pitch, g.friction_thread, g.friction_head)
    over = combined_over_tension(d, pitch, g.friction_thread)
    at_yield = area * yields / over
    to_yield = g.choice("method") == "to yield"
    by = {AT_YIELD: at_yield} if to_yield else {APART: g.torque_n_m / lever, SHORT: g.torque_n_m / (by_k * d)}
    preload = next(iter(by.values()))
    scatter = SCATTER[g.choice("method")]
    low = {name: preload * (1.0 - t) for name, t in scatter.items()}
    high = {name: preload * (1.0 + t) for name, t in scatter.items()}
    bolt = bolt_stiffness_n_per_m(d, area, g.plain_m, g.grip_m - g.plain_m, g.bolt_youngs_pa)
    member = member_stiffness_n_per_m(d, g.grip_m, g.member_youngs_pa)
    give = 1.0 / bolt + 1.0 / member
    loss = g.embedding_m / give
    share = load_share(bolt, member)
    strained = {name: np.ones_like(d) if to_yield else value / at_yield for name, value in high.items()}
    return {
        "preload_n": Spread(by),
        "preload_low_n": Spread(low),
        "preload_high_n": Spread(high),
        "tightening_factor": Spread(
            {name: np.full_like(d, tightening_factor(t)) for name, t in scatter.items()}
        ),
        "yield_share_frac": Spread({name: value / at_yield for name, value in by.items()}),
        "yield_share_high_frac": Spread(strained),
        "clamp_left_n": Spread(
            {name: clamp_left_n(value - loss, share, g.pull_n) for name, value in low.items()}
        ),
        "loss_n": loss,
        "nut_factor": Spread({APART: lever / d, SHORT: by_k}),
        "pitch_share_frac": of_pitch / lever,
        "head_share_frac": of_head / lever,
        "allowed_n": DESIGN_SHARE * at_yield,
        "allowed_torque_n_m": DESIGN_SHARE * at_yield * lever,
        "proof_n": by_size(of_class.proof_pa, d) * area,
        "bolt_stress_pa": bolt_force_n(preload, share, g.pull_n) / area,
        "load_share_frac": share,
        "bolt_n_per_m": bolt,
        "member_n_per_m": member,
        "turn_rad": 2.0 * math.pi * preload * give / pitch,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    preload, low, high = (result.figure(name) for name in ("preload_n", "preload_low_n", "preload_high_n"))
    method, of_class = given.choice("method"), given.choice("property_class")
    torque = float(given.torque_n_m[0])
    words = []
    if method == "to yield":
        words.append(
            f"Tightened to yield, a bolt of class {of_class} clamps with {preload.value / 1e3:.1f} kN whatever the "
            f"{torque:.0f} N·m on the dial; bolts above the least strength of their class clamp harder."
        )
    else:
        head, pitch = result.figure("head_share_frac").value, result.figure("pitch_share_frac").value
        words.append(
            f"{torque:.0f} N·m leaves {preload.value / 1e3:.1f} kN in the bolt on average. Only {pitch:.0%} of the "
            f"torque "
            f"stretches it; friction under the head takes {head:.0%}. A bolt of a higher class clamps no harder at "
            f"the "
            f"same torque: it only stands more of it."
        )
    words.append(
        f"From piece to piece it lies between {min(one.value for one in low.formulas or (low,)) / 1e3:.1f} and "
        f"{max(one.value for one in high.formulas or (high,)) / 1e3:.1f} kN by the sources for this method."
    )
    share = result.figure("yield_share_frac").value
    strained = next(one for one in result.held if one.outcome == "yield_share_high_frac")
    if method != "to yield":
        words.append(
            f"On average {share:.0%} of the yield of class {of_class} is used while turning, with {DESIGN_SHARE:.0%} "
            "usual at most; for the tightest of them the least yield of the class "
            f"{kept(replace(strained, safety=False))}."
        )
    loss = result.figure("loss_n").value
    words.append(
        f"Settling takes {loss / 1e3:.1f} kN of it ({loss / preload.value:.0%}); short grips lose most."
    )
    if float(given.pull_n[0]) > 0.0:
        opened = next(one for one in result.held if one.outcome == "clamp_left_n")
        words.append(f"That the joint stays closed under its pull {kept(replace(opened, safety=False))}.")
    words.append(NO_PERMISSION)
    return " ".join(words)


CHECK = Check(
    name="bolt_preload",
    title="Preload of a bolt",
    question="How hard does this bolt clamp at its torque, how surely, and how near to yield is it?",
    family="joints",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("preload_n", "preload on average", "N", show="kN"),
        Outcome("preload_low_n", "preload of the least tightened", "N", show="kN"),
        Outcome("preload_high_n", "preload of the most tightened", "N", show="kN"),
        Outcome("tightening_factor", "greatest over least preload", "1"),
        Outcome("yield_share_frac", "combined stress over yield, on average", "1", show="%"),
        Outcome("yield_share_high_frac", "combined stress over yield, most tightened", "1", show="%"),
        Outcome("clamp_left_n", "clamp left of the least, settled and pulled", "N", show="kN"),
        Outcome("loss_n", "preload lost by settling", "N", show="kN"),
        Outcome("nut_factor", "torque over preload and diameter, K", "1"),
        Outcome("pitch_share_frac", "share of the torque that stretches the bolt", "1", show="%"),
        Outcome("head_share_frac", "share of the torque under the head", "1", show="%"),
        Outcome("allowed_n", "preload at 90 % of yield", "N", show="kN"),
        Outcome("allowed_torque_n_m", "torque for it", "N.m"),
        Outcome("proof_n", "proof load of the bolt", "N", show="kN"),
        Outcome(
            "bolt_stress_pa",
            "stress in the bolt, preload on average and its share of the pull",
            "Pa",
            show="MPa",
        ),
        Outcome("load_share_frac", "share of an outside pull that the bolt feels", "1", show="%"),
        Outcome("bolt_n_per_m", "stiffness of the bolt", "N/m", show="kN/mm"),
        Outcome("member_n_per_m", "stiffness of what is clamped", "N/m", show="kN/mm"),
        Outcome("turn_rad", "turn from snug to the preload", "rad", show="deg"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "yield_share_high_frac",
            "at most",
            1.0,
            "combined stress of the most tightened against yield",
            "from memory",
            "VDI 2230: combined stress by the distortion energy; yield by ISO 898-1",
            safety=True,
        ),
        Limit(
            "clamp_left_n",
            "at least",
            0.0,
            "the joint opens where nothing clamps it",
            "first principles",
            "members part at zero pressure",
            safety=True,
        ),
    ),
    rules=(
        Rule(
            "the plain shank within the clamped thickness is longer than the thickness: measure again",
            lambda g: g.plain_m > g.grip_m,
        ),
        Rule(
            "the contact under the head is no larger than the hole: there is nothing to bear on",
            lambda g: g.contact_m <= g.hole_m,
        ),
    ),
    cannot_say=(
        "What torque undoes the bolt: that is another figure than the torque it was tightened with",
        "Preload after heat, creep of plastic, gaskets or paint, and after use",
        "Bolts of stainless steel or titanium, whose classes differ",
        "Fatigue: hold the alternating part of the bolt's load against the thread",
    ),
    references=(
        "from memory: VDI 2230: torque by pitch, thread and head; combined stress; settling",
        (
            "published: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 8-26, 8-27, tables "
            "8-13 to 8-15, example 8-3"
        ),
        "published: tolerances of VDI 2230:1986 by method, second hand, in a fastener house's table",
        "published: Machinery's Handbook and NASA (NSTS 08307), second hand, in a compilation of methods",
        "published: ISO 898-1, second hand; from memory: proof stress of 8.8 up to M16",
    ),
    method="""
| what | equation | source |
|---|---|---|
| preload | T/(0.16 P + 0.58 d2 μ + (dW + dh)/4 μ) | from memory: VDI 2230 |
| the same | T/(K d), K = (dm/2d)(tan λ + f sec α)/(1 − f tan λ sec α) + 0.625 f | published: Shigley 8-26 |
| at yield | As R/√(1 + 3 [1.5 (d2/d0)(P/(π d2) + 1.155 μ)]²) | from memory: VDI 2230 |
| scatter by method | ± a share, by VDI 2230:1986, Machinery's Handbook, NASA | published, second hand |
| tightening factor | (1 + t)/(1 − t) | published, second hand: VDI 2230:1986 |
| stiffness of bolt and members | Shigley 8-4, 8-5 | from memory |
| loss | settling/(1/kb + 1/km) | from memory: VDI 2230 |
| clamp left | least preload − loss − (1 − C) pull, C = kb/(kb + km) | published: Shigley, example 8-3 |

Methods, ± share of the mean: torque, friction estimated 23–28 % (VDI), 25 % (Handbook), 25–35 % (NASA); friction tested
17–23 % (VDI); power driver 26–43 % (VDI); impact driver 43–60 % (from memory); by feel 35 % (Handbook); yield or angle
5–12 % (VDI), 8–15 % (Handbook). The first formula carries the scatter.
""",
    cautions=(
        "A preloaded bolt that breaks flies: stand aside, wear glasses. Bolts tightened to yield are not used again.",
    ),
)
