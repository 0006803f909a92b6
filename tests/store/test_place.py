from hoistbook.store.place import open_store


def test_a_store_opens_again_as_itself(place):
    again = open_store(place.folder)
    assert (again.id, again.database, again.made) == (place.id, place.database, False)
