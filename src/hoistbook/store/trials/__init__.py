"""Tests of the intact vehicle with what they said, and channel maps by name."""

from hoistbook.store.setup import configure

configure()
