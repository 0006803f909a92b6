"""Studies in a store: nothing before freezing, the frozen version afterwards, and every change said."""

from dataclasses import replace

import pytest

from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook
from hoistbook.core.compare.study import Difference, FrozenVersion, StudyVehicle, to_freeze
from hoistbook.services.demo import van_paths
from hoistbook.services.gap import gap_report
from hoistbook.services.loading import load_teardown
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401
from test_examples import make_vans


def rows(**changes):
    found = make_vans.study_rows()
    # 100 draws: what is asked here is which figures go in, not how steady the bands are.
    found["assumptions"] = [
        {**row, "value": "100"} if row["assumption"] == "draws" else row for row in found["assumptions"]
    ]
    return {**found, **changes}


def saved(folder, found):
    path = folder / "study.xlsx"
    write_workbook(path, found, STUDY_SHEETS)
    return path


@pytest.fixture
def loaded(place, tmp_path):  # noqa: F811
    from hoistbook.services.record import load_workbook
    from hoistbook.services.study import load_study

    for path in van_paths().values():
        load_workbook(place, path, "Ines")
    load_study(place, saved(tmp_path, rows()), "Ines")
    return place


def test_the_life_of_a_study(loaded, tmp_path):
    """One walk through everything, since filling a store takes most of the time."""
    from hoistbook.services.record import load_workbook
    from hoistbook.services.study import freeze, gap_under, load_study, report_of, state_of_study

    with pytest.raises(ValueError, match="is not frozen, so no gap"):
        gap_under(loaded, "light-vans")
    with pytest.raises(LookupError, match="did you mean 'light-vans'"):
        report_of(loaded, "light-van")
    with pytest.raises(ValueError, match="nobody is named"):
        freeze(loaded, "light-vans", " ")

    first = freeze(loaded, "light-vans", "Ines")
    assert (first.number, first.differences) == (1, ())
    assert freeze(loaded, "light-vans", "Ines") is None

    # The gap takes pair, configurations, duty, draws and seed from the study, and is the plain gap of the two.
    under = gap_under(loaded, "light-vans")
    vans = [load_teardown(van_paths()[name]) for name in ("whimbrel", "turnstone")]
    plain = gap_report(*vans, quantity="range", duty="wltc3b", n_draws=100, seed=1)
    assert under.report.as_found.gap == plain.as_found.gap
    assert under.report.normalised.gap == plain.normalised.gap
    assert under.version == 1
    assert gap_under(loaded, "light-vans", to="D").report.as_found.code_y == "D"
    with pytest.raises(LookupError, match="no vehicle 'Q'"):
        gap_under(loaded, "light-vans", to="Q")

    # A changed content row: the frozen one counts until the next freeze, and every print says so.
    content = [{**row, "value": 5.0} if row["quantity"] == "mass" else row for row in rows()["content"]]
    again = load_study(loaded, saved(tmp_path, rows(content=content)), "Ruben")
    assert again.counts.superseded == 4  # the mass rows of Whimbrel and Turnstone
    assert any("changed after version 1 was frozen" in text for text in again.state.sentences)
    assert gap_under(loaded, "light-vans").report.normalised.gap == under.report.normalised.gap
    second = freeze(loaded, "light-vans", "Ruben")
    assert second.number == 2
    assert {difference.sheet for difference in second.differences} == {"content"}
    now = gap_under(loaded, "light-vans")
    assert now.version == 2
    assert now.report.normalised.gap != under.report.normalised.gap
    assert now.report.as_found.gap == under.report.as_found.gap  # content moves the normalised gap only
    state = state_of_study(loaded, "light-vans")
    assert state.changed == ()
    assert sum("changed after version 1 was frozen" in text for text in state.sentences) == 1

    # Dotterel's own content sheet counts in the study, so a change of it is one of the study.
    made = make_vans.make("dotterel").rows
    made["content"] = [
        {**row, "value": 1.2} if row["item"] == "tie-down rings" else row for row in made["content"]
    ]
    write_workbook(tmp_path / "d.xlsx", made)
    load_workbook(loaded, tmp_path / "d.xlsx", "Ruben")
    [difference] = state_of_study(loaded, "light-vans").changed
    assert (difference.sheet, difference.field) == ("content", "value")
    assert difference.row.startswith("tie-down rings of D")


def test_a_study_without_its_vehicles_is_not_frozen(place, tmp_path):  # noqa: F811
    from hoistbook.services.study import freeze, load_study, report_of

    load_study(place, saved(tmp_path, rows()), "Ines")
    assert len(report_of(place, "light-vans").blocking) == 3
    assert report_of(place, "light-vans").coverage == ()
    with pytest.raises(ValueError, match="not in the store yet"):
        freeze(place, "light-vans", "Ines")


def test_loads_again_without_a_trace_and_lists_what_vanished(place, tmp_path):  # noqa: F811
    from hoistbook.services.study import known_study, load_study

    path = saved(tmp_path, rows())
    assert load_study(place, path, "Ines").counts.added > 60
    assert load_study(place, path, "Ines").change is None
    shorter = rows(claims=rows()["claims"][1:])
    found = load_study(place, saved(tmp_path, shorter), "Ines")
    assert found.vanished == ("claims: floor",)
    assert len(known_study(place, "light-vans").claims) == 10
    load_study(place, saved(tmp_path, shorter), "Ines", retire_vanished=True)
    assert len(known_study(place, "light-vans").claims) == 9


def test_a_refused_load_leaves_the_record_alone(place, tmp_path):  # noqa: F811
    from hoistbook.services.study import known_study, load_study

    load_study(place, saved(tmp_path, rows()), "Ines")
    before = known_study(place, "light-vans")
    with pytest.raises(LoadRefused):
        load_study(place, saved(tmp_path, rows(vehicles=rows()["vehicles"][:1])), "Ines")
    assert known_study(place, "light-vans") == before


def test_the_sentences_of_a_version_state():
    from hoistbook.core.compare.study import Study
    from hoistbook.services.study_report import VersionState

    assert VersionState((), ()).sentences == ("not frozen: no result stands under this study yet",)
    study = Study("s", "t", "q", vehicles=(StudyVehicle("A"), StudyVehicle("B")))
    frozen = to_freeze(study, ())
    change = Difference("question", "", "question", "q", "r")
    one = FrozenVersion(1, "Ines", "2026-05-01", frozen)
    two = replace(one, number=2, differences=(change,))
    assert VersionState((one,), ()).sentences == ("version 1, frozen 2026-05-01 by Ines",)
    assert VersionState((one, two), ()).sentences[1:] == (
        "changed after version 1 was frozen: question: question was q, is r",
    )
    assert (
        VersionState((one,), (change,))
        .sentences[1]
        .startswith(
            "changed after version 1 was frozen: question: question was q, is r; figures are still those of version 1"
        )
    )
