"""The study of the invented vans loads, fits its vehicles, and shows what a study can show.

The data is invented, so nothing here checks an engine; what is checked is that the demo keeps its word.
"""

from pathlib import Path

import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.capture.read_study import is_study, read_study
from hoistbook.core.compare.claims import Relation
from hoistbook.core.compare.looked_at import Standing
from hoistbook.core.compare.strip_plan import FlagWeight
from hoistbook.core.compare.study import StatedIn
from hoistbook.services.demo import van_paths
from hoistbook.services.study_report import study_report
from test_examples import make_vans

ROOT = Path(__file__).resolve().parent.parent
STORED = (ROOT / "examples" / "study.xlsx", make_vans.PACKAGED / "study.xlsx")


@pytest.fixture(scope="module")
def report():
    vans = {t.vehicle.code: t for t in map(read_teardown, van_paths().values())}
    return study_report(read_study(STORED[1]), vans)


@pytest.mark.parametrize("path", STORED, ids=["examples", "packaged"])
def test_the_stored_workbook_is_what_the_script_makes(path, tmp_path):
    make_vans.write_workbook(tmp_path / "study.xlsx", make_vans.study_rows(), make_vans.STUDY_SHEETS)
    assert is_study(path)
    assert make_vans.same_workbook(tmp_path / "study.xlsx", path)


def test_nothing_stands_in_the_way_of_freezing(report):
    assert report.study.codes == ("W", "T", "D")
    assert report.study.reported == ()
    assert report.open_points == ()
    assert report.not_covered == ()


def test_the_content_list_says_whose_it_is_and_fits_the_vans(report):
    whose = {row.vehicle: row.stated_in for row in report.content}
    assert whose == {"W": StatedIn.STUDY, "T": StatedIn.STUDY, "D": StatedIn.VEHICLE}
    vans = {t.vehicle.code: t for t in map(read_teardown, van_paths().values())}
    for code, van in vans.items():
        assert tuple(row.item for row in report.content if row.vehicle == code) == van.content


def test_no_finding_is_contradicted_by_the_scales(report):
    assert [(c.code_x, c.code_y) for c in report.coverage] == [("W", "T"), ("W", "D"), ("T", "D")]
    for covered in report.coverage:
        assert covered.contradicted == ()
        # common practice: the demo promises that most of the gap was looked at, and not all of it.
        assert 0.8 < covered.looked_at.value < 1.0
        assert covered.open_lines
    used = {line.finding.function for c in report.coverage for line in c.lines if line.finding}
    assert {Standing.SAME, Standing.CARRIED_OVER} <= {
        line.standing for c in report.coverage for line in c.lines
    }
    # A finding the record has nothing to say of would be an empty word.
    assert len(used) == len(report.study.findings)


def test_the_plan_shows_a_loss_an_open_record_and_the_cautions(report):
    weights = [flag.weight for step in report.plan for flag in step.flags]
    assert sorted(weights) == [FlagWeight.LOST, FlagWeight.OPEN]
    assert {hazard.name for step in report.plan for hazard in step.hazards} >= {
        "lifting", "high voltage", "refrigerant", "pyrotechnics", "springs", "fire",
    }  # fmt: skip


def test_ten_claims_of_every_relation(report):
    claims = report.study.claims
    assert len(claims) >= 10
    assert {claim.relation for claim in claims} == set(Relation)
