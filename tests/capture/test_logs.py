"""Logs as they come: dialects, clocks, holes, attacks; nothing guessed is used unasked."""

import gzip
import io
import random
import zipfile

import numpy as np
import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.capture.channel_map import ChannelMap, Mapped, as_mapping, as_toml, from_mapping, from_toml
from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.log_table import read_log_table
from hoistbook.capture.log_text import LogLimits
from hoistbook.capture.log_units import split_heading
from hoistbook.capture.logs import look_at_log, read_log
from hoistbook.core.trials.channels import CHANNELS


def written(tmp_path, text, name="log.csv", encoding="utf-8"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    return path


METADATA = ["Logger 7", "Operator;A. B.", "Sample rate, Hz;10", "", "# exported", "Comment:\tcold start"]


@settings(max_examples=60, deadline=None)
@given(
    mark=st.sampled_from([";", "\t", ",", "|"]),
    decimal=st.sampled_from([".", ","]),
    metadata=st.lists(st.sampled_from(METADATA), max_size=4),
    end=st.sampled_from(["\n", "\r\n", "\r"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    units=st.sampled_from(["brackets", "row"]),
    seed=st.integers(0, 10_000),
)
def test_the_dialect_does_not_change_the_series(
    tmp_path_factory, mark, decimal, metadata, end, encoding, units, seed
):
    if mark == decimal:
        decimal = "."
    rng = random.Random(seed)
    rows = [(0.5 * i, round(rng.uniform(0, 120), 2), round(rng.uniform(330, 360), 1)) for i in range(12)]
    gone = rng.randrange(12)
    heading = ["Time", "Vehicle speed", "Pack voltage"]
    symbols = ["s", "km/h", "V"]
    lines = list(metadata)
    if units == "row":
        lines += [mark.join(heading), mark.join(f"[{u}]" for u in symbols)]
    else:
        lines.append(mark.join(f"{h} [{u}]" for h, u in zip(heading, symbols, strict=True)))
    for i, row in enumerate(rows):
        cells = [f"{v}" for v in row]
        if i == gone:
            cells[2] = rng.choice(["", "NaN", "-", "n/a"])
        lines.append(mark.join(c.replace(".", decimal) for c in cells))
    path = written(tmp_path_factory.mktemp("log"), end.join(lines), encoding=encoding)
    series = read_log(path, guess=True).series
    # first principles: the figures that were written, 1 km/h = 1/3.6 m/s.
    np.testing.assert_allclose(series.time_s, [r[0] for r in rows], atol=1e-12)
    np.testing.assert_allclose(series["speed_m_per_s"] * 3.6, [r[1] for r in rows], rtol=1e-12, atol=1e-12)
    expected = [np.nan if i == gone else r[2] for i, r in enumerate(rows)]
    np.testing.assert_array_equal(series["pack_voltage_v"], expected)


def test_nothing_is_guessed_unasked(tmp_path):
    path = written(tmp_path, "time [s],speed [km/h]\n0,1\n1,2\n2,3\n")
    with pytest.raises(ValueError, match="accept it as printed with --guess"):
        read_log(path)


@pytest.mark.parametrize(
    ("stamps", "seconds"),
    [
        # first principles: differences of the stamps written.
        (["23:59:59.5", "00:00:00.5", "00:00:02"], [0, 1, 2.5]),
        (["11:59:59 PM", "12:00:01 AM", "12:00:02 am"], [0, 2, 3]),
        (["2026-02-28T23:59:58Z", "2026-03-01T00:00:00Z", "2026-03-02T00:00:00Z"], [0, 2, 86402]),
        (["28.02.2026 23:59:58,25", "01.03.2026 00:00:00,00", "01.03.2026 00:00:01,00"], [0, 1.75, 2.75]),
        (["02/28/2026 23:59:58", "03/01/2026 00:00:00", "03/01/2026 00:00:01"], [0, 2, 3]),
        (["59:58.5", "00:01.5", "00:02.5"], [0, 3, 4]),
        (["1764000000000", "1764000000100", "1764000000350"], [0, 0.1, 0.35]),
        (["100", "200", "400"], [0, 0.1, 0.3]),
    ],
)
def test_clocks(tmp_path, stamps, seconds):
    body = "".join(f"{stamp};{i + 1}\n" for i, stamp in enumerate(stamps))
    series = read_log(written(tmp_path, f"Time;speed [m/s]\n{body}"), guess=True).series
    np.testing.assert_allclose(series.time_s, seconds, atol=1e-6)


def test_a_day_and_a_clock_in_two_columns(tmp_path):
    text = "Date;Time;speed [m/s]\n2026-01-01;23:00:00;1\n2026-01-01;23:30:00;2\n2026-01-03;00:30:00;3\n"
    series = read_log(written(tmp_path, text), guess=True).series
    # first principles: half an hour, then a day and an hour.
    np.testing.assert_array_equal(series.time_s, [0.0, 1800.0, 1800.0 + 25 * 3600.0])


def test_rows_of_one_stamp_are_joined_and_clashes_said(tmp_path):
    text = "t [s];speed [m/s];pack voltage [V]\n0;1;\n0;;350\n1;2;\n1;2.5;351\n2;3;352\n"
    read = read_log(written(tmp_path, text), guess=True)
    # first principles: of every channel the first reading of a stamp.
    np.testing.assert_array_equal(read.series["speed_m_per_s"], [1, 2, 3])
    np.testing.assert_array_equal(read.series["pack_voltage_v"], [350, 351, 352])
    assert any("2 rows repeat the time" in r for r in read.remarks)
    assert any("1 reading of a repeated time stamp differ" in r for r in read.remarks)


def test_single_rows_out_of_order_are_dropped_and_said(tmp_path):
    times = list(range(200))
    times[50], times[51] = times[51], times[50]
    text = "t [s];speed [m/s]\n" + "".join(f"{t};{t}\n" for t in times)
    read = read_log(written(tmp_path, text), guess=True)
    # first principles: row 1 is the heading, so sample 51 stands in row 53 - 1.
    assert any("1 row behind an earlier time left out, the first in row 53" in r for r in read.remarks)
    assert len(read.series) == 199


def test_two_recordings_in_one_file_are_refused(tmp_path):
    text = "t [s];speed [m/s]\n" + "".join(f"{t};1\n" for t in [*range(50), *range(50)])
    with pytest.raises(ValueError, match=r"row 52: the clock goes back by 49 s"):
        read_log(written(tmp_path, text), guess=True)


def test_what_is_no_number_is_counted_with_its_first_row(tmp_path):
    text = "t [s];speed [m/s]\n0;1\n1;fault\n2;3\nt [s];speed [m/s]\n3;4\nend of file;\n"
    read = read_log(written(tmp_path, text), guess=True)
    np.testing.assert_array_equal(read.series["speed_m_per_s"], [1, np.nan, 3, 4])
    assert any("the first in row 3: 'fault'" in r for r in read.remarks)
    assert any("row 5 (t [s] speed [m/s]), row 7 (end of file)" in r for r in read.remarks)


def test_a_decimal_comma_among_separating_commas_is_refused(tmp_path):
    rows = "".join(f"{i},{i}\n" for i in range(500))
    with pytest.raises(ValueError, match=r"row 502: 4 cells below 2 headings; a decimal comma"):
        read_log(written(tmp_path, f"t [s],speed [m/s]\n{rows}500,5,1,2\n"), guess=True)


def test_the_sign_of_the_current_is_read_off_the_voltage(tmp_path):
    rng = np.random.default_rng(1)
    current = rng.uniform(-50, 150, 60)
    text = "t [s];pack current [A];pack voltage [V]\n" + "".join(
        f"{i};{-c:.3f};{350 - 0.08 * c:.4f}\n" for i, c in enumerate(current)
    )
    read = read_log(written(tmp_path, text), guess=True)
    # first principles: V = 350 V − 0.08 Ω · I with I positive on discharge; the file has it the other way round.
    np.testing.assert_allclose(read.series["pack_current_a"], current, atol=6e-4)


def test_doubts_are_said(tmp_path):
    rows = "".join(f"{i};{60 + i % 3};{'' if i % 4 else 350};7\n" for i in range(300))
    path = written(tmp_path, f"Time;Speed;Pack voltage [V];Battery current [A]\n{rows}")
    _, proposed = look_at_log(path)
    by_column = {p.column: p for p in proposed.proposals}
    assert any("km/h is guessed" in d for d in by_column["Speed"].doubts)
    assert any("no unit" in d for d in by_column["Time"].doubts)
    assert by_column["Pack voltage"].missing_frac == pytest.approx(0.75)
    assert any("stays at 7 from row 2 to row 301: frozen?" in d for d in by_column["Battery current"].doubts)


def test_a_workbook_reads_as_its_csv(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Logger 7"])
    sheet.append(["Zeit", "Geschwindigkeit", "SoC"])
    sheet.append(["s", "km/h", "%"])
    for i in range(5):
        sheet.append([0.1 * i, 10 * i, None if i == 2 else 0.5 + 0.01 * i])
        sheet.cell(row=4 + i, column=3).number_format = "0%"
    book.save(tmp_path / "log.xlsx")
    series = read_log(tmp_path / "log.xlsx", guess=True).series
    # first principles: as written; a cell shown as a percentage is that percentage.
    np.testing.assert_allclose(series.time_s, 0.1 * np.arange(5))
    np.testing.assert_allclose(series["speed_m_per_s"] * 3.6, 10.0 * np.arange(5))
    np.testing.assert_allclose(series["state_of_charge_1"], [0.5, 0.51, np.nan, 0.53, 0.54])


def test_a_mapping_converts_scale_offset_unit_and_sign(tmp_path):
    path = written(tmp_path, "tick,raw\n0,10\n500,20\n1000,30\n")
    channels = ChannelMap("mine", "tick", "ms", (Mapped("raw", "pack_power_w", "kW", 0.5, 1.0, -1),))
    series = read_log(path, channels).series
    # first principles: −(0.5 x + 1) kW.
    np.testing.assert_allclose(series["pack_power_w"], [-6000.0, -11000.0, -16000.0])
    assert series.time_s[-1] == 1.0


@given(
    name=st.text(min_size=1, max_size=30).filter(str.strip),
    scale=st.floats(1e-6, 1e6),
    offset=st.floats(-1e6, 1e6),
    channel=st.sampled_from([c for c in CHANNELS if c != "run"]),
)
def test_a_mapping_survives_its_file(name, scale, offset, channel):
    name = name.encode("utf-8", "replace").decode()
    given_map = ChannelMap(
        name, "t", "clock", (Mapped(name, channel, CHANNELS[channel].unit, scale, offset, -1),), "day"
    )
    assert from_toml(as_toml(given_map), "file") == given_map
    assert from_mapping(as_mapping(given_map), "store") == given_map


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x = [", "not a TOML file"),
        ("[time]\ncolumn='t'\nis='s'", "at least one"),
        (
            "[time]\ncolumn='t'\nis='fortnights'\n[[channel]]\ncolumn='a'\nchannel='run'\nunit='1'",
            "fortnights",
        ),
        (
            "[time]\ncolumn='t'\nis='s'\n[[channel]]\ncolumn='a'\nchannel='warp'\nunit='1'",
            "no channel is named 'warp'",
        ),
        ("[time]\ncolumn='t'\nis='s'\n[[channel]]\ncolumn='a'\nchannel='run'\nunit='kg'", "a mass"),
        ("[time]\ncolumn='t'\nis='s'\n[[channel]]\ncolumn='a'\nchannel='run'\nunit='1'\nsign=0", "sign 0"),
        (
            "[time]\ncolumn='t'\nis='s'\nzone='x'\n[[channel]]\ncolumn='a'\nchannel='run'\nunit='1'",
            "unknown zone",
        ),
    ],
)
def test_bad_mappings_are_refused(text, words):
    with pytest.raises(ValueError, match=words):
        from_toml(text, "map.toml")


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("Speed [km/h]", ("Speed", "km/h")),
        ("U / V", ("U", "V")),
        ("Temp in °C", ("Temp", "°C")),
        ("pack_kw", ("pack", "kW")),
        ("Force (N/(m/s))", ("Force", "N/(m/s)")),
        ("Front / rear", ("Front / rear", "")),
        ("my_sum", ("my_sum", "")),
    ],
)
def test_units_in_headings(heading, expected):
    assert split_heading(heading) == expected


def bomb():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("xl/workbook.xml", b"0" * 30_000_000)
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.csv", b"t,v\n0,1\n\x00\x01\x02", "binary"),
        ("a.csv", b"t,v\n" + b"0,1\n" * 40_000 + b"\x00", "NUL characters"),
        ("a.csv", b"t,v\n0,1\n" + b"9" * 3_000_000, "a line of more than 1000000 characters"),
        ("a.csv", b"", "empty"),
        ("a.csv", b" \n\n", "empty"),
        ("a.csv", gzip.compress(b"t,v\n0,1\n"), "packed by gzip"),
        ("a.csv", bomb(), "an archive"),
        ("a.csv", b"only one column\n1\n2\n3\n", "no table found"),
        ("a.csv", b"<html><body>not a log</body></html>\n" * 9, "no table found"),
        ("a.xlsx", b"t,v\n0,1\n", "not an .xlsx"),
        ("a.xlsx", bomb(), "archive bomb"),
    ],
)
def test_attacks_are_refused_clearly(tmp_path, name, data, words):
    with pytest.raises((ValueError, LoadRefused), match=words):
        read_log(written(tmp_path, data, name), guess=True)


