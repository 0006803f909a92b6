"""Claims of a study in a store: judged as the record stands, and what the record said of them before."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from hoistbook.core.compare.study import Study
from hoistbook.core.compare.study_settings import settings
from hoistbook.core.vehicle.problem import closest
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.as_json.claims import claims_json, stated_json
from hoistbook.services.claim_bench import Settings
from hoistbook.services.claims import judge_claims
from hoistbook.services.keeping import (
    Json,
    canonical,
    input_hash,
    kept,
    kept_or_worked_out,
    model_version,
    note_refusal,
    refused_just_now,
)
from hoistbook.services.record import Record, codes, teardown
from hoistbook.services.study import USUAL_DUTY, known_study
from hoistbook.services.vehicles import vehicle_states
from hoistbook.store.claims.reading import (
    NewState,
    StoredState,
    add_states,
    last_change_of_all,
    last_states,
    states_of,
)
from hoistbook.store.problems import Busy, StoreRefused
from hoistbook.store.studies.reading import versions
from hoistbook.store.writing import discard, writing

PROGRAM = "hoistbook"
"""Who writes down what the record says of a claim: nobody but the program."""

_STATED = ("quantity", "vehicle", "relation", "other", "function", "part", "threshold", "duty")

Progress = Callable[[int, int, str], None]


def claims_of(record: Record, code: str, progress: Progress | None = None) -> Json:
    """Judge the claims of a study as the record stands, and write down every claim that changed its state.

    Parameters
    ----------
    record : Record
    code : str
        Of the study.
    progress : callable, optional

    Returns
    -------
    dict
        As `hoistbook claims --json` prints it. Of every claim `since` says from which change of the record on it has
        stood like this, `before` what was said before, and `new` whether it was written down now.

    Raises
    ------
    LookupError
        There is no such study.

    Notes
    -----
    Duty, draws, seed and how sure is sure enough are those of the last frozen version; of a study that is not frozen,
    those of its workbook, and the result says so. A state is written down when the claim, its state, its probability to
    two digits or its figures are other ones than the last time. A result is kept by what it came from, so that asking
    twice works nothing out anew.
    """
    study = known_study(record, code)
    at = last_change_of_all()
    asked = _asked(record, study)

    def work() -> Json:
        # In the states the result is kept by.
        there = {vehicle: teardown(record, vehicle, at) for vehicle, at in asked.inputs["states"].items()}
        return claims_json(
            judge_claims(
                study.claims,
                study.codes,
                there,
                asked.inputs["configurations"],
                asked.settings,
                progress,
                asked.remarks,
            )
        )

    found = kept_or_worked_out(record, "claims", asked.inputs, work)
    return _written_down(record, code, {"study": code, "title": study.title, **found}, at)


def kept_claims(record: Record, code: str) -> Json | None:
    """The same, where all of it is worked out and written down already; None where `claims_of` has something to do.

    Raises
    ------
    LookupError
        There is no such study.
    """
    study = known_study(record, code)
    found = kept(record, "claims", _asked(record, study).inputs)
    if found is None:
        return None
    told: Json = {"study": code, "title": study.title, **found.value}
    former = last_states(code)
    new = _new_states(_states(told), former)
    if not new:
        return _with_stamps(told, former, former, [])
    return _not_written(_with_stamps(told, former, former, new)) if refused_just_now(record) else None


def claims_key(record: Record, code: str) -> str:
    """Hash of everything the claims of a study are judged by: the same one, the same result.

    Raises
    ------
    LookupError
        There is no such study.
    """
    return input_hash("claims", _asked(record, known_study(record, code)).inputs)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the claims of a study are judged by."""

    inputs: Json
    settings: Settings
    remarks: tuple[str, ...]


def _asked(record: Record, study: Study) -> _Asked:
    chosen, remarks = _settings(study)
    there = set(codes(record))
    return _Asked(
        {
            "subject": study.code,
            "states": vehicle_states(record, [code for code in study.codes if code in there]),
            "order": list(study.codes),
            "configurations": {row.vehicle: row.configuration for row in study.vehicles},
            "claims": [stated_json(claim) for claim in study.claims],
            "duty": chosen.duty,
            "sure_enough_frac": chosen.sure_enough_frac,
            "draws": chosen.n_draws,
            "seed": chosen.seed,
            "remarks": list(remarks),
        },
        chosen,
        remarks,
    )


