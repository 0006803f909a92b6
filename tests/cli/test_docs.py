"""The page about the commands names every command, every option and every key scripts rely on."""

from pathlib import Path

import pytest
from typer.main import get_command

from cli.schemas import CAUSE, CYCLE, GAP
from hoistbook.cli.main import app

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "commands.md").read_text()


def commands_below(group, lead=""):
    """Every command by its words, those of groups too."""
    for name, command in group.commands.items():
        yield f"{lead}{name}", command
        if hasattr(command, "commands"):
            yield from commands_below(command, f"{lead}{name} ")


COMMANDS = dict(commands_below(get_command(app)))


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_command_and_option_is_on_the_page(name):
    section = PAGE.partition(f"\n## hoistbook {name}\n")[2].partition("\n## ")[0]
    assert section, f"no section for {name}"
    for parameter in COMMANDS[name].params:
        for option in parameter.opts:
            if option.startswith("--") and option != "--help":
                assert f"`{option}" in section, f"{name}: {option} is not described"


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_option_has_help(name):
    assert COMMANDS[name].help
    assert [p.name for p in COMMANDS[name].params if not p.help] == []


def test_keys_of_the_contract_are_on_the_page():
    for key in {*CAUSE["required"], *GAP["required"], *CYCLE["required"]}:
        assert f"`{key}`" in PAGE or f'"{key}"' in PAGE, key
