"""States of claims over time."""

from hoistbook.store.setup import configure

configure()
