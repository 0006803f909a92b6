"""Tests of the intact vehicle: time series in, quantities with bands out."""