def test_limits_hold(tmp_path):
    path = written(tmp_path, "t [s],v\n" + "".join(f"{i},1\n" for i in range(1000)))
    with pytest.raises(ValueError, match="more than 100 rows of 2 columns"):
        read_log_table(path, LogLimits(rows=100))
    with pytest.raises(ValueError, match="more than 50 bytes"):
        read_log_table(path, LogLimits(file_bytes=50))
    with pytest.raises(ValueError, match="is not a file"):
        read_log_table(tmp_path)


def test_small_pieces_read_as_one(tmp_path):
    rows = [f"{i / 10};{i * 0.25};{'' if i % 5 else i}" for i in range(1500)]
    path = written(tmp_path, "t [s];v [m/s];u [V]\r\n" + "\r\n".join(rows) + "\r\n")
    whole, pieces = read_log_table(path), read_log_table(path, LogLimits(piece_bytes=37))
    for one, other in zip(whole.columns, pieces.columns, strict=True):
        np.testing.assert_array_equal(one.numbers, other.numbers)
    np.testing.assert_array_equal(whole.rows, pieces.rows)
    assert whole.sha256 == pieces.sha256


def test_what_is_no_whole_number_is_not_proposed_as_number_of_the_run(tmp_path):
    rows = "\n".join(f"{t},{90 - t},{0.3 + 0.1 * (t % 5):.1f}" for t in range(60))
    _, proposed = look_at_log(written(tmp_path, f"Time [s],Speed [km/h],Run\n{rows}\n"))
    # first principles: runs are counted.
    assert "run" not in {one.channel for one in proposed.proposals}
    rows = "\n".join(f"{t},{90 - t},{1 + t // 30}" for t in range(60))
    _, proposed = look_at_log(written(tmp_path, f"Time [s],Speed [km/h],Run\n{rows}\n", "counted.csv"))
    assert "run" in {one.channel for one in proposed.proposals}


