"""Every clause has a test; the table of clauses can be made."""

import clause_table


def test_every_clause_function_is_tested_by_name_or_through_its_module():
    untested = [r[2] for r in clause_table.rows() if r[3] == "done" and not r[5]]
    assert untested == []


def test_the_table_names_every_clause_with_its_document():
    lines = clause_table.markdown().splitlines()
    assert len(lines) == len(clause_table.rows()) + 2 > 100
    assert any("8.1.4(3), Eq. (8.4)" in line and "bases/en1995/member" in line for line in lines)
