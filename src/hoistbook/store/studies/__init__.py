"""Studies: their rows as stated, and their versions as frozen."""

from hoistbook.store.setup import configure

configure()
