"""hoistbook check: the list, a check from settings, refusals."""

import jsonschema
import pytest

from cli.running import run

SET = ("torque_n_m=1800", "span_left_m=330 mm", "span_right_m=0.62", "drop_left_m=40 mm", "drop_right_m=4 cm")
NUMBER = {"type": "number"}
TEXTS = {"type": "array", "items": {"type": "string"}}
FOUND = {
    "type": "object",
    "required": [
        "results",
        "limit",
        "margin",
        "verdict",
        "dominant_input",
        "assumptions",
        "caveats",
        "references",
    ],
    "properties": {
        "results": {
            "type": "array",
            "minItems": 1,
            "items": {
                "required": ["name", "unit", "value", "low", "high"],
                "properties": {"value": NUMBER, "low": NUMBER, "high": NUMBER},
            },
        },
        "verdict": {"type": "string", "minLength": 20},
        "assumptions": TEXTS,
        "caveats": TEXTS,
        "references": TEXTS,
    },
}
LISTED = {
    "type": "object",
    "properties": {
        "checks": {
            "type": "array",
            "minItems": 1,
            "items": {
                "required": ["name", "question", "inputs", "references"],
                "properties": {
                    "inputs": {"items": {"required": ["name", "unit", "default", "source"]}},
                },
            },
        }
    },
}


def asked(*settings, check="half_shaft_angle"):
    return run("check", check, *(word for one in settings for word in ("--set", one)), "--json")


def test_list():
    told = run("check", "--list", "--json")
    jsonschema.validate(told.json, LISTED)
    assert "does that pull at the steering wheel" in run("check", "--list").plain


def test_check_from_settings():
    told = asked(*SET).json
    jsonschema.validate(told, FOUND)
    by_name = {one["name"]: one for one in told["results"]}
    # computed: worked example of unequal half shafts: 108.6931 and 58.00422 N·m, whatever the kingpin.
    assert by_name["couple_left_n_m"]["value"] == pytest.approx(108.6931, rel=1e-5)
    assert by_name["couple_right_n_m"]["value"] == pytest.approx(58.00422, rel=1e-5)
    assert any("caster" in one for one in told["assumptions"])


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        (("span_left_m",), "write reading=value"),
        (("span_left_m=long",), "is no figure"),
        (("span_left_m=330 kg",), "kg"),
        (("span_left_m=330",), "where the check holds"),
        (("span_left_m=0.3; 0.3",), "is one figure; found 2"),
        (("span_left_m=0.3", "span_left_m=0.4"), "given twice"),
        (("reach_m=0.3",), "reads no such figure"),
        (("span_left_m=nan",), "is no figure"),
        ((), "nothing states torque of each half shaft"),
    ],
)
def test_refused(settings, words):
    told = asked(*settings)
    assert told.code == 2
    assert words in told.out
    assert "Traceback" not in told.err


def test_unknown_check():
    assert "no check named 'pull'" in asked(check="pull").out
    assert run("check").code == 2
