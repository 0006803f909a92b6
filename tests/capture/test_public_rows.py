"""Tables of published figures: units, rounding, and every fault in one pass."""

import openpyxl
import pytest

from capture.certification_table import raw_rows, written
from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.public_rows import TEMPLATE_HEADINGS, read_public_rows, write_public_template


def table(tmp_path, text):
    path = tmp_path / "rows.csv"
    path.write_text(text, encoding="utf-8")
    return path


def faults(path):
    with pytest.raises(LoadRefused) as refused:
        read_public_rows(path)
    return [str(fault) for fault in refused.value.faults]


def test_the_public_certification_rows_are_read(tmp_path):
    found = read_public_rows(written(tmp_path / "rows.csv")).rows
    assert [row.name for row in found] == [row["vehicle"] for row in raw_rows()]
    bolt = next(row for row in found if row.name == "Chevrolet Bolt EV")
    # from memory: 40 CFR 600.002, 33.705 kWh per gallon. published: the row prints 119.91 MPGe and 28.1083 kWh/100 mi.
    assert bolt.figures["combined_consumption_adjusted"].span.value == pytest.approx(
        28.1083 * 3.6e6 / 160934.4
    )
    assert bolt.figures["combined_economy_adjusted"].span.value == pytest.approx(
        33.705 / 119.91 * 3.6e6 / 1609.344
    )
    assert "record 43955" in bolt.source


def test_worked_label_gives_away_the_wall_energy_of_a_charge(tmp_path):
    found = read_public_rows(written(tmp_path / "rows.csv")).rows
    bolt = next(row for row in found if row.name == "Chevrolet Bolt EV")
    # computed: by hand from the label: 25.8039 × 279.8/100 = 72.199, 30.9249 × 233.4/100 = 72.179 kWh.
    assert bolt.charge("city").value / 3.6e6 == pytest.approx(72.199, abs=0.001)
    assert bolt.charge("highway").value / 3.6e6 == pytest.approx(72.179, abs=0.001)
    # first principles: the combined label is that charge times a cross term, which is taken out again.
    left_out = ("city_range_adjusted", "highway_range_adjusted")
    fewer = {key: printed for key, printed in bolt.figures.items() if key not in left_out}
    without = type(bolt)(bolt.name, bolt.maker, bolt.source, fewer)
    assert without.best_charge().value / 3.6e6 == pytest.approx(
        72.19, abs=0.15
    )  # range is a whole number: ±0.2 %


@pytest.mark.parametrize(
    ("heading", "figure", "joule_per_metre"),
    [
        # first principles: 1 mi = 1609.344 m, 1 kWh = 3.6 MJ, 1 US gal = 3.785411784 l exact; 33.705 kWh per gallon.
        ("city consumption unadjusted [kWh/100 km]", "18.0", 648.0),
        ("city consumption unadjusted [kWh/100 mi]", "30", 30 * 3.6e6 / 160934.4),
        ("city consumption unadjusted [Wh/mi]", "300", 300 * 3600 / 1609.344),
        ("city consumption unadjusted [l/100 km]", "2.0", 2 * 33.705 / 3.785411784 * 36.0),
        ("city economy unadjusted [MPGe]", "100", 33.705 * 3.6e6 / 160934.4),
        ("city_economy_unadjusted (mi/kWh)", "4", 3.6e6 / 1609.344 / 4),
    ],
)
def test_units_of_consumption(tmp_path, heading, figure, joule_per_metre):
    found = read_public_rows(table(tmp_path, f"vehicle,source,{heading}\nA,a label,{figure}\n")).rows
    (printed,) = found[0].figures.values()
    assert printed.span.value == pytest.approx(joule_per_metre, rel=1e-9)


