"""Who wrote what into the record, when, and from which file."""

from hoistbook.store.setup import configure

configure()
