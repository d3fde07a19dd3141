import pytest

from shop.server.lanes import ACTS, HASHES, HEAVY, MOST, MOST_BEFORE_THE_DOOR, PAGES, lane_of, most_bytes_to


@pytest.mark.parametrize(
    ("method", "path", "lane"),
    [
        ("GET", "/", PAGES),
        ("POST", "/t/C-0011/issue/", ACTS),
        ("GET", "/sign-in/", PAGES),
        ("POST", "/sign-in/", HASHES),
        ("POST", "/password/", HASHES),
        ("POST", "/confirm/", HASHES),
        ("POST", "/desk/people/add/", HASHES),
        ("POST", "/desk/import/", HEAVY),
        ("GET", "/desk/import/7/", HEAVY),
        ("POST", "/desk/import/7/", HEAVY),
        ("POST", "/t/C-0011/inspect/", HEAVY),
        ("POST", "/desk/backup/", HEAVY),
        ("GET", "/desk/backup/", PAGES),
        ("POST", "/nothing/here/", ACTS),
    ],
)
def test_what_takes_long_has_a_lane_of_its_own(method, path, lane):
    assert lane_of(method, path) is lane


@pytest.mark.parametrize(
    ("path", "most"),
    [
        ("/sign-in/", MOST_BEFORE_THE_DOOR),
        ("/nothing", MOST_BEFORE_THE_DOOR),
        ("/desk/import/", MOST),
        ("/lathes/add/", MOST),
    ],
)
def test_before_the_door_little_is_taken(path, most):
    assert most_bytes_to(path) == most