GAUGES = ("time [s]", "speed [km/h]", "pack voltage [V]", "pack current [A]")


def log_of(*columns, n=60):
    lines = [",".join(GAUGES[: len(columns)])]
    return "\n".join([*lines, *(",".join(str(column(i)) for column in columns) for i in range(n))]) + "\n"


def test_readings_beyond_what_can_be_squared_are_missing_and_said(tmp_path):
    # first principles: 1e30 squared is finite, 1e308 squared is not; what a sum cannot hold is no reading.
    path = written(tmp_path, log_of(lambda i: i, lambda i: 1e308 if i % 2 else 50 + i, lambda i: f"-{i}e999"))
    table = read_log_table(path)
    # The voltage of row 0 reads −0e999, which is 0: 30 speeds and 59 voltages are left out.
    assert "89 readings infinite or beyond 1e+30 taken as missing." in table.remarks
    assert np.isfinite(table.column("speed").numbers).sum() == 30
    assert np.nanmax(np.abs(table.column("speed").numbers)) == 108.0


def test_a_scale_that_leads_beyond_all_readings_is_refused(tmp_path):
    path = written(tmp_path, log_of(lambda i: i, lambda i: 50 + i))
    mapped = Mapped("speed", "speed_m_per_s", "km/h", scale=1e300)
    with pytest.raises(ValueError, match=r"'speed' times 1e\+300 plus 0 in km/h .* mend scale and offset"):
        read_log(path, ChannelMap("m", "time", "s", (mapped,)))


