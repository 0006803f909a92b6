"""Results: what an engine once said, with what it said it from."""

from hoistbook.store.setup import configure

configure()
