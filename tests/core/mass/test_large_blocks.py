"""Large groups of weighings: the sparse way gives the figures of the dense one, and too large a group is refused."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array

from hoistbook.core.mass import gls, reconcile
from hoistbook.core.mass.book import mass_book
from hoistbook.core.mass.gls import Block, fit_blocks
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.vehicle.records import Configuration, Measurement, Node, NodeKind, Teardown, Vehicle


def sparse(block):
    return dataclasses.replace(block, design=csr_array(block.design))


@st.composite
def blocks(draw):
    """Connected or not, of full rank or not, with readings of unlike sharpness, shared sources and typing errors."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    unknowns = draw(st.integers(1, 8))
    readings = unknowns + draw(st.integers(1, 6))
    design = rng.integers(0, 3, (readings, unknowns)) * rng.choice([1.0, 4.0, 60.0], (readings, unknowns))
    design[0, design.sum(axis=0) == 0.0] = 1.0
    if draw(st.booleans()) and unknowns > 2:
        design[:, 2] = 2.0 * design[:, 0] + design[:, 1]
    own = rng.uniform(0.01, 0.1, readings) * rng.choice([0.01, 1.0, 1.0, 10.0], readings)
    shared = rng.normal(0.0, 0.1, (readings, 2))
    values = design @ rng.uniform(0.5, 9.0, unknowns) + own * rng.normal(size=readings)
    if draw(st.booleans()):
        values[-1] *= 2.0
    return Block(design, values, own, shared)


@settings(max_examples=150, deadline=None)
@given(st.lists(blocks(), min_size=1, max_size=3))
def test_the_sparse_way_gives_the_figures_of_the_dense_one(found):
    # first principles: the same least-squares problem, by QR and pseudo-inverse and by a sparse factorisation of the
    # augmented system.
    dense, large = fit_blocks(found, 2), fit_blocks([sparse(block) for block in found], 2)
    assert [fit.dropped for fit in large.blocks] == [fit.dropped for fit in dense.blocks]
    assert [fit.tied for fit in large.blocks] == [fit.tied for fit in dense.blocks]
    for block, a, b in zip(found, dense.blocks, large.blocks, strict=True):
        scale = np.abs(block.values_kg).max()
        np.testing.assert_allclose(b.gain, a.gain, rtol=1e-5, atol=1e-6 * np.abs(a.gain).max())
        np.testing.assert_allclose(b.residual_kg, a.residual_kg, atol=2e-6 * scale)
        np.testing.assert_allclose(b.residual_u_kg, a.residual_u_kg, atol=2e-6 * scale)


@pytest.mark.parametrize("count", [250, 251])
def test_a_ring_of_pairs(count, monkeypatch):
    """Every pair of neighbours weighed together: an even ring leaves one mass open, an odd one none."""
    monkeypatch.setattr(gls, "_fit_dense", lambda *_: pytest.fail("solved with dense factorisations"))
    book = mass_book(ring(count))
    # first principles: each part is in two weighings, so the sum is half the sum of the readings, with u √n / 2 of one.
    assert book.total.value == pytest.approx(count * 2.0 / 2.0, abs=1e-9)
    assert book.total.standard_uncertainty == pytest.approx(0.05 * np.sqrt(count) / 2.0, rel=1e-9)
    assert len(book.roll.solution.blocks[0].fit.dropped) == (1 if count % 2 == 0 else 0)


def test_too_many_weighings_that_hang_together_are_refused(monkeypatch):
    monkeypatch.setattr(reconcile, "MOST_READINGS", 40)
    mass_book(ring(40))
    with pytest.raises(ValueError, match=r"41 weighings hang together.* more than 40"):
        mass_book(ring(41))


def ring(count):
    tags = [f"D{i}" for i in range(count)]
    readings = [
        Measurement(
            f"M{i}",
            tags[i],
            "mass",
            Quantity(2.0, "kg", ((Source(f"M{i}"), 0.05),)),
            covers=((tags[i], 1.0), (tags[(i + 1) % count], 1.0)),
        )
        for i in range(count)
    ]
    return Teardown(
        Vehicle("R", "Ring"),
        configurations=(Configuration("a", "R"),),
        nodes=(
            Node("R", None, "ring", NodeKind.ASSEMBLY),
            *(Node(tag, "R", "link", NodeKind.PART) for tag in tags),
        ),
        measurements=tuple(readings),
    )
