from inventory.transfer.asked import RowDoubt, asks_of

WORN = RowDoubt(key="word:w", about="“W” stands for …?", choices=("worn", "good"))
LOAN = RowDoubt(key="out:ann", about="Is it still out to Ann?", choices=("leave out",))


def test_a_question_of_many_rows_is_asked_once_with_all_of_them():
    asked = asks_of([(3, [WORN]), (4, []), (9, [LOAN, WORN])], answers={})

    assert [(ask.key, ask.lines) for ask in asked] == [("word:w", (3, 9)), ("out:ann", (9,))]


def test_what_was_answered_stands_beside_its_question():
    (ask,) = asks_of([(3, [WORN])], answers={"word:w": "worn"})

    assert ask.answer == "worn"


def test_a_question_as_json_has_its_choices_and_rows():
    (ask,) = asks_of([(3, [WORN])], answers={})

    assert ask.as_json() == {"key": "word:w", "about": "“W” stands for …?", "choices": ["worn", "good"], "lines": [3]}
