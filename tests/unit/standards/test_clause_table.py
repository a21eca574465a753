"""The clause table of the contributor page is the code's own."""

import clause_table


def test_the_page_has_the_table_of_the_code():
    page = clause_table.PAGE.read_text(encoding="utf-8")
    assert page == clause_table.page_with_table(page), (
        "out of date: run python tests/support/clause_table.py"
    )


def test_every_clause_function_is_tested_by_name_or_through_its_module():
    untested = [r[2] for r in clause_table.rows() if r[3] == "done" and not r[5]]
    assert untested == []
