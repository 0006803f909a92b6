"""The record: every row ever stated, in a database beside the files it came from; nothing is changed or deleted."""
