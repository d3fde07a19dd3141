"""Signs and words of a shape beside the size of a bar are taken off in a question too; a tag stays a tag."""

import pytest

from fitfinder.holding.texts.bar_labels import with_its_shape


@pytest.mark.parametrize(
    ("text", "size", "shape"),
    [
        ("□10", "10", "square"),
        ("⬡ 13 mm", "13 mm", "hex"),
        ("dia. 3/4", "3/4", "round"),
        ("∅ 20", "20", "round"),
        ("1½ hex", "1-1/2", "hex"),
        ("sq. 1/2", "1/2", "square"),
        ("7⁄8 rd", "7/8", "round"),
    ],
)
def test_a_shape_in_any_sign_is_the_shape_of_the_bar(text, size, shape):
    assert with_its_shape(text) == (size, shape)


@pytest.mark.parametrize("text", ["d20", "D-0012", "½", "12-11", "3/4 cold drawn", "K-0081"])
def test_what_says_no_shape_stays_as_it_is_written(text):
    assert with_its_shape(text) == (text, "")