@pytest.mark.parametrize(
    ("figure", "half", "whole"),
    # first principles: half a unit of the last digit; a zero at the end after the point may be a program's.
    [("259", 0.5, True), ("259.0", 0.5, True), ("279.8", 0.05, False), ("25.80", 0.05, False)],
)
def test_rounding_of_printed_digits(tmp_path, figure, half, whole):
    path = table(tmp_path, f"vehicle,source,combined range adjusted [km]\nA,a label,{figure}\n")
    printed = read_public_rows(path).rows[0].figures["combined_range_adjusted"]
    assert (printed.span.high - printed.span.low) / 2.0 == pytest.approx(half * 1000.0)
    assert printed.whole is whole


def test_units_may_stand_in_a_row(tmp_path):
    path = table(tmp_path, "vehicle;source;test mass;road load c\nunits;;lb;lbf/mph2\nA;a label;5000;0.02\n")
    row = read_public_rows(path).rows[0]
    # first principles: 1 lb = 0.45359237 kg exact.
    assert row.figures["test_mass"].span.value == pytest.approx(5000 * 0.45359237)
    assert row.line == 3


def test_a_workbook_sheet_is_read_like_csv(tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "published"
    book.active.append(["vehicle", "source", "test mass [kg]", "road load b [N/(m/s)]"])
    book.active.append(["A", "a label", 2100, -0.25])
    book.save(tmp_path / "rows.xlsx")
    row = read_public_rows(tmp_path / "rows.xlsx").rows[0]
    assert row.figures["test_mass"].span.value == 2100.0
    assert row.figures["road_load_b"].span.value == -0.25


def test_every_fault_is_told_at_once(tmp_path):
    found = faults(
        table(
            tmp_path,
            "vehicle,source,city range [mi],battery [kWh],test mass,combined economy adjusted [kWh/100 mi],colour,"
            "road load a [lbf],road load c [lbf]\n"
            "A,,240,60,5000,30,red,-4,0.02\n"
            "A,a label,240,60,5000,30,red,about 30,0.02\n",
        )
    )
    told = "\n".join(found)
    for words in (
        "cycle, figure and basis",
        "battery gross [kWh]",
        "has no unit",
        "call the column consumption",
        "is no heading",
        "say where the figures",
        "above 0",
        "not a plain number",
        "stands twice",
    ):
        assert words in told
    assert "road load c [lbf]" in told


def test_the_template_reads_back(tmp_path):
    path = tmp_path / "template.csv"
    write_public_template(path)
    # first principles: the headings are right and only a vehicle is missing.
    assert faults(path) == ["published: the table has headings and no vehicle."]
    assert len(TEMPLATE_HEADINGS) == len(set(TEMPLATE_HEADINGS))


@pytest.mark.parametrize(
    "figure", ["1e31", "1e-31", "0e999", "0e-999", "1e9999", "0e" + "9" * 5000, "9" * 400, "1e999999999999"]
)
def test_a_figure_that_could_not_be_worked_with_is_a_fault_of_its_cell(tmp_path, figure):
    path = tmp_path / "t.csv"
    path.write_text(f"vehicle,source,road load b [lbf/mph]\nA,list 1,{figure}\n")
    with pytest.raises(LoadRefused) as refused:
        read_public_rows(path)
    assert [(f.row, f.column) for f in refused.value.faults] == [(2, "road load b [lbf/mph]")]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("c," * 300_000 + "\n", "300001 columns in row 1: more than 256 columns"),
        ("vehicle,source\n" + "A,b\n" * 200_001, "more than 256 columns or 200000 rows"),
    ],
    ids=["wide", "tall"],
)
def test_a_table_without_end_is_one_fault(tmp_path, text, words):
    path = tmp_path / "t.csv"
    path.write_text(text)
    with pytest.raises(LoadRefused, match=words) as refused:
        read_public_rows(path)
    assert len(refused.value.faults) == 1


def test_a_heading_without_end_is_cut_where_it_is_told(tmp_path):
    path = tmp_path / "t.csv"
    path.write_text(f"vehicle,source,{'speed ' * 20_000}\nA,b,1\n")
    with pytest.raises(LoadRefused) as refused:
        read_public_rows(path)
    assert len(str(refused.value)) < 1500
