import re

import pytest

from hoistbook.core.mass.expected import expected_absent
from hoistbook.core.vehicle.records import NodeKind
from hoistbook.core.vehicle.taxonomy import Subsystem, System, Taxonomy
from hoistbook.reference.taxonomy import expected_content, taxonomy


def test_the_packaged_list_has_its_size():
    # common practice: the list of this project, 15 systems and 90 subsystems; per system as its table of rules prints.
    counts = {s.code: len(s.subsystems) for s in taxonomy().systems}
    assert " ".join(f"{code}{count}" for code, count in counts.items()) == (
        "BS7 CL10 EX5 IN6 SE5 SU11 WT2 ST3 BR4 BP8 DU7 PE6 EE6 TH7 FL3"
    )
    assert sum(counts.values()) == 90


def test_codes_count_up_within_their_system():
    for system in taxonomy().systems:
        assert [sub.code for sub in system.subsystems] == [
            f"{system.code}{i:02d}" for i in range(1, len(system.subsystems) + 1)
        ]


def test_every_code_a_rule_points_at_exists():
    known = taxonomy()
    for sub in known.subsystems:
        for code in re.findall(r"\b[A-Z]{2}(?:\d\d)?\b", sub.boundary_rule):
            if re.fullmatch(r"[A-Z]{2}\d\d", code):
                assert code in known, (sub.code, code)


def test_every_subsystem_says_what_it_holds_and_how_it_is_compared():
    for sub in taxonomy().subsystems:
        assert sub.includes
        assert sub.boundary_rule
        assert sub.normalisers
        assert sub.mark in ("published", "computed", "first principles", "common practice", "from memory")


def test_lookup_by_either_code():
    known = taxonomy()
    assert known.system("SU07") is known.system("SU")
    assert known.subsystem("SU07").system == "SU"
    assert "SU" in known
    assert "SU07" in known
    with pytest.raises(LookupError, match="'SU77'; did you mean SU07"):
        known.subsystem("SU77")
    with pytest.raises(LookupError):
        known.subsystem("SU")


def test_a_taxonomy_must_be_consistent():
    sub = Subsystem("XX01", "x", "XX", "", "", (), "common practice", "")
    with pytest.raises(ValueError, match="twice"):
        Taxonomy([System("XX", "x", (sub, sub))])
    with pytest.raises(ValueError, match="begin with"):
        Taxonomy([System("YY", "y", (sub,))])


def test_expected_content_speaks_the_codes_of_the_taxonomy():
    known = taxonomy()
    for item in expected_content():
        assert item.system in known
        for code in item.subsystems:
            assert known.subsystem(code)
    assert {item.system for item in expected_content()} == {s.code for s in known.systems}


def test_every_system_with_bolts_expects_fasteners():
    # common practice: fasteners are forgotten or pooled; fluids and loose items have none of their own.
    expecting = {item.system for item in expected_content() if item.kinds == (NodeKind.FASTENER,)}
    assert expecting == {s.code for s in taxonomy().systems} - {"FL"}


def test_an_empty_system_is_missed_and_a_listed_one_is_not():
    brakes = [item for item in expected_content() if item.system == "BR"]
    listed = [
        ("BR01", NodeKind.PART),
        ("BR02", NodeKind.ASSEMBLY),
        ("BR03", NodeKind.PART),
        ("BR04", NodeKind.PART),
    ]
    absent = {a.item.what for a in expected_absent(brakes, listed)}
    assert absent == {"brake fluid, drained and weighed", "fasteners of the brakes"}
    assert expected_absent(brakes, [*listed, ("BR01", NodeKind.FASTENER), ("FL01", NodeKind.FLUID)]) == ()
