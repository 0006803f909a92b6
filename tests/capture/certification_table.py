"""The public certification rows as a table for the reader, the flag column left out."""

import csv
from pathlib import Path

DATA = Path(__file__).parent.parent / "data" / "certification_2022.csv"
HEADINGS = {
    "vehicle": "vehicle",
    "maker": "maker",
    "etw_lb": "test mass [lb]",
    "a_lbf": "road load a [lbf]",
    "b_lbf_per_mph": "road load b [lbf/mph]",
    "c_lbf_per_mph2": "road load c [lbf/mph2]",
    "gross_kwh": "battery gross [kWh]",
    "unadjusted_city_mpge": "city economy unadjusted [MPGe]",
    "unadjusted_highway_mpge": "highway economy unadjusted [MPGe]",
    "city_mpge": "city economy adjusted [MPGe]",
    "highway_mpge": "highway economy adjusted [MPGe]",
    "combined_mpge": "combined economy adjusted [MPGe]",
    "city_kwh_per_100mi": "city consumption adjusted [kWh/100 mi]",
    "highway_kwh_per_100mi": "highway consumption adjusted [kWh/100 mi]",
    "combined_kwh_per_100mi": "combined consumption adjusted [kWh/100 mi]",
    "range_mi": "combined range adjusted [mi]",
    "range_city_mi": "city range adjusted [mi]",
    "range_highway_mi": "highway range adjusted [mi]",
}


def raw_rows():
    with DATA.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def written(path, rows=None):
    """Write rows as a table of published figures."""
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow([*HEADINGS.values(), "source"])
        for row in raw_rows() if rows is None else rows:
            source = (
                f"fleet file of model year 2022; fueleconomy.gov vehicles dataset, record {row['label_id']}"
            )
            table.writerow([*(row[name] for name in HEADINGS), source])
    return path
