"""Words of the quantities: one name for one thing, and names of earlier versions still read."""

import pytest

from core.energy.example import FULL_CHAIN, changed
from hoistbook.core.energy.model import simulate
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, quantity_kind
from hoistbook.reference.cycles import cycle


def test_no_two_quantities_share_a_name():
    # first principles: a name that two quantities share is read as one of them.
    words = [kind.words.casefold() for kind in QUANTITY_KINDS.values()]
    assert len(set(words)) == len(words)
    assert not set(words) & {
        kind.key for kind in QUANTITY_KINDS.values() if kind.words.casefold() != kind.key
    }


def test_words_of_earlier_versions_still_read():
    # published: drop-down list of the workbook template of release 0.1.0.
    assert quantity_kind("Share of the braking energy at the wheels that is sent back").key == "return_share"


@pytest.mark.parametrize("share", [0.3, 0.58, 1.0])
def test_the_share_of_braking_is_told_before_the_losses(share):
    """Why a share of 58 % at the drive unit is another quantity than the 43 % a drive finds back in the pack."""
    free = {"cut_in_low_m_per_s": 0.0, "cut_in_full_m_per_s": 0.0, "adhesion_frac": float("inf")}
    plain = simulate(cycle("wltc3b"), changed(FULL_CHAIN, return_frac=share, **free))
    # first principles: without fade and limits every newton that may go to the drive unit is that share of the braking.
    assert float(plain.returned_j / plain.braking_j) == pytest.approx(share, rel=1e-9)
    faded = simulate(cycle("wltc3b"), changed(FULL_CHAIN, return_frac=share))
    # What is faded out takes away from it, and so do the losses on the way to the pack: per braking joule the
    # energy spared at the terminals is less.
    none = simulate(cycle("wltc3b"), changed(FULL_CHAIN, return_frac=0.0))
    spared = float((none.terminal_j - faded.terminal_j) / faded.braking_j)
    assert spared < float(faded.returned_j / faded.braking_j) < share
