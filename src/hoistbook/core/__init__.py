"""The plain Python library: values in, values out; no files, no clock, no web."""
