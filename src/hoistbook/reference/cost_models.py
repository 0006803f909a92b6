"""Writes what quotes made of process models into the text of a scenario."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping

from hoistbook.core.cost.scenario import ModelError

_HEAD = "[model."


def with_model_errors(text: str, errors: Mapping[str, ModelError]) -> str:
    """Return the text of a scenario with these errors of process models in place of those it has.

    Parameters
    ----------
    text : str
        TOML with each table under a heading of its own.
    errors : mapping of str to ModelError
        By process.

    Notes
    -----
    Lines of other tables, comments among them, stay as they are.
    """
    kept: list[str] = []
    inside = False
    for line in text.splitlines():
        if line.lstrip().startswith("["):
            inside = line.replace(" ", "").startswith(_HEAD)
        if not inside:
            kept.append(line)
    while kept and not kept[-1].strip():
        kept.pop()
    for name, one in errors.items():
        kept += ["", f"{_HEAD}{name}]"]
        numbers = {"bias_ln": one.bias_ln, "scale_ln": one.scale_ln, "dof": one.dof}
        if one.own_share_frac is not None:
            numbers["own_share_frac"] = one.own_share_frac
        kept += [f"{key} = {'inf' if math.isinf(value) else repr(value)}" for key, value in numbers.items()]
        # A JSON text is a TOML one but for the sign U+007F.
        kept.append(f"words = {json.dumps(one.words, ensure_ascii=False)}".replace("\x7f", ""))
    return "\n".join(kept) + "\n"