@pytest.mark.parametrize("columns", [600, 20_000])
def test_too_many_columns_are_counted_before_they_are_looked_into(tmp_path, monkeypatch, columns):
    from hoistbook.capture import log_layout

    looked = []
    monkeypatch.setattr(log_layout, "is_number", lambda cell: bool(looked.append(cell)))
    path = written(tmp_path, (",".join(["c"] * columns) + "\n") + (",".join(["1"] * columns) + "\n") * 20)
    with pytest.raises(ValueError, match=f"up to {columns} columns, more than 512; export fewer channels"):
        read_log_table(path)
    assert len(looked) < 1000


def test_a_wide_line_above_a_narrow_table_harms_nothing(tmp_path):
    path = written(tmp_path, "notes" + "," * 5000 + "\n" + log_of(lambda i: i, lambda i: 50 + i))
    assert [column.heading for column in read_log_table(path).columns] == ["time", "speed"]


@pytest.mark.parametrize("heading", ["v" * 201, f"v [{'m' * 201}]", "speed " * 20_000])
def test_a_heading_nobody_could_print_is_refused(tmp_path, heading):
    path = written(tmp_path, log_of(lambda i: i, lambda i: 50 + i).replace("speed [km/h]", heading))
    with pytest.raises(ValueError, match=r"column 2: a heading or unit of [0-9]+ letters .* a short name"):
        read_log_table(path)
