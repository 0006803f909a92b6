"""The command line: parse, call a service, show."""
