"""What scripts may rely on in the JSON that the commands about cost print."""

from cli.schemas import ASSUMED, INTERVAL, NUMBER, QUANTITY, TEXT

NOT_NEGATIVE = {"type": "number", "minimum": 0}
LINES = {
    "type": "array",
    "minItems": 1,
    "items": {"type": "object", "required": ["name", "value"], "properties": {"name": TEXT, "value": NUMBER}},
}
TEXTS = {"type": "array", "items": TEXT}
PART = {
    "type": "object",
    "required": [
        "tag", "name", "basis", "currency", "year", "piece", "lines", "tooling", "assembly_s", "estimated_inputs",
        "assumed", "pieces_per_vehicle",
    ],
    "properties": {
        "tag": TEXT,
        "name": TEXT,
        "basis": {"enum": ["should cost", "purchase price"]},
        "currency": {"type": "string", "pattern": "^[A-Z]{3}$"},
        "year": {"type": "integer"},
        "piece": INTERVAL,
        "lines": LINES,
        "tooling": INTERVAL,
        "assembly_s": NOT_NEGATIVE,
        "estimated_inputs": TEXTS,
        "assumed": TEXTS,
        "pieces_per_vehicle": {"type": "number", "exclusiveMinimum": 0},
    },
}  # fmt: skip
SUM = {
    "type": "object",
    "required": [
        "key", "words", "parent", "parts", "fasteners", "assembly", "total", "middle", "tooling", "assembly_s",
        "part_count",
    ],
    "properties": {"total": INTERVAL, "parts": NUMBER, "fasteners": NUMBER, "assembly": NUMBER},
}  # fmt: skip
SCENARIO = {
    "type": "object",
    "required": [
        "code", "version", "at", "volume_per_year", "programme_years", "region", "supplier", "dedicated", "tooling",
        "digest",
    ],
    "properties": {"dedicated": {"type": "boolean"}, "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"}},
}  # fmt: skip
LEFT_OUT = {
    "type": "array",
    "items": {
        "type": "object",
        "required": ["tag", "name", "why", "mass_share_frac"],
        "properties": {
            "why": {"type": "string", "minLength": 1},
            "mass_share_frac": {"type": ["number", "null"]},
        },
    },
}
COST = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": [
        "vehicle", "configuration", "currency", "year", "scenario", "total", "middle", "parts", "nodes", "systems",
        "functions", "refused", "without_route", "covered", "draws", "seed", "hoistbook",
    ],
    "properties": {
        "scenario": SCENARIO,
        "total": INTERVAL,
        "parts": {"type": "array", "items": PART, "minItems": 1},
        "nodes": {"type": "array", "items": SUM},
        "systems": {"type": "array", "items": SUM},
        "functions": {"type": "array", "items": SUM},
        "refused": LEFT_OUT,
        "without_route": LEFT_OUT,
    },
}  # fmt: skip
ONE_PART = {**PART, "required": [*PART["required"], "vehicle", "scenario", "draws", "seed", "hoistbook"]}
SIDE = {
    "type": "object",
    "required": [
        "vehicle",
        "name",
        "cost",
        "sum",
        "lines",
        "parts",
        "left_out",
        "mass_covered_frac",
        "scenario",
    ],
    "properties": {"cost": INTERVAL, "sum": SUM, "lines": LINES, "left_out": LEFT_OUT, "scenario": SCENARIO},
}
COMPARISON = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": [
        "function", "currency", "year", "a", "b", "difference", "probability_a_cheaper", "walk", "walk_notes",
        "break_even", "tornado", "pairs", "cautions", "draws", "seed", "hoistbook",
    ],
    "properties": {
        "a": SIDE,
        "b": SIDE,
        "difference": INTERVAL,
        "probability_a_cheaper": {"type": "number", "minimum": 0, "maximum": 1},
        "walk": {
            "type": "array",
            "minItems": 1,
            "items": {"allOf": [INTERVAL], "required": ["factor", "words"], "properties": {"factor": TEXT}},
        },
        "break_even": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "required": ["over", "unit", "low", "high", "crossings", "sentence"],
                "properties": {
                    "crossings": {
                        "type": "array",
                        "items": {
                            "type": "object",
                            "required": ["at", "cheaper_below", "cheaper_above", "jump"],
                            "properties": {"at": {"type": "number", "exclusiveMinimum": 0}},
                        },
                    }
                },
            },
        },
        "tornado": {
            "type": "object",
            "required": ["difference", "swings", "note"],
            "properties": {
                "swings": {"type": "array", "items": {"required": ["source", "words", "low", "high"]}}
            },
        },
    },
}  # fmt: skip
ASSEMBLY = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": [
        "vehicle", "configuration", "function", "currency", "year", "scenario", "standard_s", "normal_s", "joining_s",
        "placing_s", "cost", "line_rule_s", "fastener_count", "quick_count", "drives", "directions", "motions",
        "joints", "placed", "reasons", "parts_with_physical_reason", "parts_with_economic_reason",
        "parts_without_reason", "without_time", "assumed", "hoistbook",
    ],
    "properties": {
        "standard_s": QUANTITY,
        "normal_s": QUANTITY,
        "cost": QUANTITY,
        "drives": TEXTS,
        "directions": TEXTS,
        "motions": {
            "type": "array",
            "items": {"type": "object", "required": ["code", "words", "times", "seconds", "mark"]},
        },
        "assumed": ASSUMED,
    },
}  # fmt: skip
SERVICE = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": [
        "vehicle", "tag", "name", "currency", "year", "total_s", "removal_s", "replacement_s", "once_s", "once", "cost",
        "sequence", "exact", "least_s", "cautions", "assumed", "hoistbook",
    ],
    "properties": {
        "total_s": QUANTITY,
        "exact": {"type": "boolean"},
        "sequence": {
            "type": "array",
            "minItems": 1,
            "items": {"type": "object", "required": ["operation", "ends_s"]},
        },
        "cautions": {"type": "array", "minItems": 1, "items": TEXT},
        "assumed": ASSUMED,
    },
}  # fmt: skip
