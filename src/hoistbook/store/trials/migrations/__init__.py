"""Migrations of the tests of the intact vehicle."""
