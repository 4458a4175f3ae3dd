import csv
import io

import pytest

from workshop.tables import csv_answer, harmless


def rows_of(response):
    return list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum", "\t=1", "\r=1"])
def test_text_that_a_spreadsheet_would_run_is_made_plain(text):
    assert harmless(text) == f"'{text}"


@pytest.mark.parametrize("cell", ["bar 1", "", "a=b", -1.5, 7, None])
def test_other_cells_stay_as_they_are(cell):
    assert harmless(cell) == cell


def test_a_table_is_a_file_with_its_name():
    response = csv_answer("001-bars.csv", ("bar",), [(1,)])
    assert response["Content-Disposition"] == 'attachment; filename="001-bars.csv"'
    assert response["Content-Type"] == "text/csv; charset=utf-8"


def test_a_table_reads_back_as_it_was():
    response = csv_answer("t.csv", ("piece", "°"), [("T, turned", 45), ('a "b"', -1.5)])
    assert rows_of(response) == [["piece", "°"], ["T, turned", "45"], ['a "b"', "-1.5"]]


def test_heads_and_rows_are_made_plain():
    assert rows_of(csv_answer("t.csv", ("=a",), [("=b",)])) == [["'=a"], ["'=b"]]
