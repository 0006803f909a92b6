"""The pages of cost: sums that add up, a part worked out again as typed, what is wrong said at its field."""

import html
import io
import re
from urllib.parse import parse_qs, quote, urlsplit

import openpyxl
import pytest

from app import cost_store
from app.test_addresses import HOSTILE, check_headers
from app.test_hostile_words import Looked
from hoistbook.app.cost_compare_rows import answer_of
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.reference.cost import packaged_scenario
from hoistbook.report.cost_chart import curves
from hoistbook.services import keeping
from hoistbook.services.as_json.cost_part import part_read, part_told
from hoistbook.services.cost import cost_report
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.pages import cost as pages
from hoistbook.services.pages.cost_compare import AskedComparison, page_of
from hoistbook.services.pages.cost_form import number
from hoistbook.services.pages.cost_part import worked
from hoistbook.services.record import state_of, teardown
from hoistbook.store.changes.models import Change
from hoistbook.store.problems import StoreRefused
from hoistbook.store.results.models import Result

VEHICLE = "/vehicles/WHI/cost/"
BRACKET = "/vehicles/WHI/cost/part/?at=B1"
WORKED = "/vehicles/WHI/cost/part/worked/?at=B1"


def text_of(answer):
    """The words of a page without its marks."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())))


@pytest.fixture
def routed(record, tmp_path):
    cost_store.load(record, tmp_path)
    return record


@pytest.fixture
def found(routed):
    asked = pages.AskedCost("WHI", state_of(routed, "WHI"), "delivered", Stated())
    pages.work_out(routed, asked)
    at = pages.parts_of(routed, asked)["at"]
    parts = {tag: pages.part_of(routed, asked, piece, tag) for tag, piece in at.items()}
    stated = teardown(routed, "WHI")
    page = pages.page_json(cost_report(stated, Stated().scenario(), "delivered"), stated)
    # first principles: what is kept for the page is cut from all there is, the same figure for figure.
    kept = pages.sums_of(routed, asked)
    assert (kept["whole"], kept["line_count"]) == (page["whole"], len(page["lines"]))
    for system in page["systems"]:
        mine = [one for one in page["lines"] if one["system"] == system["key"]]
        kept_lines = [one for one, _ in pages.lines_of(routed, asked, "system", system["key"])]
        assert sorted(one["tag"] for one in kept_lines) == sorted(one["tag"] for one in mine)
    return page | {"next": kept["next"]}, parts


def test_lines_add_up_to_their_system_and_their_function(found):
    page, parts = found
    assert set(parts) == {"B1", "H1", "S1"}
    for groups, of in (
        ("systems", lambda one: [(one["system"], 1.0)]),
        ("functions", lambda one: one["functions"]),
    ):
        sums = {}
        for line in page["lines"]:
            for key, share in of(line):
                for name in ("parts", "fasteners", "assembly"):
                    sums[key, name] = sums.get((key, name), 0.0) + share * line[name]
        # first principles: a whole is its parts, at every level.
        for group in page[groups]:
            for name in ("parts", "fasteners", "assembly"):
                assert sums.get((group["key"], name), 0.0) == pytest.approx(group[name], abs=1e-9)
        assert sum(sums.values()) == pytest.approx(page["whole"]["total"]["value"])
    # first principles: two brackets, one housing, four screws.
    pieces = sum(count * parts[tag]["piece"]["value"] for tag, count in (("B1", 2), ("H1", 1), ("S1", 4)))
    assert page["whole"]["parts"] + page["whole"]["fasteners"] == pytest.approx(pieces)


def test_what_is_left_out_stands_with_its_share_of_the_mass(found, ask):
    page, _ = found
    # first principles: 2 x 0.85 + 1.9 + 4 x 0.012 of 9.648 kg; six of eight pieces and the cradle.
    whole = 2 * 0.85 + 1.9 + 4 * 0.012 + 6.0
    assert page["covered"]["mass_frac"] == pytest.approx((whole - 6.0) / whole, rel=1e-3)
    assert [one["tag"] for one in page["unrouted"]] == ["C1"]
    assert page["unrouted"][0]["mass_share_frac"] == pytest.approx(6.0 / whole, rel=1e-3)
    shown = text_of(ask(VEHICLE))
    assert "38 % of its mass should cost" in shown
    assert "7 of 8 pieces have a cost" in shown
    assert "cradle" in shown.partition("What is left out")[2]


def test_what_to_measure_next_are_estimates_and_would_narrow_the_cost(found):
    page, parts = found
    assert {one["tag"] for one in page["next"]} <= {"H1", "B1"}
    assert page["next"]
    for one in page["next"]:
        # first principles: knowing a reading exactly takes its error out of the band.
        assert one["then"] < one["now"]
        assert parts[one["tag"]]["estimated_inputs"]


def test_a_system_opens_to_its_lines(routed, ask):
    answer = text_of(ask(f"{VEHICLE}?open=SU"))
    lines = answer.partition("Suspension and subframes:")[2].partition("What is left out")[0]
    assert "bracket" in lines
    assert "housing" not in lines
    by_function = text_of(ask(f"{VEHICLE}?by=function&open=F1"))
    lines = by_function.partition("Guide:")[2].partition("What is left out")[0]
    assert "bracket" in lines
    assert "housing" in lines
    assert "screw" not in lines
    for query, said in (
        ("open=ZZ", "ZZ"),
        ("by=maker", "maker"),
        ("region=mars", "mars"),
        ("tools=none", "none"),
    ):
        gone = ask(f"{VEHICLE}?{query}")
        assert gone.status_code == 404
        assert said in text_of(gone)


def test_another_region_is_another_cost(routed, ask):
    usual, other = text_of(ask(VEHICLE)), text_of(ask(f"{VEHICLE}?region=romania&machines=dedicated"))
    assert "but made in Romania; machines dedicated" in other
    assert "but made in" not in usual
    head = re.compile(r"should cost ([\d .]+)")
    assert head.search(usual)[1] != head.search(other)[1]
    # What the scenario holds anyway is no other question: it was worked out already.
    before = Result.objects.count()
    assert text_of(ask(f"{VEHICLE}?machines=shared&tools=annuity")).count("should cost")
    assert Result.objects.count() == before


def test_a_vehicle_nothing_of_which_can_be_costed_says_why(van, ask):
    shown = text_of(ask("/vehicles/WHI/cost/"))
    assert "could not be worked out" in shown
    assert "A1" in shown


def test_a_part_told_is_the_part_that_was_told(found):
    for one in found[1].values():
        if one["made_from"] is not None:
            part = part_read(one["made_from"])
            assert part_told(part) == one["made_from"]
            # What is worked out from it is the figure of the whole vehicle.
            cost = cost_parts([part], packaged_scenario(), PROCESSES, n_draws=0).parts[part.tag]
            assert cost.piece.value == pytest.approx(one["piece"]["value"], rel=1e-12)


def test_typing_what_stands_there_changes_nothing(found):
    told = found[1]["B1"]
    first = worked(told, packaged_scenario(), {})
    form = first.form
    typed = {one.name: one.typed for one in (*form.readings, *form.numbers)}
    typed |= {one.name: one.chosen for one in (*form.selects, *(one for step in form.steps for one in step))}
    again = worked(told, packaged_scenario(), typed)
    assert (first.changed, again.changed) == ((), ())
    assert again.now is again.was


@pytest.mark.parametrize("machines", ["shared", "dedicated"])
def test_more_vehicles_a_year_share_the_tools_among_more_pieces(found, machines):
    told, scenario = found[1]["H1"], packaged_scenario()
    lines = [
        worked(told, scenario, {"volume": str(volume), "machines": machines}).now.by_name()
        for volume in (5_000, 10_000)
    ]
    # first principles: as long as one set of tools does, twice the pieces halve its share of each.
    assert lines[0]["tools"] == pytest.approx(2.0 * lines[1]["tools"])
    assert lines[0]["material"] == pytest.approx(lines[1]["material"])
    kept = worked(told, scenario, {"machines": machines})
    # The other kind of machine is what the switch beside it would give.
    turned = worked(told, scenario, {"machines": "shared" if machines == "dedicated" else "dedicated"})
    assert kept.other_machines == pytest.approx(turned.now.piece.value)


def test_a_reading_that_is_emptied_is_estimated_again_and_said(found):
    told = found[1]["B1"]
    found_again = worked(told, packaged_scenario(), {"cut_length_mm": ""})
    assert any("all cut edges" in one for one in found_again.now.estimated)
    heavier = worked(told, packaged_scenario(), {"mass_kg": "1.7"})
    # first principles: freight is paid by the kilogram, and 1.7 kg is twice 0.85 kg.
    assert heavier.now.by_name()["freight"] == pytest.approx(2.0 * heavier.was.by_name()["freight"])


WRONG = (
    ("wall_thickness_mm=-2", "wall_thickness_mm", "cannot be negative"),
    ("wall_thickness_mm=150", "wall_thickness_mm", "thicker than the envelope"),
    ("wall_thickness_mm=0.06", "wall_thickness_mm", "sheet below 0.1"),
    ("wall_thickness_mm=two", "wall_thickness_mm", "is no number"),
    ("wall_thickness_mm=inf", "wall_thickness_mm", "is no number"),
    ("mass_kg=1,200", "mass_kg", "may mean two numbers"),
    ("material=", "material", "no material is stated"),
    ("material=unobtainium", "material", "choose one"),
    ("volume=0", "volume", "not above 0"),
    ("volume=", "volume", "is empty"),
    ("lot=-5", "lot", "not above 0"),
    ("step1=loom", "step1", "choose one"),
    ("step1=closed_die_forging&step1.metal=aluminium", "step1", "is not the metal of the part"),
    ("region=mars", "region", "choose one"),
)
"""What is typed, the field it is said at, and what is said."""


def test_wrong_input_is_said_at_its_field_and_shows_the_record(routed, ask, client):
    usual = text_of(ask(BRACKET)).partition("Step by step")[2].partition("Inputs")[0]
    for typed, field, said in WRONG:
        for address in (f"{BRACKET}&{typed}", f"{WORKED}&{typed}"):
            answer = client.get(address)
            assert answer.status_code == 200
            page = answer.content.decode()
            slot = re.search(rf'id="fault-{field}"[^>]*>([^<]*)<', page)
            assert said.casefold() in slot[1].casefold(), typed
            assert "cannot be made as typed" in page
            # The steps shown are those of the record, and said to be.
            steps = text_of(answer).partition("Step by step")[2].partition("Inputs")[0]
            assert steps.replace(", as recorded", "") == usual, typed


def test_figures_as_typed_stand_beside_those_of_the_record(routed, ask, client):
    ask(BRACKET)
    before = (Result.objects.count(), Change.objects.count())
    answer = client.get(f"{WORKED}&volume=30000&mass_kg=0.85&region=romania")
    page = answer.content.decode()
    assert "as typed" in page
    assert "recorded" in page
    # Only what differs from the record is in the address that can be sent on; the mass is as it was read.
    link = urlsplit(answer.headers["HX-Replace-Url"])
    assert link.path == "/vehicles/WHI/cost/part/"
    assert parse_qs(link.query) == {"at": ["B1"], "volume": ["30000"], "region": ["romania"]}
    assert text_of(client.get(f"{link.path}?{link.query}")).count("recorded")
    # Nothing typed is stored.
    assert (Result.objects.count(), Change.objects.count()) == before


def test_another_process_brings_its_own_fields(routed, ask, client):
    ask(BRACKET)
    same = client.get(f"{WORKED}&{_every_field(client)}").content.decode()
    assert 'id="fields"' not in same
    other = client.get(f"{WORKED}&step1=press_hardening").content.decode()
    assert 'id="fields" hx-swap-oob="true"' in other
    assert 'name="step1.coating"' in other


def _every_field(client):
    page = client.get(BRACKET).content.decode()
    form = page.partition('id="fields"')[2].partition("</form>")[0]
    names = re.findall(r'<(?:input|select)[^>]* name="([^"]+)"', form)
    given = {}
    for name in names:
        box = re.search(rf'<input[^>]* name="{re.escape(name)}" value="([^"]*)"', form)
        if box:
            given[name] = box[1]
        else:
            options = form.partition(f'name="{name}"')[2].partition("</select>")[0]
            given[name] = re.search(r'<option value="([^"]*)" selected', options)[1]
    return "&".join(f"{name}={value}" for name, value in given.items())


def test_the_sheet_is_that_of_the_part_as_typed(routed, ask, client):
    ask(BRACKET)
    answer = client.get("/vehicles/WHI/cost/part/sheet/?at=B1&volume=30000")
    assert answer.status_code == 200
    assert answer.headers["Content-Disposition"].startswith("attachment;")
    check_headers(_empty(answer))
    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    cells = [cell.value for sheet in book for row in sheet.iter_rows() for cell in row]
    assert 30000 in cells
    assert sum(isinstance(value, str) and value.startswith("=") for value in cells) > 50
    for query in ("at=S1", "at=C1", "at=B1&volume=0", "at=nothing"):
        assert client.get(f"/vehicles/WHI/cost/part/sheet/?{query}").status_code == 404


def _empty(answer):
    return type(answer)(headers=dict(answer.headers))


def test_parts_without_a_route_say_what_they_are(routed, ask):
    assert "list how it is made" in text_of(ask("/vehicles/WHI/cost/part/?at=C1"))
    assert "is bought at" in text_of(ask("/vehicles/WHI/cost/part/?at=S1"))
    assert "put together from parts" in text_of(ask("/vehicles/WHI/cost/part/?at=VAN"))
    gone = ask("/vehicles/WHI/cost/part/?at=B7")
    assert gone.status_code == 404
    assert "B1" in text_of(gone)


@pytest.mark.parametrize("name", ["volume", "years", "lot"])
@pytest.mark.parametrize("typed", ["0", "-1", "1e-300", "1e300", "9" * 200])
def test_a_number_out_of_reach_is_told_at_its_field(found, name, typed):
    # first principles: whatever is typed, a page answers; the field of that name says what is wrong with it.
    part = found[1]["B1"]
    answer = worked(part, Stated().scenario(), {name: typed})
    assert answer.now is None
    assert list(answer.form.faults) == [name]
    assert "write how many" in answer.form.faults[name]


def test_marks_that_were_seen_speak_for_processes(routed, ask, client):
    ask(BRACKET)
    page = text_of(client.get(f"{BRACKET}&see.edge_burnish=seen&see.magnet=seen"))
    zone = page.partition("How it was made, by what can be seen")[2]
    # common practice (witness.toml): a burnished band on every edge is what a die leaves, and steel holds a magnet.
    assert re.search(r"Stamped from sheet 9\d %", zone)
    assert "What it would cost, made so" in zone
    assert "Look at next" in zone
    alone = client.get("/vehicles/WHI/cost/part/witness/?at=B1&see.magnet=seen&volume=30000")
    assert parse_qs(urlsplit(alone.headers["HX-Replace-Url"]).query) == {
        "at": ["B1"],
        "volume": ["30000"],
        "see.magnet": ["seen"],
    }
    wrong = text_of(client.get(f"{BRACKET}&see.density_kg_per_m3=-4&see.magnet=perhaps&see.nothing=seen"))
    assert "is outside 100" in wrong
    assert "no outcome" in wrong


def test_hostile_words_are_text_or_not_there(routed, ask, client):
    if routed.database != "sqlite":
        pytest.skip("pages come out of the same templates on each database")
    ask(VEHICLE)
    for word in (*HOSTILE, "\u202e", "\u2028", "9" * 400, "1e999", "--", "%"):
        for address in (
            f"{VEHICLE}?open={{}}",
            f"{VEHICLE}?by={{}}",
            f"{VEHICLE}?region={{}}",
            f"{VEHICLE}?left={{}}&configuration=delivered",
            "/vehicles/WHI/cost/part/?at={}",
            f"{BRACKET}&mass_kg={{}}&volume={{}}&material={{}}&step1={{}}&step1.line={{}}&region={{}}&see.magnet={{}}",
            f"{BRACKET}&{{}}=1&see.{{}}=seen",
            f"{WORKED}&mass_kg={{}}&wall_thickness_mm={{}}&step2={{}}&tools={{}}",
            "/vehicles/WHI/cost/part/witness/?at=B1&see.hardness_hv={}",
            "/vehicles/WHI/cost/part/sheet/?at=B1&mass_kg={}",
        ):
            answer = client.get(address.format(*[quote(word)] * 9))
            assert answer.status_code in (200, 404), address
            check_headers(_empty(answer))
            if "sheet" in answer.headers["Content-Type"]:
                continue
            found = Looked(answer.content.decode())
            assert found.live == [], address
            assert found.unseen == [], address


@pytest.mark.parametrize(
    ("typed", "value"),
    [("2.5", 2.5), ("2,5", 2.5), (" 1\u202f200 ", 1200.0), ("\u22123", -3.0), ("1e3", 1000.0)],
)
def test_numbers_are_read_as_people_write_them(typed, value):
    # first principles.
    assert number(typed) == value


@pytest.fixture
def two(record, tmp_path):
    """Two vehicles of which the second has a housing of three times the mass."""
    cost_store.load(record, tmp_path)
    cost_store.load(record, tmp_path, code="TUR", name="Turnstone", scale=3.0)
    return record


PAIR = "/cost/?a=WHI&b=TUR&function=F1"


@pytest.fixture
def compare(ask):
    """Ask for a comparison; the sums of both vehicles are worked out before it."""

    def get(address):
        ask(address)
        return ask(address)

    return get


@pytest.mark.parametrize(
    ("shares", "partly"), [((1.0, 0.95), False), ((0.95, 0.08), True), ((None, 1.0), True)]
)
def test_an_answer_for_a_part_of_the_mass_says_so(shares, partly):
    side = [{"mass_covered_frac": share} for share in shares]
    found = {
        "difference": {"value": -126.0, "low": -258.0, "high": -31.0},
        "probability_a_cheaper": 0.007,
        "a": side[0],
        "b": side[1],
    }
    # common practice: from nine tenths of the mass on a function counts as costed, on the page as in the command.
    assert answer_of({"comparison": found})["partly"] is partly


def test_two_vehicles_are_compared_function_by_function(two, ask, compare):
    listed = text_of(ask("/cost/"))
    assert "Functions that can be compared" in listed
    assert "Guide" in listed
    page = text_of(compare(PAIR))
    # first principles: three times the metal costs more, and that is no matter of chance.
    assert re.search(r"Guide: Turnstone costs [\d.]+ \([^)]*\) USD more than Whimbrel ?\.", page)
    assert "Whimbrel is the cheaper one with a probability of >0.99" in page
    turned = text_of(compare("/cost/?a=TUR&b=WHI&function=F1"))
    assert "Guide: Turnstone costs" in turned
    assert "is cheaper throughout" in page
    for query, said in (
        ("a=WHI&b=WHI", "with itself"),
        ("a=WHI&b=NOP", "NOP"),
        ("a=WHI&b=TUR&function=F9", "F9"),
        ("a=WHI&b=TUR&function=F1&region=mars", "mars"),
    ):
        gone = ask(f"/cost/?{query}")
        assert gone.status_code == 404
        assert said in text_of(gone)


def test_the_walk_and_both_sides_add_up(two, compare):
    compare(PAIR)
    asked = AskedComparison(
        ("WHI", "TUR"),
        (state_of(two, "WHI"), state_of(two, "TUR")),
        ("delivered", "delivered"),
        (0, 1),
        "F1",
        Stated(),
    )
    page = page_of(two, asked)
    found = page["comparison"]
    # first principles: steps are the difference, lines are their side.
    assert sum(one["value"] for one in found["walk"]) == pytest.approx(found["difference"]["value"])
    for side in ("a", "b"):
        assert sum(one["value"] for one in found[side]["lines"]) == pytest.approx(
            found[side]["cost"]["value"]
        )
    assert found["b"]["cost"]["value"] - found["a"]["cost"]["value"] == pytest.approx(
        found["difference"]["value"]
    )
    for curve, even in zip(page["curves"], found["break_even"], strict=True):
        assert (curve["what"], len(curve["x"])) == (even["over"], len(curve["a"]))
        # first principles: without a crossing one of two costs is the lower one all the way.
        if not even["crossings"]:
            assert len({a < b for a, b in zip(curve["a"], curve["b"], strict=True)}) == 1
    volume, costs = page["curves"][0]["x"], page["curves"][0]["a"]
    assert volume[0] < 60_000 < volume[-1]
    # first principles: tools are shared among more pieces.
    assert costs[0] > costs[-1]


def test_pages_of_cost_say_when_nothing_is_kept(two, compare, monkeypatch):
    def closed(*_given, **_more):
        msg = "store: the store cannot be written (attempt to write a readonly database)"
        raise StoreRefused(msg)

    pages.forget()
    monkeypatch.setattr(keeping.keeping, "keep", closed)
    for address in (VEHICLE, BRACKET, PAIR):
        shown = text_of(compare(address))
        assert "could not be worked out" not in shown
        assert "What is worked out is not kept." in shown
    keeping._unkept.clear()
    keeping._refused.clear()
    pages.forget()


def test_curves_stand_where_their_costs_are():
    drawn = curves(
        [10.0, 100.0, 1000.0],
        ([3.0, 2.0, 1.0], [1.0, 2.0, 3.0]),
        ("A", "B"),
        ("volume", "cost"),
        {100.0: "100"},
        None,
        (1, 2),
        "",
    )
    points = [
        [tuple(map(float, pen.split())) for pen in path.removeprefix("M").split("L")] for path in drawn.paths
    ]
    # first principles: equal factors are equal ways on a logarithmic axis; a cost of 0 lies on the axis.
    (x0, y0), (x1, y1), (x2, y2) = points[0]
    assert x1 - x0 == pytest.approx(x2 - x1, abs=0.2)
    assert (drawn.bottom - y0) / (drawn.bottom - y2) == pytest.approx(3.0, rel=0.01)
    assert points[1][1] == (x1, y1)
    assert (drawn.crossings[0].x, drawn.crossings[0].y) == pytest.approx((x1, y1), abs=0.2)
    assert [tick.words for tick in drawn.x_ticks] == ["10", "100", "1\u202f000"]
    with pytest.raises(ValueError, match="above 0"):
        curves([0.0, 1.0], ([1.0, 1.0], [1.0, 1.0]), ("A", "B"), ("", ""), {}, None, (1, 2), "")
