"""The pages of checks: every check in short, one as typed, what is wrong at its field, rows for a decision."""

import html
import re
from dataclasses import replace
from itertools import product
from urllib.parse import parse_qs, quote, urlencode, urlsplit

import numpy as np
import pytest

from app import study_store
from app.test_addresses import HOSTILE, check_headers
from app.test_hostile_words import Looked
from capture.books import saved, sound
from hoistbook.capture.schema import SHEETS
from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.declared import Limit
from hoistbook.core.checks.run import Stated, run_check
from hoistbook.core.checks.words import NO_PERMISSION
from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.vehicle.records import CheckReading
from hoistbook.services.pages import checks as pages
from hoistbook.services.pages.check_form import printed, printed_band
from hoistbook.services.pages.check_read import read_form
from hoistbook.services.record import load_workbook, state_of
from hoistbook.store.changes.models import Change
from hoistbook.store.results.models import Result

SHAFTS = "/vehicles/WHI/checks/half_shaft_angle/"
SHAFTS_WORKED = "/vehicles/WHI/checks/half_shaft_angle/worked/"
MODES_WORKED = "/vehicles/WHI/checks/mount_modes/worked/"


def text_of(answer):
    """The words of a page without its marks."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())))


def stated(check, reading, value, unit, item="", half=None, option=""):
    row = {"check": check, "reading": reading, "item": item}
    if option:
        return row | {"option": option}
    return row | {"value": value, "unit": unit, "plus or minus": half}


def shaft_rows(drop_left=44.0):
    """Readings of both half shafts; a drop of 41 mm on the right."""
    figures = {
        "torque_n_m": (1000.0, "N·m", 20.0),
        "span_left_m": (338.0, "mm", 2.0),
        "span_right_m": (597.0, "mm", 2.0),
        "drop_left_m": (drop_left, "mm", 2.0),
        "drop_right_m": (41.0, "mm", 2.0),
    }
    return [stated("half_shaft_angle", name, *told[:2], half=told[2]) for name, told in figures.items()]


def mount_rows():
    rows = [
        stated("mount_modes", "mass_kg", 75.0, "kg", half=0.5),
        stated("mount_modes", "inertia_x_kg_m2", 1.4, "kg.m2", half=0.05),
        stated("mount_modes", "inertia_y_kg_m2", 1.2, "kg.m2", half=0.05),
        stated("mount_modes", "inertia_z_kg_m2", 1.6, "kg.m2", half=0.05),
    ]
    places = {"front": (250.0, 0.0, 0.0), "left": (-100.0, 200.0, 0.0), "right": (-100.0, -200.0, 0.0)}
    for item, several in places.items():
        for axis, value in zip("xyz", several, strict=True):
            rows.append(stated("mount_modes", f"mount_{axis}_m", value, "mm", item, 2.0))
            rows.append(stated("mount_modes", f"mount_k{axis}_n_per_m", 150.0, "N/mm", item, 10.0))
    return rows


@pytest.fixture
def checked(load):
    rows = sound()
    rows["checks"] = [*shaft_rows(), *mount_rows()]
    load(rows, note="first")


def known_of(record):
    return pages.record_of(record, "WHI", "delivered")


def test_every_check_stands_on_the_page_with_what_it_says_or_lacks(checked, record, ask):
    shown = text_of(ask("/vehicles/WHI/checks/"))
    for check in CHECKS.values():
        assert check.title in shown
        assert check.question in shown
    assert f"of {len(CHECKS)} checks can be worked out" in shown
    told = pages.overview_of(record, pages.AskedChecks("WHI", state_of(record, "WHI"), "delivered"))["checks"]
    assert {one["name"] for one in told} == set(CHECKS)
    by_name = {one["name"]: one for one in told}
    assert by_name["half_shaft_angle"]["state"] == "worked"
    assert by_name["half_shaft_angle"]["stated"] == 5
    missing = {one["words"] for one in by_name["creepage"]["missing"]}
    assert missing == {one.words for one in CHECKS["creepage"].readings if one.usual is None}
    for words in missing:
        assert words in shown
    # What was worked out is kept: the next reader waits for nothing.
    count = Result.objects.count()
    ask("/vehicles/WHI/checks/")
    assert Result.objects.count() == count


def test_a_page_shows_what_the_check_finds_in_the_record(checked, record, ask):
    known = known_of(record)
    on_record, _ = known.of(CHECKS["half_shaft_angle"])
    found = run_check(CHECKS["half_shaft_angle"], on_record)
    assert pages.worked_check(CHECKS["half_shaft_angle"], known, {}).result == found
    shown = text_of(ask(SHAFTS))
    assert found.verdict.split(". ")[0] in shown.replace("\u202f", " ").replace("\u00a0", " ")
    for one in (*CHECKS["half_shaft_angle"].cannot_say, *CHECKS["half_shaft_angle"].cautions):
        assert one in shown
    for one in found.assumptions:
        assert one.sentence[1:40].replace("%", "") in shown.replace("\u202f%", "%").replace("%", "")
    # Where the literature disagrees every formula stands with its figure.
    for by in found.figures[0].formulas:
        assert by.formula in shown


def test_typing_what_stands_there_changes_nothing(checked, record):
    known = known_of(record)
    for name in ("half_shaft_angle", "mount_modes", "tyre_label"):
        first = pages.worked_check(CHECKS[name], known, {})
        cells = [one.cell for one in first.form.fields]
        cells += [cell for table in first.form.tables for item in table.items for cell in item.cells]
        typed = {cell.name: cell.typed for cell in cells} | {cell.band_name: cell.band for cell in cells}
        typed |= {one.name: one.chosen for one in first.form.selects}
        typed |= {table.count: str(len(table.items)) for table in first.form.tables}
        typed |= {item.field: item.name for table in first.form.tables for item in table.items}
        again = pages.worked_check(CHECKS[name], known, typed)
        assert (first.changed, again.changed) == ((), ())
        assert again.result == first.result
        assert set(typed) == set(first.form.names)


@pytest.mark.parametrize(
    ("typed", "half", "si", "half_si"),
    [
        # first principles: 12 mm = 1.2 cm = 0.012 m; a band of 25 % of 12 mm is 3 mm.
        ("12", "3", 0.012, 0.003),
        ("1.2 cm", "3 mm", 0.012, 0.003),
        ("0.012 m", "0.3 cm", 0.012, 0.003),
        ("12 ± 3", "", 0.012, 0.003),
        ("12 mm +/- 3 mm", "", 0.012, 0.003),
        ("\u221212", "25 %", -0.012, 0.003),
        ("12", "0", 0.012, 0.0),
        # The check states 2 mm for a bare number.
        ("12", "", 0.012, 0.002),
    ],
)
def test_figures_are_read_in_the_unit_that_is_shown_or_their_own(typed, half, si, half_si):
    read = read_form(
        CHECKS["half_shaft_angle"],
        Stated(),
        {},
        {"drop_left_m": typed, "drop_left_m.band": half, **_all_but_drop_left()},
    )
    found = read.stated.values["drop_left_m"]
    assert found.value == pytest.approx(si)
    # first principles: all values within ± a alike have the standard uncertainty a/√3.
    assert found.standard_uncertainty == pytest.approx(half_si / np.sqrt(3.0))


@pytest.mark.parametrize(
    ("value", "half", "typed"),
    [
        (12_345.678, 1_000.0, ("12345.7", "1000")),
        (0.25, 0.0125, ("0.25", "0.0125")),
        (-3.0, 0.0, ("-3", "0")),
    ],
)
def test_figures_stand_in_fields_as_they_are_typed(value, half, typed):
    # first principles: six digits of a figure and three of its band, without powers of ten.
    reading = replace(CHECKS["cable_loss"].reading("current_a"), least=-1e6, most=1e6)
    assert (printed(value, reading), printed_band(half, value, reading)) == typed


def _all_but_drop_left():
    return {"torque_n_m": "1000", "span_left_m": "338", "span_right_m": "597", "drop_right_m": "41"}


def test_equal_shafts_do_not_pull_and_a_lower_joint_turns_the_pull(checked, record):
    known = known_of(record)
    typed = {"span_left_m": "500", "span_right_m": "500", "drop_left_m": "40", "drop_right_m": "40"}
    pull = []
    for drop in ("20", "40", "60"):
        found = pages.worked_check(CHECKS["half_shaft_angle"], known, typed | {"drop_left_m": drop})
        pull.append(found.result.figure("steer_moment_n_m").value)
    # first principles: a mirror image has no side to pull to; more angle on one side and less turn it opposite ways.
    assert pull[1] == pytest.approx(0.0, abs=1e-9)
    assert pull[0] * pull[2] < 0.0


WRONG = (
    (SHAFTS_WORKED, "span_left_m=wide", "span_left_m", "is no number"),
    (SHAFTS_WORKED, "span_left_m=inf", "span_left_m", "is no number"),
    (SHAFTS_WORKED, "span_left_m=3380", "span_left_m", "is outside 100 mm to 1500 mm"),
    (SHAFTS_WORKED, "span_left_m=338 kg", "span_left_m", "kg"),
    (SHAFTS_WORKED, "span_left_m=", "span_left_m", "was emptied"),
    (SHAFTS_WORKED, "span_left_m=1,200", "span_left_m", "may mean two numbers"),
    (SHAFTS_WORKED, "span_left_m=330&span_left_m.band=-2", "span_left_m", "band"),
    (SHAFTS_WORKED, "span_left_m=330&span_left_m.band=some", "span_left_m", "band"),
    (MODES_WORKED, "mount_x_m.2=far", "mount_x_m.2", "is no number"),
    (MODES_WORKED, "mount_x_m.2=", "mount_x_m.2", "measure it too"),
    (MODES_WORKED, "count.mount=0", "count.mount", "how many"),
    (MODES_WORKED, "count.mount=1e9", "count.mount", "how many"),
    (MODES_WORKED, "count.mount=4&mount_x_m.4=10", "mount_y_m.4", "measure it too"),
    (MODES_WORKED, "mount.2=front", "count.mount", "two of the names"),
    (MODES_WORKED, "products=neither", "products", "choose one"),
)


def test_what_is_wrong_stands_at_its_field_beside_the_figures_of_the_record(checked, client):
    def band(answer):
        return text_of(answer).partition("What makes the band")[2].partition("What was assumed")[0]

    usual = {address: band(client.get(address.removesuffix("worked/"))) for address, *_ in WRONG}
    for place, (address, typed, field, said) in enumerate(WRONG):
        # As a page of its own and beneath the one that is open, by turns.
        answer = client.get(f"{address if place % 2 else address.removesuffix('worked/')}?{typed}")
        assert answer.status_code == 200
        slot = re.search(rf'id="fault-{re.escape(field)}"[^>]*>([^<]*)<', answer.content.decode())
        assert said.casefold() in html.unescape(slot[1]).casefold(), typed
        assert "As typed it cannot be worked out" in text_of(answer), typed
        assert band(answer) == usual[address], typed


def test_readings_that_do_not_go_together_are_said(checked, client):
    # first principles: 290 mm over 110 mm is steeper than 60°; the check holds up to 40°.
    answer = text_of(client.get(f"{SHAFTS}?span_left_m=110&drop_left_m=290"))
    assert "bent by more than 40°" in answer


def test_the_address_holds_what_differs_and_nothing_is_stored(checked, client):
    before = (Result.objects.count(), Change.objects.count())
    answer = client.get(f"{SHAFTS_WORKED}?drop_left_m=12&span_left_m=338&caster_rad=4")
    link = urlsplit(answer.headers["HX-Replace-Url"])
    assert link.path == SHAFTS
    assert parse_qs(link.query) == {"drop_left_m": ["12"]}
    assert "As typed." in text_of(client.get(f"{link.path}?{link.query}"))
    assert (Result.objects.count(), Change.objects.count()) == before
    # The terminal is told the same.
    assert "--set 'drop_left_m=12 mm ±" in text_of(answer)


def test_another_count_of_things_brings_its_rows_and_an_emptied_row_is_left_out(checked, record, client):
    more = client.get(f"{MODES_WORKED}?count.mount=4").content.decode()
    assert 'id="things" hx-swap-oob="true"' in more
    assert 'name="mount_x_m.4"' in more
    names = [one.name for one in CHECKS["mount_modes"].readings if one.each]
    emptied = {f"{name}.3": "" for name in names}
    found = pages.worked_check(CHECKS["mount_modes"], known_of(record), emptied)
    two = pages.worked_check(CHECKS["mount_modes"], known_of(record), {"count.mount": "2"})
    assert not found.stale
    assert [one.value for one in found.result.figures] == pytest.approx(
        [one.value for one in two.result.figures]
    )


def test_more_things_than_a_form_asks_for_are_all_taken():
    readings = [
        CheckReading(
            "first_touched", name, normal(0.2 + 0.001 * row, 1e-3, "m", f"{name} {row}"), f"part {row}"
        )
        for row in range(70)
        for name in ("part_x_m", "part_z_m")
    ]
    found = pages.worked_check(CHECKS["first_touched"], pages.OnRecord(readings=tuple(readings)), {})
    assert len(found.form.tables[0].items) == 70
    assert {one.item for one in found.result.figures if one.item} == {f"part {row}" for row in range(70)}
    # A row more than are on record is beyond what a form asks for.
    over = pages.worked_check(
        CHECKS["first_touched"], pages.OnRecord(readings=tuple(readings)), {"count.part": "71"}
    )
    assert "1 to 70" in over.form.tables[0].fault


def test_a_check_without_a_vehicle_asks_for_what_has_no_usual_value(record, client):
    listed = text_of(client.get("/checks/"))
    for check in CHECKS.values():
        assert check.question in listed
        answer = client.get(f"/checks/{check.name}/")
        assert answer.status_code == 200
        check_headers(answer)
        shown = text_of(answer)
        for one in check.readings:
            assert one.how[1:] in shown, one.name
        needed = [one for one in check.readings if one.usual is None]
        assert ("Nothing states" in shown) == bool(needed)
    typed = "&".join(
        f"{name}={value}" for name, value in {**_all_but_drop_left(), "drop_left_m": "44"}.items()
    )
    shown = text_of(client.get(f"/checks/half_shaft_angle/?{typed}"))
    assert "at the hand wheel" in shown
    gone = client.get("/checks/half_shaft_angel/")
    assert gone.status_code == 404
    assert "half_shaft_angle" in text_of(gone)


def test_an_effect_row_is_one_of_the_sheet(record, client):
    page = client.get("/checks/tyre_label/?mass_kg=1600&letter=A").content.decode()
    table = page.partition('id="effects"')[2].partition("</table>")[0]
    heads = re.findall(r"<th[^>]*>([^<]*)</th>", table)
    sheet = next(one for one in SHEETS.values() if one.name == "effects")
    assert heads == [column.header for column in sheet.columns]
    cells = dict(zip(heads, re.findall(r"<td[^>]*>(.*?)</td>", table), strict=True))
    assert cells["evidence"] == "check: tyre_label/coefficient"
    # published: Regulation (EU) 2020/740, annex I part A (C1): class A is up to 6.5 N/kN, so that its middle is below.
    assert cells["unit"] == "N/kN"
    assert float(cells["value"]) <= 6.5
    # A mass is no effect row: it comes from the part tree.
    typed = {
        "barrier_kg_per_m2": "4 kg/m2",
        "gap_m": "20 mm",
        "covered_m2": "0.5 m2",
        "radiating_m2": "1 m2",
        "open_frac": "1 %",
    }
    shown = client.get(f"/checks/acoustic_wrap/?{urlencode(typed)}").content.decode()
    assert "mass of the wrap" in shown.casefold()
    assert 'id="effects"' not in shown


def test_a_margin_of_safety_never_reads_as_permission(checked, record, client):
    shown = text_of(client.get("/checks/creepage/?voltage_v=400&creepage_m=60"))
    assert NO_PERMISSION in shown
    assert "safe" not in shown.casefold().replace("safety", "")


def test_the_margin_least_sure_is_the_one_in_the_list():
    shafts = CHECKS["half_shaft_angle"]
    angle = {"mark": "common practice", "source": "none"}
    held = replace(
        shafts,
        limits=(
            Limit("angle_left_rad", "at most", 1.0, "wide", **angle),
            Limit("angle_right_rad", "at most", 0.01, "narrow", **angle),
        ),
    )
    figures = {
        "torque_n_m": 1000.0,
        "span_left_m": 0.3,
        "span_right_m": 0.6,
        "drop_left_m": 0.04,
        "drop_right_m": 0.04,
    }
    readings = [
        CheckReading(shafts.name, name, normal(value, 1e-4, shafts.reading(name).unit, name))
        for name, value in figures.items()
    ]
    told = pages.overview(pages.OnRecord(readings=tuple(readings)), checks={shafts.name: held})["checks"]
    # first principles: 0.04/0.6 rad is above 0.01 rad, so that limit is not kept.
    assert told[0]["margin"]["words"] == "narrow"
    assert told[0]["margin"]["kept"] == 0.0


def test_a_claim_is_settled_by_a_check(record, tmp_path, ask):
    for code, drop in (("A", 44.0), ("B", 90.0)):
        rows = study_store.van(code, code, 2.5, 2900.0)
        rows["checks"] = shaft_rows(drop)
        load_workbook(record, saved(tmp_path, rows), "Ines")
    angle = "check half_shaft_angle/angle_left_rad"
    claim = {"vehicle": "A", "other": "B", "threshold": 0, "unit": "deg", "quantity": angle}
    claims = [
        {"claim": "bent", "sentence": "A bends its joints less.", "relation": "less than", **claim},
        {"claim": "limit", "sentence": "B stays below 10 degrees.", "relation": "less than", **claim}
        | {"vehicle": "B", "other": None, "threshold": 10},
        {"claim": "wrap", "sentence": "The wrap is light.", "relation": "less than", **claim}
        | {"quantity": "check acoustic_wrap/mass_kg", "unit": "kg", "threshold": 1, "other": None},
    ]
    study_store.load(record, tmp_path, claims=claims)
    page = ask("/studies/two/claims/")
    shown = text_of(page)
    # first principles: 44 mm over 338 mm is 7.4°, 90 mm is 14.9°, above 10°.
    for sentence, state in (
        ("A bends its joints less.", "Confirmed"),
        ("B stays below 10 degrees.", "Refuted"),
    ):
        card = shown.partition(sentence)[0][-120:] + shown.partition(sentence)[2][:400]
        assert state.casefold() in card.casefold(), sentence
    assert CHECKS["acoustic_wrap"].readings[0].words in shown.partition("The wrap is light.")[2]
    assert "/vehicles/A/checks/half_shaft_angle/?configuration=delivered" in page.content.decode()


PLACES = (
    "/vehicles/WHI/checks/?configuration={}",
    "/vehicles/WHI/checks/{}/",
    "/checks/{}/",
    "/checks/{}/worked/",
    f"{SHAFTS}?span_left_m={{}}&span_left_m.band={{}}&torque_n_m.band={{}}",
    f"{SHAFTS}?{{}}=1&span_left_m={{}}",
    f"{SHAFTS_WORKED}?caster_rad={{}}&torque_n_m=5&torque_n_m.band={{}}",
    f"{MODES_WORKED}?mount_x_m.1={{}}&mount.1={{}}&count.mount={{}}&products={{}}&mount_kx_n_per_m.band.2={{}}",
    "/checks/mount_modes/?count.mount={}&mount.1={}&mount.2={}&mount_x_m.1={}",
)


def test_hostile_words_are_text_or_not_there(checked, ask, client):
    ask("/vehicles/WHI/checks/")
    words = [*HOSTILE, "\u202e", "\u2028", "9" * 400, "1e999", "%", "1 ± ±", ";"]
    for word, address in product(words, PLACES):
        answer = client.get(address.format(*[quote(word, safe="")] * 9))
        assert answer.status_code in (200, 404), address
        check_headers(answer)
        found = Looked(answer.content.decode())
        assert found.live == [], address
        assert found.unseen == [], address
