"""Threaded fasteners: geometry, mass, price, and what another one in their place would change."""
