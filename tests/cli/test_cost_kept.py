"""Costs of vehicles of a store are kept by the state of the vehicle and by every assumption, and can be explained."""

import copy

import pytest

from capture.books import saved
from cli.cost_rows import ROWS, dearer
from cli.running import run

FEW = ("--draws", 100)


@pytest.fixture
def store(tmp_path, monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    folder = tmp_path / "store"
    for rows in (ROWS, dearer()):
        assert run("load", saved(tmp_path, rows), "--store", folder, "--person", "Ines").code == 0
    return folder


def kept(store, *codes):
    return [one["kind"] for one in run("results", *codes, "--store", store, "--json").json["results"]]


def test_each_answer_is_kept_once_for_its_assumptions(store):
    asked = [
        ("cost", "VAN", *FEW),
        ("cost", "VAN", *FEW, "--part", "P1"),  # the same answer, one part of it
        ("cost", "van", *FEW, "--volume", 5000),
        ("cost", "compare", "VAN", "BUS", "--function", "hold", *FEW),
        ("cost", "assembly", "VAN"),
        ("cost", "service", "VAN", "--part", "P1"),
    ]
    for words in asked:
        first, second = (run(*words, "--store", store, "--json") for _ in range(2))
        assert (first.code, first.out) == (0, second.out)
        assert run(*words, "--store", store).code == 0
    # first principles: one result for each question with its assumptions, however often it is asked.
    expected = ["cost", "cost", "cost compare", "cost assembly", "cost service"]
    assert sorted(kept(store)) == sorted(expected)
    assert kept(store, "VAN", "BUS") == ["cost compare"]


def test_a_kept_cost_is_explained_by_what_moved(store, tmp_path):
    before = run("cost", "VAN", *FEW, "--store", store, "--json").json
    run("cost", "service", "VAN", "--part", "P1", "--store", store, "--json")
    run("cost", "assembly", "VAN", "--store", store, "--json")
    run("cost", "compare", "VAN", "BUS", "--function", "hold", *FEW, "--store", store, "--json")
    rows = copy.deepcopy(ROWS)
    rows["measurements"][0]["value"] = 0.5
    assert run("load", saved(tmp_path, rows), "--store", store, "--person", "Bo").code == 0
    after = run("cost", "VAN", *FEW, "--store", store, "--json").json
    # first principles: a heavier bracket needs more sheet.
    assert after["total"]["value"] > before["total"]["value"]
    for one in run("results", "VAN", "--store", store, "--json").json["results"]:
        told = run("results", "--store", store, "--explain", one["id"], "--json").json
        assert told["model_changed"] is False
        moved = {line["place"]: line for line in told["moved"]}
        if one["kind"] == "cost" and one["inputs"]["states"]["VAN"] == 1:
            total = moved["total.value"]
            assert total["new"] - total["old"] == pytest.approx(
                after["total"]["value"] - before["total"]["value"]
            )


def test_a_vehicle_of_the_store_named_like_a_command_has_the_long_form(tmp_path, monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    rows = copy.deepcopy(ROWS)
    rows["vehicle"][0]["code"] = "service"
    store = tmp_path / "store"
    run("load", saved(tmp_path, rows), "--store", store, "--person", "Ines")
    assert run("cost", "service", *FEW, "--store", store).code == 2
    assert run("cost", "vehicle", "service", *FEW, "--store", store).code == 0
