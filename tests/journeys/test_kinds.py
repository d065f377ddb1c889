"""Which pages hold something that no page before held."""

import pytest

from tests.journeys.kinds import kinds, with_something_new

PLAIN = '<main><p class="lead">Short words</p></main>'


def test_other_words_in_the_same_elements_are_the_same():
    assert kinds(PLAIN) == kinds('<main><p class="lead">Some more short words</p></main>')
    assert kinds(PLAIN) == kinds('<main><p class="lead">a</p><p class="lead">b</p></main>')


@pytest.mark.parametrize(
    "other",
    [
        '<main><p class="note">Short words</p></main>',
        '<main><p class="lead" hidden>Short words</p></main>',
        '<main><p class="lead">Short <b>words</b></p></main>',
        '<main><p class="lead">Short words<input type="text"></p></main>',
        '<main><div><p class="lead">Short words</p></div></main>',
        '<main><p class="lead">Overcontoured surfaces</p></main>',
    ],
)
def test_another_element_place_attribute_or_long_word_is_new(other):
    assert kinds(other) - kinds(PLAIN)


def test_a_wider_row_is_new():
    row = "<table><tr>{}</tr></table>"
    assert kinds(row.format("<td>1</td>" * 3)) - kinds(row.format("<td>1</td>" * 2))
    assert kinds(row.format("<td>1</td>" * 3)) == kinds(row.format("<td>2</td>" * 3))


def test_the_fuller_page_is_looked_at_and_each_address_once():
    pages = [
        ("case", PLAIN),
        ("case", PLAIN.replace("</main>", "<ul></ul></main>")),
        ("case", PLAIN.replace("</main>", "<ol></ol></main>")),
        ("case", PLAIN.replace("</main>", "<ul></ul><ol></ol></main>")),
        ("dates", PLAIN),
    ]

    assert with_something_new(pages) == [3, 4]
    assert with_something_new(pages[:3]) == [1, 2]