def _settings(study: Study) -> tuple[Settings, tuple[str, ...]]:
    frozen = versions(study.code)
    last = frozen[-1] if frozen else None
    fixed = settings(study.assumptions if last is None else last.frozen.assumptions)
    chosen = Settings(
        duty=fixed.duty or USUAL_DUTY,
        sure_enough_frac=fixed.sure_enough_frac,
        n_draws=fixed.n_draws or DEFAULT_DRAWS,
        seed=DEFAULT_SEED if fixed.seed is None else fixed.seed,
    )
    if last is None:
        return chosen, (
            "the study is not frozen: its assumptions are those of the workbook and may still change",
        )
    return chosen, ()


def _written_down(record: Record, code: str, told: Json, at: int) -> Json:
    """Write down the claims whose state is a new one, and say since when each has stood as it does."""
    fresh = _states(told)
    former = last_states(code)
    new = _new_states(fresh, former)
    busy, refused = False, False
    if new:
        try:
            with writing(PROGRAM, "claims", f"study {code}") as change:
                # Somebody else may have written the same meanwhile.
                if not add_states(code, fresh, change, at, model_version()):
                    discard(change)
        except Busy:
            busy = True
        except StoreRefused as error:
            refused = True
            note_refusal(record, error)
    found = _with_stamps(told, last_states(code), former, new)
    if busy:
        found["remarks"].append("somebody else was writing: these states are not written down yet")
    return _not_written(found) if refused else found


def _not_written(told: Json) -> Json:
    remark = "the store cannot be written: states that are new are not written down"
    return {**told, "remarks": [*told["remarks"], remark]}


def _states(told: Json) -> dict[str, NewState]:
    return {
        one["claim"]: NewState(one["state"], one["probability"], _fingerprint(one), canonical(one))
        for one in told["claims"]
    }


def _new_states(fresh: Mapping[str, NewState], former: Mapping[str, StoredState]) -> list[str]:
    return [c for c, state in fresh.items() if c not in former or former[c].fingerprint != state.fingerprint]


def _with_stamps(
    told: Json, in_force: Mapping[str, StoredState], former: Mapping[str, StoredState], new: Sequence[str]
) -> Json:
    """The claims with since when each has stood as it does, and what was said before where that changed."""
    claims = []
    for one in told["claims"]:
        name = one["claim"]
        state, before = in_force.get(name), former.get(name)
        claims.append(
            {
                **one,
                "new": name in new,
                "since": None if state is None else _stamp(state),
                "before": None if before is None or name not in new else _stamp(before),
            }
        )
    return {**told, "claims": claims, "remarks": list(told["remarks"])}


def _stamp(state: StoredState) -> Json:
    return {
        "state": state.state,
        "probability": state.probability,
        "change": state.record_change,
        "written_in": state.change,
        "at": state.at.isoformat(timespec="seconds"),
        "model": state.model_version,
    }


def _fingerprint(one: Json) -> str:
    """Digest of what makes a state another one: the claim, its state, its probability to two digits, its figures."""
    stated = {name: one[name] for name in _STATED}
    figures = [{name: _rounded(value) for name, value in figure.items()} for figure in one["figures"]]
    probability = None if one["probability"] is None else round(one["probability"], 2)
    return hashlib.sha256(canonical([stated, one["state"], probability, figures]).encode()).hexdigest()


def _rounded(value: Any) -> Any:
    """Figures to nine digits: beyond them processors differ."""
    return float(f"{value:.9g}") if isinstance(value, float) else value


def claim_history(record: Record, code: str, claim: str) -> Json:
    """What the record said of a claim over time.

    Parameters
    ----------
    record : Record
    code : str
        Of the study.
    claim : str

    Returns
    -------
    dict
        `states`, the first one first, each with the change of the record it was worked out at (`change`), the one that
        wrote it down, the time, the model, the figures and the sentence.

    Raises
    ------
    LookupError
        No such study, or no such claim in it now or ever.
    """
    study = known_study(record, code)
    found = states_of(code, claim)
    known = {c.code for c in study.claims} | set(last_states(code))
    if claim not in known:
        msg = f"study {code} has no claim {claim!r}; {closest(claim, sorted(known))}"
        raise LookupError(msg)
    return {
        "study": code,
        "claim": claim,
        "states": [{**_stamp(state), "value": json.loads(state.value)} for state in found],
    }
