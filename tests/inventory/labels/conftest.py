import pytest

from tests import factories


@pytest.fixture
def drawer(db):
    """A2 in cabinet A, with collets of two sorts and a chuck."""
    drawer = factories.place("A2")
    drawer.parent = factories.place("Cabinet A")
    drawer.save()
    for number, size in enumerate(("3/4", "1/2", "5/8"), start=11):
        factories.collet(size, tag=f"C-00{number}", location="A2")
    factories.collet("1/2", shape="hex", tag="C-0021", location="A2")
    factories.chuck(tag="K-0081", location="A2")
    return drawer
