"""The database itself refuses to change what was written, whatever program asks."""

import pytest
from django.db import DatabaseError, connection, transaction
from django.db.models import ProtectedError

from hoistbook.store.changes.models import Change
from hoistbook.store.vehicles.models import Configuration, Vehicle
from hoistbook.store.writing import state, writing

PLAIN = {"wheels": "", "options": "", "note": ""}


@pytest.fixture
def two(place):
    with writing("ann", "load", "vehicle W") as change:
        for code in "WV":
            Vehicle.objects.create(code=code, change=change)
            state(Configuration, code, {"a": PLAIN, "b": PLAIN}, change, "workbook")
    return list(Configuration.objects.filter(owner="W").order_by("slot"))


def run(statement):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def test_the_models_refuse_too(two):
    two[0].note = "changed"
    for act in (two[0].save, lambda: Configuration.objects.update(note="x"), two[0].delete):
        with pytest.raises((DatabaseError, ProtectedError)), transaction.atomic():
            act()
    assert set(Configuration.objects.values_list("note", flat=True)) == {""}


def successor(of, **other):
    given = {
        "owner_id": "W",
        "slot": of.slot,
        "statement": "workbook",
        "change_id": Change.objects.latest("pk").pk,
    }
    return Configuration(supersedes=of, **(given | other), **PLAIN)


def test_a_link_stays_in_its_slot(two):
    for other in ({"slot": "b"}, {"owner_id": "V"}, {"statement": "test 1"}):
        with pytest.raises(DatabaseError, match="an earlier one of its own slot"), transaction.atomic():
            successor(two[0], **other).save()
    successor(two[0]).save()


def test_no_slot_forks_or_starts_twice(two):
    successor(two[0]).save()
    with pytest.raises(DatabaseError), transaction.atomic():
        successor(two[0]).save()
    with pytest.raises(DatabaseError), transaction.atomic():
        Configuration(
            owner_id="W", slot="b", statement="workbook", change_id=two[0].change_id, **PLAIN
        ).save()
    with pytest.raises(DatabaseError), transaction.atomic():  # the end of a slot that never began
        Configuration(
            owner_id="W", slot="c", statement="workbook", change_id=two[0].change_id, retired=True, **PLAIN
        ).save()


def test_replacing_is_no_way_round(two):
    if connection.vendor != "sqlite":
        pytest.skip("INSERT OR REPLACE is of SQLite alone")
    columns = "slot, statement, retired, wheels, options, note, change_id, owner_id, supersedes_id"
    root, change = two[0].pk, two[0].change_id
    successor(two[0]).save()
    for more, given in (
        ("id, ", f"{root}, 'a', 'workbook', 0, 'x', '', '', {change}, 'W', NULL"),
        ("", f"'a', 'workbook', 0, 'x', '', '', {change}, 'W', NULL"),
        ("", f"'a', 'workbook', 0, 'x', '', '', {change}, 'W', {root}"),
    ):
        with pytest.raises(DatabaseError):
            run(f"INSERT OR REPLACE INTO vehicles_configuration ({more}{columns}) VALUES ({given})")
    assert set(Configuration.objects.values_list("wheels", flat=True)) == {""}


def test_keys_point_at_something(two):
    with transaction.atomic():
        Configuration(owner_id="nobody", slot="a", statement="w", change_id=two[0].change_id, **PLAIN).save()
        with pytest.raises(DatabaseError):
            connection.check_constraints()
        transaction.set_rollback(True)
