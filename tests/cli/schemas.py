"""What scripts may rely on in the JSON that commands print."""

NUMBER = {"type": "number"}
TEXT = {"type": "string"}
INTERVAL = {
    "type": "object",
    "required": ["value", "low", "high"],
    "properties": {"value": NUMBER, "low": NUMBER, "high": NUMBER},
}
DECISION = {
    "type": "object",
    "required": ["name", "value", "low", "high", "origin"],
    "properties": {
        "name": TEXT,
        "value": NUMBER,
        "low": NUMBER,
        "high": NUMBER,
        "origin": {"enum": ["measured", "published", "inferred", "assumed", None]},
    },
}
CAUSE = {
    "type": "object",
    "required": [
        "name", "value", "low", "high", "origin", "merged", "resolved", "p_sign", "decisions", "unexplained",
        "figures", "fields", "separate_by",
    ],
    "properties": {
        "name": TEXT,
        "value": NUMBER,
        "low": NUMBER,
        "high": NUMBER,
        "origin": {"enum": ["measured", "published", "inferred", "assumed", "not explained"]},
        "merged": {"type": "array", "items": TEXT},
        "resolved": {"type": "boolean"},
        "p_sign": {"type": "number", "minimum": 0, "maximum": 1},
        "decisions": {"type": "array", "items": DECISION},
        "unexplained": INTERVAL,
        "figures": TEXT,
        "fields": {"type": "array", "items": TEXT},
        "separate_by": {"type": "array", "items": TEXT},
    },
}  # fmt: skip
ASSUMED = {
    "type": "array",
    "items": {
        "type": "object",
        "required": ["kind", "text", "owners"],
        "properties": {
            "kind": {"enum": ["default", "definition", "aside", "caution"]},
            "text": {"type": "string", "minLength": 1},
            "owners": {"type": "array", "items": TEXT},
        },
    },
}
WALK = {
    "type": "object",
    "required": [
        "comparison",
        "unit",
        "gap",
        "detection_limit",
        "causes",
        "doubts",
        "value_from_is",
        "value_to_is",
        "decided",
        "undecided",
        "remarks",
        "assumptions",
        "assumed",
        "effective_draws",
        "next_measurements",
    ],
    "properties": {
        "comparison": {"enum": ["as found", "normalised"]},
        "unit": {"enum": ["km", "Wh/km", "kg"]},
        "gap": INTERVAL,
        "detection_limit": {"type": "number", "minimum": 0},
        "doubts": {"type": "array", "items": TEXT},
        "value_from_is": {"enum": ["measured", "published", "inferred", "assumed", "model"]},
        "value_to_is": {"enum": ["measured", "published", "inferred", "assumed", "model"]},
        "decided": INTERVAL,
        "undecided": INTERVAL,
        "causes": {"type": "array", "items": CAUSE, "minItems": 1},
        "decisions": {"type": "array", "items": DECISION},
        "remarks": {"type": "array", "items": TEXT},
        "assumptions": {"type": "array", "items": TEXT},
        "assumed": ASSUMED,
        "effective_draws": NUMBER,
        "next_measurements": {
            "type": "array",
            "items": {
                "type": "object",
                "required": [
                    "vehicle",
                    "name",
                    "words",
                    "how",
                    "minutes",
                    "half_width_now",
                    "half_width_then",
                ],
                "properties": {"half_width_now": NUMBER, "half_width_then": NUMBER},
            },
        },
    },
}
FIGURE = {
    "type": "object",
    "required": ["name", "words", "value", "low", "high", "unit", "origin"],
    "properties": {"name": TEXT, "words": TEXT, "value": NUMBER, "low": NUMBER, "high": NUMBER, "unit": TEXT},
}
FIGURES = {
    "type": "object",
    "required": ["from", "to"],
    "properties": {"from": {"type": "array", "items": FIGURE}, "to": {"type": "array", "items": FIGURE}},
}
QUANTITY = {
    "type": "object",
    "required": ["value", "low", "high", "unit", "origin"],
    "properties": {"value": NUMBER, "low": NUMBER, "high": NUMBER, "unit": TEXT, "origin": TEXT},
}
GAP = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "allOf": [WALK],
    "required": [
        "quantity",
        "unit",
        "from",
        "to",
        "other",
        "content",
        "duty",
        "draws",
        "seed",
        "hoistbook",
        "figures",
        "account",
        "battery_more_frac",
        "replaced",
    ],
    "properties": {
        "quantity": {"enum": ["range", "energy", "mass"]},
        "replaced": {
            "type": "array",
            "items": {
                "type": "object",
                "required": [
                    "vehicle",
                    "quantity",
                    "words",
                    "was",
                    "was_from",
                    "now",
                    "now_from",
                    "at",
                    "entered",
                    "apart",
                ],
                "properties": {"was": QUANTITY, "now": QUANTITY, "apart": {"type": "number", "minimum": 0}},
            },
        },
        "from": TEXT,
        "to": TEXT,
        "other": WALK,
        "account": TEXT,
        "battery_more_frac": {"type": ["number", "null"]},
        "figures": {
            "type": "object",
            "required": ["as found", "normalised"],
            "properties": {"as found": FIGURES, "normalised": FIGURES},
        },
        "removed_frac": {"type": ["number", "null"]},
    },
}
CYCLE = {
    "type": "object",
    "required": ["cycle", "traction_j", "braking_j", "distance_m", "duration_s"],
    "properties": {
        "cycle": TEXT,
        "traction_j": NUMBER,
        "braking_j": NUMBER,
        "distance_m": NUMBER,
        "duration_s": NUMBER,
    },
}
FAULTS = {
    "type": "object",
    "additionalProperties": False,
    "required": ["faults"],
    "properties": {
        "faults": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "additionalProperties": False,
                "required": ["sheet", "row", "column", "value", "message"],
                "properties": {
                    "sheet": TEXT,
                    "row": {"type": "integer", "minimum": 0},
                    "column": TEXT,
                    "value": TEXT,
                    "message": {"type": "string", "minLength": 1},
                },
            },
        }
    },
}
MASS = {
    "type": "object",
    "required": ["vehicle", "parts", "closure", "systems", "coverage", "missing", "flags", "next_to_weigh"],
    "properties": {"parts": QUANTITY, "closure": {"type": ["object", "null"]}, "missing": {"type": "array"}},
}
RANGE = {
    "type": "object",
    "required": [
        "vehicle",
        "duty",
        "range_km",
        "energy_wh_per_km",
        "parameters",
        "assumptions",
        "draws",
        "seed",
    ],
    "properties": {
        "range_km": INTERVAL,
        "energy_wh_per_km": INTERVAL,
        "parameters": {"type": "array", "minItems": 1, "items": QUANTITY},
        "chain_j_per_m": {"type": "object", "additionalProperties": NUMBER},
    },
}
RATE = {
    "type": "object",
    "required": ["name", "words", "step_si", "range_m", "energy_wh_per_km"],
    "properties": {"name": TEXT, "range_m": INTERVAL, "energy_wh_per_km": INTERVAL},
}
RATES = {
    "type": "object",
    "required": ["vehicle", "duty", "as_built", "with_secondary", "secondary_mass_kg_per_kg"],
    "properties": {"as_built": {"type": "array", "items": RATE, "minItems": 1}},
}
