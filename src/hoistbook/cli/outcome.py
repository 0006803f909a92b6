"""How a command ends: exit codes, and errors said as what, where and how to mend it, never as a traceback."""

from __future__ import annotations

import json
import linecache
import os
import sys
import traceback
from collections.abc import Sequence
from functools import partial
from typing import Any

import typer
from typer.core import TyperGroup

from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.cli.page import Page

DONE, UNEXPECTED, REFUSED = 0, 1, 2
TRACEBACK_VARIABLE = "HOISTBOOK_TRACEBACK"
MOST_FAULTS = 50
"""Faults printed one by one; the rest is counted, and --json lists all."""


class Commands(TyperGroup):
    """The commands, with one way to end for all of them."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command line; standing alone, leave the process with the exit code of what happened."""
        run = partial(super().main, prog_name=prog_name, complete_var=complete_var, standalone_mode=False)
        if not standalone_mode:
            return run(args, **extra)
        words = list(sys.argv[1:] if args is None else args)
        for stream in (sys.stdout, sys.stderr):
            _write_any_sign(stream)
        try:
            result = run(words, windows_expand_args=windows_expand_args, **extra)
            sys.stdout.flush()
        except BrokenPipeError:
            _leave_closed_pipe()
            sys.exit(DONE)
        except typer.Abort:
            sys.exit(UNEXPECTED)
        except Exception as error:
            sys.exit(report(error, as_json="--json" in words))
        sys.exit(result if isinstance(result, int) else DONE)


def report(error: Exception, *, as_json: bool) -> int:
    """Tell the user what went wrong and return the exit code.

    Parameters
    ----------
    error : Exception
    as_json : bool
        Faults go to standard output as one JSON object; otherwise they are sentences on standard error.

    Returns
    -------
    int
        2 for a workbook or an argument that can be mended, 1 for anything else.
    """
    faults = faults_of(error)
    if faults is None:
        message = _unexpected(error)
        if as_json:
            typer.echo(json.dumps({"faults": [Fault("", 0, "", "", message).to_dict()]}, ensure_ascii=False))
        return UNEXPECTED
    if as_json:
        typer.echo(
            json.dumps({"faults": [fault.to_dict() for fault in faults]}, ensure_ascii=False, indent=2)
        )
        return REFUSED
    page = Page(sys.stderr)
    if isinstance(error, LoadRefused):
        page.text(str(error).partition("\n")[0])
        page.bullets(str(fault) for fault in faults[:MOST_FAULTS])
        if len(faults) > MOST_FAULTS:
            page.text(f"{len(faults) - MOST_FAULTS} more faults are not printed; --json lists all of them.")
    else:
        for fault in faults:
            page.text(fault.message)
    return REFUSED


def faults_of(error: Exception) -> tuple[Fault, ...] | None:
    """What there is to mend; None when the error is not the user's to mend."""
    if isinstance(error, LoadRefused):
        return error.faults
    usage = getattr(error, "format_message", None)
    if usage is not None:  # a wrong command line, as the parser of arguments says it
        param = getattr(error, "param", None)
        names = [
            getattr(error, "option_name", ""),
            getattr(param, "metavar", ""),
            *getattr(param, "opts", ()),
        ]
        command = getattr(getattr(error, "ctx", None), "command_path", "hoistbook")
        said = str(usage()).replace("Value error, ", "").rstrip(".")
        return (Fault("", 0, next(filter(None, names), ""), "", f"{said}. See: {command} --help"),)
    if isinstance(error, MemoryError):
        return (Fault("", 0, "--draws", "", "not enough memory for this many draws; take fewer."),)
    if isinstance(error, OSError):
        what = error.strerror or str(error)
        place = f"{error.filename}: " if error.filename else ""
        return (Fault("", 0, "", str(error.filename or ""), f"{place}{what}."),)
    if type(error).__module__ == "django.db.utils":  # only a store brings that package in
        from hoistbook.services.vehicles import said_of_store

        told = said_of_store(error)
        return None if told is None else (Fault("", 0, "--store", "", told),)
    if isinstance(error, ValueError | LookupError) and _ours(error):
        return (Fault("", 0, "", "", str(error.args[0]) if error.args else type(error).__name__),)
    return None


def _ours(error: Exception) -> bool:
    """Whether this package said `raise`, and so wrote the message for people; a slip of the program did not."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None or not str(trace.tb_frame.f_globals.get("__name__", "")).startswith("hoistbook."):
        return False
    line = linecache.getline(trace.tb_frame.f_code.co_filename, trace.tb_lineno).strip()
    return line.startswith("raise")


def _unexpected(error: Exception) -> str:
    if os.environ.get(TRACEBACK_VARIABLE):
        traceback.print_exception(error, file=sys.stderr)
    frames = traceback.extract_tb(error.__traceback__)
    place = f" in {frames[-1].name}, line {frames[-1].lineno}" if frames else ""
    message = (
        f"hoistbook met something it did not expect ({type(error).__name__}: {error}{place}). This is a fault of the "
        f"program, not of your workbook; please report it with the command. {TRACEBACK_VARIABLE}=1 shows more."
    )
    Page(sys.stderr).text(message)
    return message


def _leave_closed_pipe() -> None:
    """Point standard output at nothing once its reader has gone, as `| head` does.

    Otherwise the interpreter complains at its end that it cannot write what is left.
    """
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())


def _write_any_sign(stream: Any) -> None:
    """Let a stream take −, ± and ≥ where the platform's encoding could not."""
    try:
        "−±≥◂".encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        stream.reconfigure(encoding="utf-8")
