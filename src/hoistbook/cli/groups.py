"""Commands of commands: without a further word they print what there is, and one of them may go without saying."""

from __future__ import annotations

from typing import Any

from typer.core import TyperGroup


class Family(TyperGroup):
    """Commands of one subject; without a word they print their help and end well."""

    implied = ""
    """The command that is meant where the first word is none of them; empty where every word has to be one."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Put in place what goes without saying."""
        if not args:
            args = ["--help"]
        elif self.implied and args[0] not in self.commands and args[0] not in ctx.help_option_names:
            args = [self.implied, *args]
        return super().parse_args(ctx, args)
