"""Tables as files that a spreadsheet opens."""

import csv
import io

from django.http import HttpResponse

# with these a spreadsheet takes a cell for a formula, and runs it
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_answer(name, head, rows):
    """A table as an attachment in UTF-8 with its mark, so that spreadsheets read names in any script."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(harmless(cell) for cell in head)
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    response = HttpResponse("\ufeff" + text.getvalue(), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def harmless(cell):
    """A cell as it is, but for text that a spreadsheet would run: an apostrophe before it makes it text."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA) else cell
