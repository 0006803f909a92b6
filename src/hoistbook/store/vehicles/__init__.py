"""Vehicles: what was stated about each torn-down specimen."""

from hoistbook.store.setup import configure

configure()
